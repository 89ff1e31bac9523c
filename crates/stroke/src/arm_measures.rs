//! What is measured of each arm's cycle: duration, rates, phases, and with a speed its length.

use smallvec::SmallVec;

use crate::Side;
use crate::absence::AbsenceKind;
use crate::arm::{Arm, CATCH, ENTRY, EXIT, MID_PULL, Stroke, Unusable};
use crate::breath::BreathMoments;
use crate::measure::{BreathingSplit, Measure};
use crate::measure_kind::MeasureKind;
use crate::ordered::Marks;
use crate::table::{Means, Row, Sides, Table};
use crate::uncertain::Estimate;

/// One complete cycle, with whether a breath is taken in it.
pub(crate) struct ArmCycle<'a> {
    pub(crate) side: Side,
    pub(crate) stroke: &'a Stroke,
    pub(crate) breathing: Option<bool>,
    /// Entry to next entry; most of what is measured of the cycle is a share of it.
    duration: Result<Estimate, AbsenceKind>,
}

/// Every complete cycle, the left arm's first.
pub(crate) fn arm_cycles<'a>(
    arms: &'a [Arm; 2],
    marks: &Marks,
    breaths: &BreathMoments,
) -> Vec<ArmCycle<'a>> {
    arms.iter()
        .flat_map(|arm| arm.cycles().map(|stroke| (arm.side, stroke)))
        .map(|(side, stroke)| ArmCycle {
            side,
            stroke,
            breathing: stroke
                .bounds()
                .and_then(|(start, end)| breaths.any_within(marks.time(start), marks.time(end))),
            duration: duration_of(stroke, marks),
        })
        .collect()
}

fn reason(unusable: Unusable, event: usize) -> AbsenceKind {
    match (unusable, event) {
        (Unusable::Disputed, _) => AbsenceKind::ImpossibleOrder,
        (Unusable::NotMarked, CATCH) => AbsenceKind::NoCatch,
        (Unusable::NotMarked, MID_PULL) => AbsenceKind::NoMidPull,
        (Unusable::NotMarked, EXIT) => AbsenceKind::NoExit,
        (Unusable::NotMarked, _) => AbsenceKind::NoCompleteCycle,
    }
}

/// From one event to another of the same stroke; place 4 is the next entry.
#[inline]
fn between(stroke: &Stroke, from: usize, to: usize, marks: &Marks) -> Result<Estimate, AbsenceKind> {
    let mark = |event: usize| match event {
        NEXT_ENTRY => stroke.next_entry(),
        _ => stroke.event(event),
    };
    let start = mark(from).map_err(|unusable| reason(unusable, from))?;
    let end = mark(to).map_err(|unusable| reason(unusable, to))?;
    Ok(marks.seconds(start, end))
}

fn duration_of(stroke: &Stroke, marks: &Marks) -> Result<Estimate, AbsenceKind> {
    let duration = between(stroke, ENTRY, NEXT_ENTRY, marks)?;
    if duration.value > 0.0 {
        Ok(duration)
    } else {
        Err(AbsenceKind::ImpossibleOrder)
    }
}

impl ArmCycle<'_> {
    pub(crate) fn duration(&self) -> Result<&Estimate, AbsenceKind> {
        self.duration.as_ref().map_err(|absence| *absence)
    }

    #[inline]
    fn share(&self, from: usize, to: usize, marks: &Marks) -> Result<Estimate, AbsenceKind> {
        let duration = self.duration()?;
        Ok(between(self.stroke, from, to, marks)? * 100.0 / duration)
    }

    #[inline]
    fn row(&self, outcome: Result<Estimate, AbsenceKind>) -> Row {
        let about = if outcome.is_err() {
            self.stroke.marks_to_next_entry().collect()
        } else {
            SmallVec::new()
        };
        Row {
            side: Some(self.side),
            cycle: self.stroke.index,
            breathing: self.breathing,
            outcome,
            about,
        }
    }
}

/// The place of the entry that ends the cycle.
const NEXT_ENTRY: usize = 4;

/// From which event to which.
const PHASES: [(MeasureKind, MeasureKind, usize, usize); 4] = [
    (
        MeasureKind::PhaseEntryAndCatch,
        MeasureKind::PhaseEntryAndCatchDuration,
        ENTRY,
        CATCH,
    ),
    (
        MeasureKind::PhasePull,
        MeasureKind::PhasePullDuration,
        CATCH,
        MID_PULL,
    ),
    (
        MeasureKind::PhasePush,
        MeasureKind::PhasePushDuration,
        MID_PULL,
        EXIT,
    ),
    (
        MeasureKind::PhaseRecovery,
        MeasureKind::PhaseRecoveryDuration,
        EXIT,
        NEXT_ENTRY,
    ),
];

