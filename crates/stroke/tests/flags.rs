//! Marks that cannot be right are flagged at once, nothing is dropped, and what they spoil says so.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Marks, analyse, mean_of, millisecond_clock, of_cycle, value};
use wetframe_stroke::{AbsenceKind, Analysis, Flag, FlagKind, MarkId, MarkKind, MeasureKind, Side};

const LEFT: Option<Side> = Some(Side::Left);
const ARM_A: [i64; 4] = [0, 450, 800, 1050];

fn three_cycles() -> Marks {
    let mut marks = Marks::default();
    marks.arm(Side::Left, 0, ARM_A, 1500, 3);
    marks
}

fn analysed(marks: &Marks) -> Analysis {
    analyse(&millisecond_clock(12.0), &marks.0)
}

fn only_flag(analysis: &Analysis, kind: FlagKind) -> Flag {
    let [flag] = &analysis.flags[..] else {
        panic!("{:#?}", analysis.flags)
    };
    assert_eq!(flag.kind, kind);
    assert!(!flag.message.is_empty() && !flag.hint.is_empty() && !flag.marks.is_empty());
    assert!(flag.start <= flag.end && !flag.spoils.is_empty());
    flag.clone()
}

#[test]
fn an_exit_before_the_catch_spoils_the_phases_but_not_the_rate() {
    let mut marks = three_cycles();
    // The second stroke's exit goes to just after its entry.
    marks.0[7].time.0 = 1500 + 100;
    let analysis = analysed(&marks);
    let flag = only_flag(&analysis, FlagKind::ExitBeforeCatch);
    assert_eq!(flag.marks, [MarkId(8), MarkId(6), MarkId(7)]);
    assert!(
        flag.message.contains("left exit on frame 1600"),
        "{}",
        flag.message
    );
    assert!(
        flag.spoils.contains(&MeasureKind::PhasePull) && !flag.spoils.contains(&MeasureKind::CycleDuration)
    );
    for kind in [
        MeasureKind::PhaseEntryAndCatch,
        MeasureKind::PhasePush,
        MeasureKind::PropulsiveShare,
    ] {
        let spoiled = of_cycle(&analysis, kind, LEFT, 1);
        assert_eq!(spoiled.absence.unwrap().kind, AbsenceKind::ImpossibleOrder);
        assert_eq!(spoiled.flags, [0]);
        // The mean stands on the others and says that one is flagged.
        assert_eq!(
            (
                mean_of(&analysis, kind, LEFT).n,
                &mean_of(&analysis, kind, LEFT).flags[..]
            ),
            (2, &[0][..])
        );
        assert!(of_cycle(&analysis, kind, LEFT, 0).flags.is_empty());
    }
    assert_eq!(mean_of(&analysis, MeasureKind::CycleDuration, LEFT).n, 3);
    assert!(
        mean_of(&analysis, MeasureKind::CycleDuration, LEFT)
            .interval
            .is_some()
    );
    assert_eq!(analysis.arms[0].cycles[1].marks.len(), 5, "no mark is dropped");
}

#[test]
fn two_entries_with_no_exit_between_are_flagged_and_the_duration_says_so() {
    let mut marks = three_cycles();
    marks.0.remove(7);
    let analysis = analysed(&marks);
    let flag = only_flag(&analysis, FlagKind::TwoEntriesWithoutExit);
    assert_eq!(flag.marks, [MarkId(5), MarkId(9)]);
    let duration = of_cycle(&analysis, MeasureKind::CycleDuration, LEFT, 1);
    assert_eq!((value(duration), &duration.flags[..]), (1.5, &[0][..]));
    assert_eq!(
        of_cycle(&analysis, MeasureKind::PhaseRecovery, LEFT, 1)
            .absence
            .unwrap()
            .kind,
        AbsenceKind::NoExit
    );
}

#[test]
fn an_entry_pressed_twice_is_flagged_and_makes_no_short_cycle() {
    let mut marks = three_cycles();
    marks.push(MarkKind::Entry, LEFT, 1500 + 80);
    let analysis = analysed(&marks);
    only_flag(&analysis, FlagKind::EntriesTooClose);
    let duration = mean_of(&analysis, MeasureKind::CycleDuration, LEFT);
    // The cycles on both sides of the doubtful entries are withheld as well.
    assert_eq!(
        (value(duration), duration.n, &duration.flags[..]),
        (1.5, 1, &[0][..])
    );
}

