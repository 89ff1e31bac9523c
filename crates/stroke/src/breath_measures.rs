//! What is measured of the breaths.

use smallvec::SmallVec;

use crate::absence::AbsenceKind;
use crate::arm::{ENTRY, EXIT};
use crate::arm_measures::ArmCycle;
use crate::breath::{BreathMarks, EXHALE_START, FACE_RETURN, FACE_TURN, MOUTH_CLEAR};
use crate::measure_kind::MeasureKind;
use crate::ordered::{Marks, SIDES};
use crate::strokes::Alternation;
use crate::table::{Means, Row, Sides, Table};
use crate::uncertain::{Estimate, Input};

/// Adds everything about breaths.
pub(crate) fn add_breath_measures(
    table: &mut Table,
    breaths: &[BreathMarks],
    cycles: &[ArmCycle],
    alternation: &Alternation,
    marks: &Marks,
) {
    let none = |_, _| AbsenceKind::NoBreathMarked;
    let by_side = Means {
        sides: Sides::Pooled,
        split: false,
        over: None,
        none: &none,
    };
    let together = Means {
        sides: Sides::Together,
        ..by_side
    };
    let cycle_of: Vec<Option<&ArmCycle>> = breaths
        .iter()
        .map(|breath| cycle_with(breath, cycles, marks))
        .collect();
    let rows = |outcome: &dyn Fn(usize) -> Result<Estimate, AbsenceKind>| -> Vec<Row> {
        breaths
            .iter()
            .enumerate()
            .map(|(place, breath)| Row {
                side: Some(breath.side),
                cycle: cycle_of[place].and_then(|cycle| cycle.stroke.index),
                breathing: None,
                outcome: outcome(place),
                about: if outcome(place).is_ok() {
                    SmallVec::new()
                } else {
                    breath.marks().collect()
                },
            })
            .collect()
    };
    let share = |place: usize, part: Result<Estimate, AbsenceKind>| {
        let cycle = cycle_of[place]
            .ok_or(AbsenceKind::BreathOutsideCycles)?
            .duration()?;
        Ok(part? * 100.0 / cycle)
    };

    table.add_kind(
        MeasureKind::StrokesPerBreath,
        together,
        strokes_per_breath(breaths, alternation, marks).into_iter(),
    );

    let turn_to_clear = |place: usize| ends(&breaths[place], FACE_TURN, MOUTH_CLEAR);
    let open = |place: usize| ends(&breaths[place], MOUTH_CLEAR, FACE_RETURN);
    let exhale = |place: usize| ends(&breaths[place], EXHALE_START, MOUTH_CLEAR);
    let hold = |place: usize| hold_after(place, breaths, marks);
    type Ends<'t> = &'t dyn Fn(usize) -> Result<[Input; 2], AbsenceKind>;
    let stretches: [([MeasureKind; 3], Ends); 4] = [
        (
            [
                MeasureKind::BreathTurnToClear,
                MeasureKind::BreathTurnToClearFrames,
                MeasureKind::BreathTurnToClearShare,
            ],
            &turn_to_clear,
        ),
        (
            [
                MeasureKind::BreathOpen,
                MeasureKind::BreathOpenFrames,
                MeasureKind::BreathOpenShare,
            ],
            &open,
        ),
        (
            [
                MeasureKind::Exhale,
                MeasureKind::ExhaleFrames,
                MeasureKind::ExhaleShare,
            ],
            &exhale,
        ),
        (
            [
                MeasureKind::BreathHold,
                MeasureKind::BreathHoldFrames,
                MeasureKind::BreathHoldShare,
            ],
            &hold,
        ),
    ];
    for ([seconds, frames, of_cycle], ends) in stretches {
        let in_seconds = |place| ends(place).map(|[from, to]| marks.seconds(from, to));
        let in_frames = |place| ends(place).map(|[from, to]| marks.frames_between(from, to));
        table.add_kind(seconds, by_side, rows(&in_seconds).into_iter());
        table.add_kind(frames, by_side, rows(&in_frames).into_iter());
        table.add_kind(
            of_cycle,
            by_side,
            rows(&|place| share(place, in_seconds(place))).into_iter(),
        );
    }
    let late = rows(&|place| late_exhale_share(&breaths[place], marks));
    table.add_kind(MeasureKind::LateExhaleShare, by_side, late.into_iter());
    let returned = rows(&|place| return_in_recovery(&breaths[place], cycle_of[place], marks));
    table.add_kind(MeasureKind::FaceReturnInRecovery, by_side, returned.into_iter());
}

fn event(breath: &BreathMarks, event: usize) -> Result<Input, AbsenceKind> {
    if breath.is_disputed() {
        return Err(AbsenceKind::ImpossibleOrder);
    }
    breath.event(event).ok_or(match event {
        EXHALE_START => AbsenceKind::NoExhaleStart,
        FACE_TURN => AbsenceKind::NoFaceTurn,
        MOUTH_CLEAR => AbsenceKind::NoMouthClear,
        _ => AbsenceKind::NoFaceReturn,
    })
}

/// The two events of one breath that a stretch runs between.
fn ends(breath: &BreathMarks, from: usize, to: usize) -> Result<[Input; 2], AbsenceKind> {
    Ok([event(breath, from)?, event(breath, to)?])
}

