//! What is measured of the legs.

use smallvec::SmallVec;

use crate::Side;
use crate::absence::AbsenceKind;
use crate::arm_measures::ArmCycle;
use crate::breath::BreathMoments;
use crate::legs::KickOutMarks;
use crate::measure_kind::MeasureKind;
use crate::ordered::Marks;
use crate::strokes::{AlternateStroke, Alternation};
use crate::table::{Means, Row, Sides, Table};
use crate::uncertain::{Estimate, Input};

/// Adds everything about kick-outs and downbeats.
pub(crate) fn add_leg_measures(
    table: &mut Table,
    kick_outs: &[KickOutMarks],
    downbeats: &[Input],
    cycles: &[ArmCycle],
    alternation: &Alternation,
    breaths: &BreathMoments,
    marks: &Marks,
) {
    let none = |_, _| AbsenceKind::NoKickOut;
    let means = Means {
        sides: Sides::Pooled,
        split: false,
        over: None,
        none: &none,
    };
    let durations = kick_outs.iter().filter_map(|kick_out| {
        let (start, end) = (kick_out.start?, kick_out.end?);
        Some(Row {
            side: Some(kick_out.side).filter(|side| *side != Side::Both),
            cycle: None,
            breathing: None,
            outcome: Ok(marks.seconds(start, end)),
            about: SmallVec::new(),
        })
    });
    table.add_kind(MeasureKind::KickOutDuration, means, durations);

    let starts: Vec<Input> = kick_outs.iter().filter_map(|kick_out| kick_out.start).collect();
    let strokes: Vec<AlternateStroke> = alternation.strokes().collect();
    for (kind, with_breath) in [
        (MeasureKind::KickOutsPerBreathingStroke, true),
        (MeasureKind::KickOutsPerNonBreathingStroke, false),
    ] {
        let none = |_, _| {
            if starts.is_empty() {
                AbsenceKind::NoKickOut
            } else if strokes.is_empty() {
                AbsenceKind::NoStrokes
            } else if !breaths.any() {
                AbsenceKind::NoBreathMarked
            } else if with_breath {
                AbsenceKind::NoBreathingStroke
            } else {
                AbsenceKind::NoNonBreathingStroke
            }
        };
        let means = Means {
            sides: Sides::Together,
            split: false,
            over: None,
            none: &none,
        };
        let rows = strokes
            .iter()
            .filter(|_| !starts.is_empty())
            .filter(|stroke| breaths.any_within(stroke.start, stroke.end) == Some(with_breath))
            .map(|stroke| counted(&starts, stroke.start, stroke.end, &stroke.marks, marks));
        table.add_kind(kind, means, rows);
    }

    let none = |_, _| AbsenceKind::NoDownbeat;
    let means = Means {
        sides: Sides::Pooled,
        split: false,
        over: None,
        none: &none,
    };
    let usual = usual_beat_ticks(downbeats, marks);
    let beats = cycles.iter().filter_map(|cycle| {
        let (entry, next) = cycle.stroke.bounds()?;
        let (start, end) = (marks.time(entry), marks.time(next));
        let (first, last) = (marks.time(*downbeats.first()?), marks.time(*downbeats.last()?));
        let covered = first.0 - usual? <= start.0 && end.0 <= last.0 + usual?;
        covered.then(|| Row {
            side: Some(cycle.side),
            cycle: cycle.stroke.index,
            breathing: cycle.breathing,
            ..counted(downbeats, start, end, &[entry, next], marks)
        })
    });
    table.add_kind(MeasureKind::KickBeatsPerCycle, means, beats);
}

/// How many of the marks lie in `start <= time < end`.
fn counted(of: &[Input], start: time::Ticks, end: time::Ticks, bounds: &[Input], marks: &Marks) -> Row {
    let first = of.partition_point(|mark| marks.time(*mark) < start);
    let last = of.partition_point(|mark| marks.time(*mark) < end).max(first);
    let within = &of[first..last];
    let count = u32::try_from(within.len()).unwrap_or(u32::MAX);
    Row {
        side: None,
        cycle: None,
        breathing: None,
        outcome: Ok(Estimate::exact(f64::from(count))),
        about: bounds.iter().chain(within).copied().collect(),
    }
}

/// The median of the ticks from one downbeat to the next; `None` of fewer than two.
fn usual_beat_ticks(downbeats: &[Input], marks: &Marks) -> Option<i64> {
    let mut ticks: Vec<i64> = downbeats
        .windows(2)
        .map(|pair| marks.time(pair[1]).0 - marks.time(pair[0]).0)
        .collect();
    if ticks.is_empty() {
        return None;
    }
    let middle = ticks.len() / 2;
    Some(*ticks.select_nth_unstable(middle).1)
}