#[test]
fn entries_alone_are_no_mistake() {
    let mut marks = Marks::default();
    for entry_ms in [0, 1500, 3000, 4500] {
        marks.push(MarkKind::Entry, LEFT, entry_ms);
    }
    let analysis = analysed(&marks);
    assert!(analysis.flags.is_empty());
    assert_eq!(value(mean_of(&analysis, MeasureKind::StrokeRate, LEFT)), 80.0);
    assert_eq!(
        of_cycle(&analysis, MeasureKind::PhasePull, LEFT, 0)
            .absence
            .unwrap()
            .kind,
        AbsenceKind::NoCatch
    );
    let other = mean_of(&analysis, MeasureKind::IndexOfCoordination, None)
        .absence
        .unwrap();
    assert_eq!(other.kind, AbsenceKind::OtherArmNotMarked);
    assert_eq!(
        mean_of(&analysis, MeasureKind::CycleDuration, Some(Side::Right))
            .absence
            .unwrap()
            .kind,
        AbsenceKind::ArmNotMarked
    );
}

#[test]
fn one_arm_alone_gives_its_rate_and_phases() {
    let analysis = analysed(&three_cycles());
    assert!(analysis.drive.is_empty(), "an arm that is not known is no gap");
    assert_eq!(value(mean_of(&analysis, MeasureKind::PhaseRecovery, LEFT)), 30.0);
    assert_eq!(
        mean_of(&analysis, MeasureKind::PropulsiveGap, None)
            .absence
            .unwrap()
            .kind,
        AbsenceKind::OtherArmNotMarked
    );
}

#[test]
fn an_unmarked_stretch_is_neither_a_cycle_nor_a_gap() {
    let mut marks = Marks::default();
    for start_ms in [0, 6000] {
        marks
            .arm(Side::Left, start_ms, ARM_A, 1500, 2)
            .arm(Side::Right, start_ms + 750, ARM_A, 1500, 2);
    }
    let analysis = analyse(&millisecond_clock(12.0), &marks.0);
    assert_eq!(
        analysis.flags.iter().map(|flag| flag.kind).collect::<Vec<_>>(),
        [FlagKind::UnmarkedStretch; 2]
    );
    assert_eq!(value(mean_of(&analysis, MeasureKind::CycleDuration, LEFT)), 1.5);
    assert!(
        analysis.drive.iter().all(|stretch| stretch.length_ms < 1000.0),
        "{:?}",
        analysis.drive
    );
    assert_eq!(
        analysis.arms[0]
            .cycles
            .iter()
            .map(|cycle| cycle.index)
            .collect::<Vec<_>>(),
        [0, 1, 3, 4]
    );
}

#[test]
fn a_stroke_without_its_entry_is_flagged_and_joins_no_cycle() {
    let mut marks = three_cycles();
    marks.0.retain(|mark| mark.id != MarkId(5));
    let analysis = analysed(&marks);
    only_flag(&analysis, FlagKind::CatchWithoutEntry);
    assert_eq!(mean_of(&analysis, MeasureKind::CycleDuration, LEFT).n, 1);
}

#[test]
fn a_stroke_cut_by_the_start_of_the_clip_is_no_mistake_and_is_drawn() {
    let mut marks = three_cycles();
    marks.0.remove(0);
    let analysis = analysed(&marks);
    assert!(analysis.flags.is_empty(), "{:?}", analysis.flags);
    assert_eq!(analysis.arms[0].cycles.len(), 2);
    // Pull, push and recovery of the first stroke, all of two cycles, entry and catch of the last.
    assert_eq!(analysis.arms[0].phases.len(), 3 + 8 + 1);
}