/// The face's return and the next breath's first bubbles.
fn hold_after(place: usize, breaths: &[BreathMarks], marks: &Marks) -> Result<[Input; 2], AbsenceKind> {
    let returned = event(&breaths[place], FACE_RETURN)?;
    let next = breaths.get(place + 1).ok_or(AbsenceKind::OneBreathMarked)?;
    let exhales = event(next, EXHALE_START)?;
    if marks.time(exhales) < marks.time(returned) {
        Err(AbsenceKind::ImpossibleOrder)
    } else {
        Ok([returned, exhales])
    }
}

/// The part of the exhalation after the head starts to turn, %.
fn late_exhale_share(breath: &BreathMarks, marks: &Marks) -> Result<Estimate, AbsenceKind> {
    let (start, clear) = (event(breath, EXHALE_START)?, event(breath, MOUTH_CLEAR)?);
    let turn = event(breath, FACE_TURN)?;
    let exhale = marks.seconds(start, clear);
    if exhale.value <= 0.0 {
        return Err(AbsenceKind::ImpossibleOrder);
    }
    // An exhalation that starts after the turn is late from its start.
    Ok(marks.seconds(turn.max(start), clear) * 100.0 / &exhale)
}

/// How far the recovery of the arm on the breathing side has gone when the face is back, %.
fn return_in_recovery(
    breath: &BreathMarks,
    cycle: Option<&ArmCycle>,
    marks: &Marks,
) -> Result<Estimate, AbsenceKind> {
    let returned = event(breath, FACE_RETURN)?;
    let stroke = cycle.ok_or(AbsenceKind::BreathOutsideCycles)?.stroke;
    let exit = stroke.event(EXIT).map_err(|_| AbsenceKind::NoExit)?;
    let next = stroke.next_entry().map_err(|_| AbsenceKind::NoCompleteCycle)?;
    let recovery = marks.seconds(exit, next);
    if recovery.value <= 0.0 {
        return Err(AbsenceKind::ImpossibleOrder);
    }
    Ok(marks.seconds(exit, returned) * 100.0 / &recovery)
}

/// The cycle of the arm on the breathing side in which the breath is taken.
fn cycle_with<'c, 'a>(
    breath: &BreathMarks,
    cycles: &'c [ArmCycle<'a>],
    marks: &Marks,
) -> Option<&'c ArmCycle<'a>> {
    let moment = marks.time(breath.moment()?);
    let right = cycles.partition_point(|cycle| cycle.side == SIDES[0]);
    let of_side = if breath.side == SIDES[0] {
        &cycles[..right]
    } else {
        &cycles[right..]
    };
    let bounds = |cycle: &ArmCycle| {
        cycle
            .stroke
            .bounds()
            .map(|(start, end)| (marks.time(start), marks.time(end)))
    };
    let after = of_side.partition_point(|cycle| bounds(cycle).is_some_and(|(start, _)| start <= moment));
    let cycle = of_side.get(after.checked_sub(1)?)?;
    let trusted = cycle.stroke.event(ENTRY).is_ok();
    bounds(cycle)
        .filter(|(_, end)| moment < *end && trusted)
        .map(|_| cycle)
}

/// Strokes from each breath to the next: entries of both arms between the two moments, or twice those of the
/// one arm that is marked there.
fn strokes_per_breath(breaths: &[BreathMarks], alternation: &Alternation, marks: &Marks) -> Vec<Row> {
    let mut moments: Vec<Input> = breaths.iter().filter_map(BreathMarks::moment).collect();
    tiny_sort::unstable::sort(&mut moments);
    let reaches = SIDES.map(|side| (side, alternation.reach(side)));
    let none = |outcome: AbsenceKind| {
        vec![Row {
            side: None,
            cycle: None,
            breathing: None,
            outcome: Err(outcome),
            about: SmallVec::new(),
        }]
    };
    match moments.len() {
        0 => return none(AbsenceKind::NoBreathMarked),
        1 => return none(AbsenceKind::OneBreathMarked),
        _ => {}
    }
    let rows: Vec<Row> = moments
        .windows(2)
        .filter_map(|pair| {
            let (from, to) = (marks.time(pair[0]), marks.time(pair[1]));
            let covers = |reach: Option<_>| reach.is_some_and(|(first, last)| first <= from && to <= last);
            let entries = alternation.entries_between(from, to);
            let count = |side| entries.iter().filter(|(_, of, _)| *of == side).count();
            let strokes = match reaches {
                [(left, reach), (right, other)] if covers(reach) && covers(other) => {
                    count(left) + count(right)
                }
                [(left, reach), _] if covers(reach) => 2 * count(left),
                [_, (right, reach)] if covers(reach) => 2 * count(right),
                _ => return None,
            };
            Some(Row {
                side: None,
                cycle: None,
                breathing: None,
                outcome: Ok(Estimate::exact(f64::from(u32::try_from(strokes).ok()?))),
                about: pair
                    .iter()
                    .copied()
                    .chain(entries.iter().map(|(mark, ..)| *mark))
                    .collect(),
            })
        })
        .collect();
    if rows.is_empty() {
        none(AbsenceKind::NoStrokes)
    } else {
        rows
    }
}
