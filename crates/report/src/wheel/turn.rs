//! One cycle as shares of a turn: where each arm's events, phases and the gaps between the arms lie.

use stroke::Side;

/// The four phases of an arm in the order of the stroke, as words for classes and names.
pub const PHASES: [&str; 4] = ["entry_and_catch", "pull", "push", "recovery"];

/// One arm's four events in turns of the near arm's cycle (0 = the near hand's entry, 1 = its next entry).
///
/// The events come in order within one turn: entry ≤ catch ≤ mid-pull ≤ exit ≤ entry + 1. Values below 0 or
/// above 1 are places on the circle like any other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmTurn {
    /// Whose arm.
    pub side: Side,
    /// The hand enters the water.
    pub entry: f64,
    /// The hand starts to move backward.
    pub catch: f64,
    /// The hand passes the shoulder.
    pub mid_pull: f64,
    /// The hand leaves the water.
    pub exit: f64,
}

/// A phase's place on its ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Index into [`PHASES`].
    pub phase: usize,
    /// Where it starts, turns.
    pub from: f64,
    /// Where it ends, turns; not before `from`.
    pub to: f64,
}

/// The stretch between one arm's exit and the other's catch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The arm that had yet to catch.
    pub waiting: Side,
    /// Where it starts, turns.
    pub from: f64,
    /// Where it ends, turns; not before `from`.
    pub to: f64,
    /// Its length as a share of the cycle; negative where both arms propel at once.
    pub share: f64,
}

/// One cycle of the near arm with what the other arm did meanwhile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// The arm whose entry is at twelve o'clock.
    pub near: ArmTurn,
    /// The other arm, where it was marked.
    pub far: Option<ArmTurn>,
}

impl ArmTurn {
    /// The four phases, which fill exactly one turn.
    #[must_use]
    pub fn bands(&self) -> [Band; 4] {
        let bounds = [self.entry, self.catch, self.mid_pull, self.exit, self.entry + 1.0];
        [0, 1, 2, 3].map(|phase| Band {
            phase,
            from: bounds[phase],
            to: bounds[phase + 1],
        })
    }

    /// The four events in order, turns.
    #[must_use]
    pub fn events(&self) -> [f64; 4] {
        [self.entry, self.catch, self.mid_pull, self.exit]
    }

    /// The same arm with each event at the mean of the given ones; `None` when there are none.
    ///
    /// On a circle a little before twelve and a little after it lie beside each other: every turn is taken
    /// within half a turn of the first one's entry.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a clip has far fewer than 2^53 cycles")]
    pub fn mean(turns: &[Self]) -> Option<Self> {
        let first = turns.first()?;
        let mean = |event: fn(&Self) -> f64| {
            let near_first = |turn: &Self| event(turn) - libm::round(turn.entry - first.entry);
            turns.iter().map(near_first).sum::<f64>() / turns.len() as f64
        };
        Some(Self {
            side: first.side,
            entry: mean(|turn| turn.entry),
            catch: mean(|turn| turn.catch),
            mid_pull: mean(|turn| turn.mid_pull),
            exit: mean(|turn| turn.exit),
        })
    }
}

impl Turn {
    /// The two stretches between an exit and the other arm's catch; none while only one arm was marked.
    #[must_use]
    pub fn gaps(&self) -> Vec<Gap> {
        self.far.map_or_else(Vec::new, |far| {
            vec![gap_between(&self.near, &far), gap_between(&far, &self.near)]
        })
    }
}

/// From the exit of `ending` to the nearest catch of `waiting` on the circle.
fn gap_between(ending: &ArmTurn, waiting: &ArmTurn) -> Gap {
    let ahead = (waiting.catch - ending.exit).rem_euclid(1.0);
    let share = if ahead > 0.5 { ahead - 1.0 } else { ahead };
    Gap {
        waiting: waiting.side,
        from: ending.exit + share.min(0.0),
        to: ending.exit + share.max(0.0),
        share,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn arm(side: Side, [entry, catch, mid_pull, exit]: [f64; 4]) -> ArmTurn {
        ArmTurn {
            side,
            entry,
            catch,
            mid_pull,
            exit,
        }
    }

    /// The worked vectors of the coordination: arm A with T = 1.50 s and three partners.
    /// Source: derived (plain arithmetic on the definitions of Chollet, Chalies & Chatard 2000).
    #[test]
    fn the_wedges_are_the_gaps_of_the_worked_vectors() {
        let a = arm(Side::Left, [0.0, 0.45, 0.80, 1.05].map(|s| s / 1.5));
        let cases = [
            ([0.75, 1.20, 1.55, 1.80], [10.0, 10.0]),
            ([0.80, 1.25, 1.60, 1.85], [13.333_333, 6.666_667]),
            ([0.78, 1.18, 1.56, 1.88], [8.666_667, 4.666_667]),
        ];
        for (b, expected) in cases {
            let turn = Turn {
                near: a,
                far: Some(arm(Side::Right, b.map(|s| s / 1.5))),
            };
            let shares: Vec<f64> = turn.gaps().iter().map(|gap| gap.share * 100.0).collect();
            for (share, expected) in shares.iter().zip(expected) {
                assert!((share - expected).abs() < 1e-5, "{shares:?} against {expected}");
            }
        }
    }

    #[test]
    fn arms_that_overlap_give_a_negative_share_and_say_which_arm_came_in() {
        let near = arm(Side::Right, [0.0, 0.25 / 1.2, 0.5, 0.75]);
        let far = arm(Side::Left, [0.5, 0.5 + 0.25 / 1.2, 1.0, 1.25]);
        let gaps = Turn { near, far: Some(far) }.gaps();
        assert!((gaps[0].share * 100.0 + 4.166_667).abs() < 1e-5);
        assert_eq!([gaps[0].waiting, gaps[1].waiting], [Side::Left, Side::Right]);
    }

    #[test]
    fn the_mean_of_entries_on_both_sides_of_twelve_is_at_twelve() {
        let early = arm(Side::Left, [0.98, 1.28, 1.48, 1.68]);
        let late = arm(Side::Left, [0.02, 0.32, 0.52, 0.72]);
        let mean = ArmTurn::mean(&[early, late]).unwrap();
        assert!((mean.entry.rem_euclid(1.0)).min(1.0 - mean.entry.rem_euclid(1.0)) < 1e-12);
        assert!((mean.exit - mean.entry - 0.7).abs() < 1e-12);
        assert_eq!(ArmTurn::mean(&[]), None);
    }

    proptest! {
        #[test]
        fn phases_fill_one_turn_and_wedges_are_as_long_as_their_share(
            lengths in prop::array::uniform4(0.01..1.0_f64), other in prop::array::uniform4(0.01..1.0_f64), offset in -1.0..1.0_f64
        ) {
            let arm_of = |side, lengths: [f64; 4], entry: f64| {
                let total: f64 = lengths.iter().sum();
                let [a, b, c, _] = lengths.map(|length| length / total);
                arm(side, [entry, entry + a, entry + a + b, entry + a + b + c])
            };
            let turn = Turn { near: arm_of(Side::Left, lengths, 0.0), far: Some(arm_of(Side::Right, other, offset)) };
            let bands = turn.near.bands();
            prop_assert!((bands.iter().map(|band| band.to - band.from).sum::<f64>() - 1.0).abs() < 1e-12);
            for gap in turn.gaps() {
                prop_assert!((gap.to - gap.from - gap.share.abs()).abs() < 1e-12);
                prop_assert!(gap.share.abs() <= 0.5);
            }
        }
    }
}
