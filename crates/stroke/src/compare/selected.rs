//! A choice of cycles of one clip: the values that the comparison takes its means over.
//!
//! **What counts as one value.** The left and the right value of one two-arm cycle are not independent: they
//! share the swimmer's rhythm of that moment. So what both arms give together is, for each two-arm cycle, the
//! mean of the two arms, and the number of values is the number of two-arm cycles. Taking 8 left and 8 right
//! cycles for 16 would promise more certainty than there is (pseudo-replication: Hurlbert 1984, Ecol Monogr
//! 54:187-211).

use std::collections::BTreeMap;

use time::Ticks;

use crate::analysis::{Analysis, Detail, analyse_in_detail};
use crate::measure::{BreathingSplit, Span};
use crate::measure_kind::MeasureKind;
use crate::ordered::SIDES;
use crate::table::{KeptRow, Sides};
use crate::uncertain::Estimate;
use crate::{Cycle, Flag, FlagKind, Passage, Side};

/// Which cycles of a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Selection {
    /// From where on; `None` = from the clip's start. A cycle belongs when it lies wholly inside.
    pub from: Option<Ticks>,
    /// Up to where; `None` = to the clip's end.
    pub to: Option<Ticks>,
    /// Which strokes.
    pub breathing: BreathingSplit,
}

/// What was said about how a clip was swum and filmed, as far as it was said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conditions {
    /// The swimmer's label; may be empty.
    pub athlete: String,
    /// The day of filming, in words.
    pub date: Option<String>,
    /// Where the camera stood, in words.
    pub view: Option<String>,
    /// Whether the swimmer kicked, in words.
    pub kick: Option<String>,
    /// What the swimmer wore or held, in words.
    pub aids: Vec<String>,
}

/// The chosen cycles of one clip.
#[derive(Clone)]
pub struct SelectedCycles {
    pub(super) clip: u32,
    pub(super) selection: Selection,
    pub(super) conditions: Conditions,
    pub(super) frame_rate_fps: f64,
    pub(super) cycles: u32,
    pub(super) values: Vec<Selected>,
    /// Variance of each input of the values' estimates, s² (of the stated speed m²/s²).
    pub(super) variances_s2: Vec<f64>,
}

/// One value that was chosen.
#[derive(Clone)]
pub(super) struct Selected {
    pub(super) kind: MeasureKind,
    pub(super) side: Option<Side>,
    pub(super) cycle: Option<u32>,
    pub(super) breathing: Option<bool>,
    pub(super) estimate: Estimate,
    /// The measure is this / the estimate.
    pub(super) over: Option<f64>,
    pub(super) span: Option<Span>,
    pub(super) flagged: bool,
    /// A value of one side that also counts where no side is named: a breath, a kick-out.
    pub(super) stands_alone: bool,
}

impl SelectedCycles {
    /// Analyses the clip and keeps what lies in the selection. `clip` names it in the result.
    #[must_use]
    pub fn of(clip: u32, passage: &Passage, selection: Selection, conditions: Conditions) -> Self {
        let Detail {
            analysis,
            rows,
            variances_s2,
        } = analyse_in_detail(passage);
        let mut values: Vec<Selected> = rows
            .into_iter()
            .filter_map(|row| read(row, &analysis.flags))
            .collect();
        let pooled = pooled_values(&values, &two_arm_cycles(&analysis));
        values.extend(pooled);
        values.retain(|value| selection.holds(value, &analysis));
        let cycles = analysis.arms.iter().map(|arm| {
            let chosen = arm.cycles.iter().filter(|cycle| selection.holds_cycle(cycle));
            chosen.count()
        });
        Self {
            clip,
            selection,
            conditions,
            frame_rate_fps: analysis.frame_rate_fps,
            cycles: cycles
                .max()
                .and_then(|most| u32::try_from(most).ok())
                .unwrap_or(0),
            values,
            variances_s2,
        }
    }
}