#[test]
fn other_slips() {
    let flagged = |change: &dyn Fn(&mut Marks), kind: FlagKind| {
        let mut marks = three_cycles();
        change(&mut marks);
        only_flag(&analysed(&marks), kind)
    };
    flagged(
        &|marks| {
            marks.push(MarkKind::Catch, LEFT, 450);
        },
        FlagKind::SameFrame,
    );
    flagged(
        &|marks| {
            marks.push(MarkKind::Catch, LEFT, 500);
        },
        FlagKind::EventTwiceInStroke,
    );
    flagged(
        &|marks| {
            marks.push(MarkKind::Exit, LEFT, 1100);
        },
        FlagKind::EventTwiceInStroke,
    );
    flagged(&|marks| marks.0[1].time.0 = 900, FlagKind::MidPullBeforeCatch);
    flagged(
        &|marks| {
            marks.push(MarkKind::KickOutEnd, Some(Side::Both), 500);
        },
        FlagKind::KickOutEndWithoutStart,
    );
    flagged(
        &|marks| {
            marks
                .push(MarkKind::KickOutStart, LEFT, 500)
                .push(MarkKind::KickOutStart, LEFT, 900)
                .push(MarkKind::KickOutEnd, LEFT, 1000);
        },
        FlagKind::KickOutStartWithoutEnd,
    );
    flagged(
        &|marks| {
            marks.push(MarkKind::Entry, Some(Side::Both), 700);
        },
        FlagKind::ImpossibleSide,
    );
    // The mouth is clear before the head turns; the face is back before the mouth is clear.
    flagged(
        &|marks| {
            marks
                .push(MarkKind::MouthClear, LEFT, 500)
                .push(MarkKind::FaceTurn, LEFT, 600)
                .push(MarkKind::FaceReturn, LEFT, 900);
        },
        FlagKind::BreathOutOfOrder,
    );
    flagged(
        &|marks| {
            marks
                .push(MarkKind::FaceTurn, LEFT, 500)
                .push(MarkKind::FaceReturn, LEFT, 700)
                .push(MarkKind::MouthClear, LEFT, 900);
        },
        FlagKind::BreathOutOfOrder,
    );
}

#[test]
fn breaths_in_order_are_told_apart_and_timed() {
    let mut marks = three_cycles();
    for start_ms in [300, 3300] {
        for (kind, offset_ms) in [
            (MarkKind::ExhaleStart, 0),
            (MarkKind::FaceTurn, 400),
            (MarkKind::MouthClear, 640),
            (MarkKind::FaceReturn, 1020),
        ] {
            marks.push(kind, LEFT, start_ms + offset_ms);
        }
    }
    let analysis = analysed(&marks);
    assert!(analysis.flags.is_empty(), "{:?}", analysis.flags);
    assert_eq!(analysis.breaths.len(), 2);
    let seconds = |kind| value(mean_of(&analysis, kind, LEFT));
    let near = |one: f64, other: f64| assert!((one - other).abs() < 1e-9, "{one} against {other}");
    near(seconds(MeasureKind::BreathTurnToClear), 0.24);
    near(seconds(MeasureKind::BreathOpen), 0.38);
    near(seconds(MeasureKind::Exhale), 0.64);
    near(seconds(MeasureKind::BreathHold), 1.98);
    near(seconds(MeasureKind::LateExhaleShare), 37.5);
    // The face is back 0.27 s after the exit, of 0.45 s of recovery.
    near(seconds(MeasureKind::FaceReturnInRecovery), 60.0);
    near(seconds(MeasureKind::BreathOpenShare), 100.0 * 0.38 / 1.5);
    // One arm is marked: its cycles count as two strokes each.
    near(
        value(mean_of(&analysis, MeasureKind::StrokesPerBreath, None)),
        4.0,
    );
}

#[test]
fn kicks_are_counted_per_stroke_and_per_cycle() {
    let mut marks = three_cycles();
    marks.arm(Side::Right, 750, ARM_A, 1500, 3);
    marks.push(MarkKind::MouthClear, Some(Side::Right), 1800).push(
        MarkKind::MouthClear,
        Some(Side::Right),
        4800,
    );
    marks.push(MarkKind::KickOutStart, Some(Side::Both), 1900).push(
        MarkKind::KickOutEnd,
        Some(Side::Both),
        2150,
    );
    for beat in 0..24 {
        let side = if beat % 2 == 0 { Side::Left } else { Side::Right };
        marks.push(MarkKind::Downbeat, Some(side), 20 + 250 * beat);
    }
    let analysis = analysed(&marks);
    assert!((value(mean_of(&analysis, MeasureKind::KickOutDuration, None)) - 0.25).abs() < 1e-12);
    // Six strokes from entry to entry; two of them have a breath, one of these a kick-out.
    let with_breath = mean_of(&analysis, MeasureKind::KickOutsPerBreathingStroke, None);
    assert_eq!((value(with_breath), with_breath.n), (0.5, 2));
    let without = mean_of(&analysis, MeasureKind::KickOutsPerNonBreathingStroke, None);
    assert_eq!((value(without), without.n), (0.0, 5));
    assert_eq!(
        value(mean_of(&analysis, MeasureKind::KickBeatsPerCycle, LEFT)),
        6.0
    );
    assert_eq!(analysis.kick_outs[0].breathing, Some(true));
    assert_eq!(analysis.downbeats.len(), 24);
}
