//! From a clip's analysis, or from a set of cycles, to a wheel.

use stroke::compare::Selection;
use stroke::{Analysis, ArmTimeline, BreathingSplit, Cycle, MeasureKind, Phase, PhaseStretch, Side};
use time::Ticks;

use super::{ArmTurn, GapLabel, Turn, Wheel};

impl Wheel {
    /// The wheel of an analysed clip, with the cycles of `near` as its turns. `None` while that arm has no
    /// complete cycle with all four phases marked.
    ///
    /// The other arm's stroke of a turn is the one whose entry falls within the near arm's cycle.
    #[must_use]
    pub fn of(analysis: &Analysis, near: Side) -> Option<Self> {
        let labels = [Side::Left, Side::Right]
            .into_iter()
            .filter_map(|waiting| gap_label(analysis, waiting));
        Self::of_turns(turns_of(analysis, near, |_| true), labels.collect())
    }

    /// The wheel of a set of cycles, each clip with what is selected of it; `gap_labels` are the set's own means.
    /// `None` while `near` has no complete cycle in it.
    #[must_use]
    pub fn of_set<'a>(
        parts: impl IntoIterator<Item = (&'a Analysis, Selection)>,
        near: Side,
        gap_labels: Vec<GapLabel>,
    ) -> Option<Self> {
        let turns = parts.into_iter().flat_map(|(analysis, selection)| {
            turns_of(analysis, near, move |cycle| selection.holds_cycle(cycle))
        });
        Self::of_turns(turns.collect(), gap_labels)
    }

    fn of_turns(singles: Vec<Turn>, gap_labels: Vec<GapLabel>) -> Option<Self> {
        let near_arms: Vec<ArmTurn> = singles.iter().map(|turn| turn.near).collect();
        let far_arms: Vec<ArmTurn> = singles.iter().filter_map(|turn| turn.far).collect();
        Some(Self {
            mean: Turn {
                near: ArmTurn::mean(&near_arms)?,
                far: ArmTurn::mean(&far_arms),
            },
            singles,
            gap_labels,
        })
    }
}

/// The complete cycles of `near` that are wanted, as turns.
fn turns_of(analysis: &Analysis, near: Side, wanted: impl Fn(&Cycle) -> bool) -> Vec<Turn> {
    let arm = |side: Side| analysis.arms.iter().find(|arm| arm.side == side);
    let far = arm(near.other());
    arm(near)
        .into_iter()
        .flat_map(|arm| &arm.cycles)
        .filter(|cycle| wanted(cycle))
        .filter_map(|cycle| turn_of(cycle, near, far))
        .collect()
}

fn gap_label(analysis: &Analysis, waiting: Side) -> Option<GapLabel> {
    let measure = analysis.measures.iter().find(|measure| {
        measure.kind == MeasureKind::PropulsiveGap
            && measure.side == Some(waiting)
            && measure.cycle.is_none()
            && measure.breathing == BreathingSplit::All
    })?;
    let quantity = measure.quantity?;
    Some(GapLabel {
        waiting,
        value_ms: quantity.value * 1000.0,
        uncertainty_ms: quantity.uncertainty * 1000.0,
    })
}

fn turn_of(cycle: &Cycle, near: Side, far: Option<&ArmTimeline>) -> Option<Turn> {
    let in_turns = |time: Ticks| share(cycle, time);
    let at = |side, [entry, catch, mid_pull, exit]: [Ticks; 4]| ArmTurn {
        side,
        entry: in_turns(entry),
        catch: in_turns(catch),
        mid_pull: in_turns(mid_pull),
        exit: in_turns(exit),
    };
    let own = events_from(&cycle.phases, cycle.start)?;
    let other = far.and_then(|far| {
        far.phases
            .iter()
            .filter(|stretch| stretch.phase == Phase::EntryAndCatch)
            .find(|stretch| cycle.start <= stretch.start && stretch.start < cycle.end)
            .and_then(|stretch| events_from(&far.phases, stretch.start))
            .map(|events| at(far.side, events))
    });
    // A closing recovery makes the near arm's turn complete.
    let closed = cycle
        .phases
        .iter()
        .any(|stretch| stretch.phase == Phase::Recovery && stretch.end == cycle.end);
    closed.then(|| Turn {
        near: at(near, own),
        far: other,
    })
}

/// The four events of the stroke that starts with the entry at `entry`.
fn events_from(phases: &[PhaseStretch], entry: Ticks) -> Option<[Ticks; 4]> {
    let end_of = |phase, start| {
        phases
            .iter()
            .find(|stretch| stretch.phase == phase && stretch.start == start)
            .map(|stretch| stretch.end)
    };
    let catch = end_of(Phase::EntryAndCatch, entry)?;
    let mid_pull = end_of(Phase::Pull, catch)?;
    let exit = end_of(Phase::Push, mid_pull)?;
    Some([entry, catch, mid_pull, exit])
}

#[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
fn share(cycle: &Cycle, time: Ticks) -> f64 {
    (time.0 - cycle.start.0) as f64 / (cycle.end.0 - cycle.start.0) as f64
}