/// The row as a value, where it has one.
fn read(row: KeptRow, flags: &[Flag]) -> Option<Selected> {
    let in_doubt = |flag: &Flag| flag.kind != FlagKind::UnmarkedStretch && flag.spoils.contains(&row.kind);
    let mut of_row = row.flags.iter().filter_map(|flag| flags.get(*flag as usize));
    Some(Selected {
        flagged: of_row.any(in_doubt),
        kind: row.kind,
        side: row.side,
        cycle: row.cycle,
        breathing: row.breathing,
        estimate: row.outcome.ok()?,
        over: row.over,
        span: row.span,
        stands_alone: row.sides == Sides::Pooled && !averages_the_arms(row.kind),
    })
}

impl Selection {
    fn holds_stretch(&self, start: Ticks, end: Ticks) -> bool {
        self.from.is_none_or(|from| from <= start) && self.to.is_none_or(|to| end <= to)
    }

    fn holds_breathing(&self, breathing: Option<bool>) -> bool {
        match self.breathing {
            BreathingSplit::All => true,
            BreathingSplit::Breathing => breathing == Some(true),
            BreathingSplit::NonBreathing => breathing == Some(false),
        }
    }

    /// Whether a cycle lies wholly inside and is one of the chosen strokes.
    #[must_use]
    pub fn holds_cycle(&self, cycle: &Cycle) -> bool {
        self.holds_stretch(cycle.start, cycle.end) && self.holds_breathing(cycle.breathing)
    }

    /// The value's marks and the cycle that it belongs to must both lie inside.
    fn holds(&self, value: &Selected, analysis: &Analysis) -> bool {
        let cycle = value.cycle.and_then(|index| {
            let side = value.side.or(analysis.leading_arm)?;
            cycle_of(analysis, side, index)
        });
        self.holds_breathing(value.breathing)
            && value
                .span
                .is_none_or(|span| self.holds_stretch(span.start, span.end))
            && cycle.is_none_or(|cycle| self.holds_stretch(cycle.start, cycle.end))
    }
}

fn cycle_of(analysis: &Analysis, side: Side, index: u32) -> Option<&Cycle> {
    let arm = analysis.arms.iter().find(|arm| arm.side == side)?;
    let place = arm
        .cycles
        .binary_search_by_key(&index, |cycle| cycle.index)
        .ok()?;
    arm.cycles.get(place)
}

/// A cycle of the leading arm with the cycle of the other arm that starts in it: their indexes, left first.
struct TwoArmCycle {
    leading: u32,
    of_sides: [u32; 2],
}

fn two_arm_cycles(analysis: &Analysis) -> Vec<TwoArmCycle> {
    let [left, right] = &analysis.arms;
    let leads_left = analysis.leading_arm != Some(Side::Right);
    let (leading, other) = if leads_left { (left, right) } else { (right, left) };
    leading
        .cycles
        .iter()
        .filter_map(|cycle| {
            let next = other.cycles.partition_point(|second| second.start < cycle.start);
            let second = other.cycles.get(next).filter(|second| second.start < cycle.end)?;
            let (first, second) = (cycle.index, second.index);
            Some(TwoArmCycle {
                leading: first,
                of_sides: if leads_left {
                    [first, second]
                } else {
                    [second, first]
                },
            })
        })
        .collect()
}

/// Whether both arms' value of one two-arm cycle is the mean of the arms' own. Not so of breaths and
/// kick-outs, each of which stands alone, nor of what is a two-arm value from the start.
fn averages_the_arms(kind: MeasureKind) -> bool {
    use MeasureKind as Kind;
    matches!(
        kind,
        Kind::CycleDuration
            | Kind::StrokeRate
            | Kind::CycleRate
            | Kind::StrokeInterval
            | Kind::PhaseEntryAndCatch
            | Kind::PhasePull
            | Kind::PhasePush
            | Kind::PhaseRecovery
            | Kind::PhaseEntryAndCatchDuration
            | Kind::PhasePullDuration
            | Kind::PhasePushDuration
            | Kind::PhaseRecoveryDuration
            | Kind::PropulsiveShare
            | Kind::StrokeLength
            | Kind::StrokeIndex
            | Kind::KickBeatsPerCycle
    )
}