/// Adds everything that one arm alone gives. Returns the comparisons of the two sides.
pub(crate) fn add_arm_measures(
    table: &mut Table,
    arms: &[Arm; 2],
    cycles: &[ArmCycle],
    marks: &Marks,
) -> Vec<Measure> {
    let none = |side: Option<Side>, _: BreathingSplit| no_cycle(arms, side);
    let means = Means {
        sides: Sides::Pooled,
        split: true,
        over: None,
        none: &none,
    };
    let over = |numerator: f64| Means {
        over: Some(numerator),
        ..means
    };
    let durations = || cycles.iter().map(|cycle| cycle.row(cycle.duration.clone()));

    table.add_kind(MeasureKind::CycleDuration, means, durations());
    // One cycle of the crawl is two strokes.
    table.add_kind(MeasureKind::StrokeRate, over(120.0), durations());
    table.add_kind(MeasureKind::CycleRate, over(60.0), durations());
    let halves = cycles
        .iter()
        .map(|cycle| cycle.row(cycle.duration.clone().map(|duration| duration * 0.5)));
    table.add_kind(MeasureKind::StrokeInterval, means, halves);

    for (kind, _, from, to) in PHASES {
        table.add_kind(
            kind,
            means,
            cycles.iter().map(|cycle| cycle.row(cycle.share(from, to, marks))),
        );
    }
    let mut comparisons = Vec::new();
    let symmetry = [
        MeasureKind::SymmetryPhaseEntryAndCatchDuration,
        MeasureKind::SymmetryPhasePullDuration,
        MeasureKind::SymmetryPhasePushDuration,
        MeasureKind::SymmetryPhaseRecoveryDuration,
    ];
    for ((_, kind, from, to), symmetry) in PHASES.into_iter().zip(symmetry) {
        table.add_kind(
            kind,
            means,
            cycles
                .iter()
                .map(|cycle| cycle.row(between(cycle.stroke, from, to, marks))),
        );
        comparisons.extend(table.compare_sides(symmetry, true, symmetry_index));
    }
    let shares = cycles
        .iter()
        .map(|cycle| cycle.row(cycle.share(CATCH, EXIT, marks)));
    table.add_kind(MeasureKind::PropulsiveShare, means, shares);
    comparisons.extend(table.compare_sides(MeasureKind::SymmetryPropulsiveShare, true, symmetry_index));
    comparisons
}

/// Adds what the cycles give once the speed is known.
pub(crate) fn add_length_measures(
    table: &mut Table,
    arms: &[Arm; 2],
    cycles: &[ArmCycle],
    speed: &Result<Estimate, AbsenceKind>,
) {
    let none = |side: Option<Side>, _: BreathingSplit| match speed {
        Err(why) => *why,
        Ok(_) => no_cycle(arms, side),
    };
    let means = Means {
        sides: Sides::Pooled,
        split: true,
        over: None,
        none: &none,
    };
    let length = |cycle: &ArmCycle| Ok(speed.clone()? * cycle.duration.clone()?);
    table.add_kind(
        MeasureKind::StrokeLength,
        means,
        cycles.iter().map(|cycle| cycle.row(length(cycle))),
    );
    let index = |cycle: &ArmCycle| Ok(speed.clone()? * length(cycle)?);
    table.add_kind(
        MeasureKind::StrokeIndex,
        means,
        cycles.iter().map(|cycle| cycle.row(index(cycle))),
    );
}

pub(crate) fn no_cycle(arms: &[Arm; 2], side: Option<Side>) -> AbsenceKind {
    let marked = arms
        .iter()
        .any(|arm| side.is_none_or(|side| arm.side == side) && arm.is_marked());
    if marked {
        AbsenceKind::NoCompleteCycle
    } else {
        AbsenceKind::ArmNotMarked
    }
}

/// 200·(R − L)/(R + L), and its derivatives by L and R. `None` unless both are positive or one is.
fn symmetry_index(left: f64, right: f64) -> Option<[f64; 3]> {
    let sum = left + right;
    if left < 0.0 || right < 0.0 || sum <= 0.0 {
        return None;
    }
    Some([
        200.0 * (right - left) / sum,
        -400.0 * right / (sum * sum),
        400.0 * left / (sum * sum),
    ])
}