/// What each two-arm cycle says of the difference between its arms, right against left: the symmetry index
/// or the difference in points of a kind.
fn difference_of_arms(kind: MeasureKind) -> Option<MeasureKind> {
    match kind {
        MeasureKind::PhaseEntryAndCatchDuration => Some(MeasureKind::SymmetryPhaseEntryAndCatchDuration),
        MeasureKind::PhasePullDuration => Some(MeasureKind::SymmetryPhasePullDuration),
        MeasureKind::PhasePushDuration => Some(MeasureKind::SymmetryPhasePushDuration),
        MeasureKind::PhaseRecoveryDuration => Some(MeasureKind::SymmetryPhaseRecoveryDuration),
        MeasureKind::PropulsiveShare => Some(MeasureKind::SymmetryPropulsiveShare),
        MeasureKind::IndexOfCoordination => Some(MeasureKind::IndexOfCoordinationDifference),
        _ => None,
    }
}

/// The values of two-arm cycles that follow from those of the single arms.
fn pooled_values(values: &[Selected], cycles: &[TwoArmCycle]) -> Vec<Selected> {
    let of_arm: BTreeMap<(MeasureKind, Side, u32), &Selected> = values
        .iter()
        .filter_map(|value| Some(((value.kind, value.side?, value.cycle?), value)))
        .collect();
    let mut kinds: Vec<MeasureKind> = values.iter().map(|value| value.kind).collect();
    kinds.dedup();
    let mut pooled = Vec::new();
    for kind in kinds {
        for cycle in cycles {
            let [left, right] = [0, 1].map(|arm| of_arm.get(&(kind, SIDES[arm], cycle.of_sides[arm])));
            let (Some(left), Some(right)) = (left, right) else {
                continue;
            };
            let value = |kind: MeasureKind, estimate: Estimate| Selected {
                kind,
                side: None,
                cycle: Some(cycle.leading),
                breathing: either(left.breathing, right.breathing),
                estimate,
                over: left.over,
                span: hull(left.span, right.span),
                flagged: left.flagged || right.flagged,
                stands_alone: false,
            };
            if averages_the_arms(kind) {
                pooled.push(value(
                    kind,
                    (left.estimate.clone() + right.estimate.clone()) * 0.5,
                ));
            }
            if let Some(kind) = difference_of_arms(kind) {
                let estimate = right_against_left(kind, &left.estimate, &right.estimate);
                pooled.extend(estimate.map(|estimate| value(kind, estimate)));
            }
        }
    }
    pooled
}

fn right_against_left(kind: MeasureKind, left: &Estimate, right: &Estimate) -> Option<Estimate> {
    let difference = right.clone() - left.clone();
    if kind == MeasureKind::IndexOfCoordinationDifference {
        return Some(difference);
    }
    let sum = left.clone() + right.clone();
    (left.value >= 0.0 && right.value >= 0.0 && sum.value > 0.0).then(|| difference * 200.0 / &sum)
}

/// A two-arm cycle has a breath when either arm's cycle has one.
fn either(left: Option<bool>, right: Option<bool>) -> Option<bool> {
    match (left, right) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        _ => None,
    }
}

fn hull(one: Option<Span>, other: Option<Span>) -> Option<Span> {
    match (one, other) {
        (Some(one), Some(other)) => Some(Span {
            start: one.start.min(other.start),
            end: one.end.max(other.end),
        }),
        _ => one.or(other),
    }
}

impl Selected {
    /// How many readings of single arms it is the mean of: the coach's errors in them are independent.
    pub(super) fn readings(&self) -> u32 {
        let two_arms =
            self.side.is_none() && (averages_the_arms(self.kind) || is_mean_of_hand_overs(self.kind));
        1 + u32::from(two_arms)
    }
}

/// Whether both arms' value of one cycle is the mean of its two hand-overs.
fn is_mean_of_hand_overs(kind: MeasureKind) -> bool {
    use MeasureKind as Kind;
    matches!(
        kind,
        Kind::IndexOfCoordination
            | Kind::PropulsiveGap
            | Kind::PropulsiveGapFrames
            | Kind::PropulsiveGapShare
            | Kind::LeadArmLag
    )
}
