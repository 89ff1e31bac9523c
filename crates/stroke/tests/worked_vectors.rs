//! Every worked vector of the definitions, with its source.
//!
//! "Derived" means plain arithmetic from the definition, done by hand and recorded before the code existed.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Marks, analyse, assert_near, mean_of, millisecond_clock, of_cycle, value};
use wetframe_stroke::{MarkKind, MeasureKind, Side};

const LEFT: Option<Side> = Some(Side::Left);
const RIGHT: Option<Side> = Some(Side::Right);
/// Arm A: entry 0, catch 0.45, mid-pull 0.80, exit 1.05 s, T 1.50 s.
const ARM_A: [i64; 4] = [0, 450, 800, 1050];

/// Phases: Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54-59 (names from the abstract, bounds from
/// memory); figures derived.
#[test]
fn phases_of_arm_a() {
    let clock = millisecond_clock(20.0);
    let mut marks = Marks::default();
    marks.arm(Side::Left, 0, ARM_A, 1500, 3);
    let analysis = analyse(&clock, &marks.0);
    for (kind, percent) in [
        (MeasureKind::PhaseEntryAndCatch, 30.0),
        (MeasureKind::PhasePull, 23.333_333),
        (MeasureKind::PhasePush, 16.666_667),
        (MeasureKind::PhaseRecovery, 30.0),
        (MeasureKind::PropulsiveShare, 40.0),
    ] {
        assert_near(value(mean_of(&analysis, kind, LEFT)), percent, 1e-6);
        assert_near(value(of_cycle(&analysis, kind, LEFT, 1)), percent, 1e-6);
    }
    assert_eq!(analysis.arms[0].cycles.len(), 3);
    assert!(analysis.flags.is_empty(), "{:?}", analysis.flags);
}

/// Index of coordination: definition of Chollet 2000 (memory), sign and averaging of Seifert, Chollet & Allard
/// 2005, Hum Mov Sci (read); figures derived. `IdC₁` is that of the left arm A.
#[test]
fn coordination_of_the_five_pairs_of_arms() {
    let a_prime = [0, 300, 600, 900];
    let a_second = [0, 250, 600, 900];
    for (a, b, b_start, period, first, second, mean) in [
        (ARM_A, ARM_A, 750, 1500, -10.0, -10.0, -10.0),
        (ARM_A, ARM_A, 800, 1500, -13.333_333, -6.666_667, -10.0),
        (
            ARM_A,
            [0, 400, 780, 1100],
            780,
            1500,
            -8.666_667,
            -4.666_667,
            -6.666_667,
        ),
        (a_prime, a_prime, 600, 1200, 0.0, 0.0, 0.0),
        (a_second, a_second, 600, 1200, 4.166_667, 4.166_667, 4.166_667),
    ] {
        let clock = millisecond_clock(20.0);
        let mut marks = Marks::default();
        marks
            .arm(Side::Left, 0, a, period, 4)
            .arm(Side::Right, b_start, b, period, 4);
        let analysis = analyse(&clock, &marks.0);
        let index = |side| value(mean_of(&analysis, MeasureKind::IndexOfCoordination, side));
        assert_near(index(LEFT), first, 1e-6);
        assert_near(index(RIGHT), second, 1e-6);
        assert_near(index(None), mean, 1e-6);
        let difference = mean_of(&analysis, MeasureKind::IndexOfCoordinationDifference, None);
        assert_near(value(difference), second - first, 1e-6);
        // The gap's side is the arm that waits: the right one after the left one's exit.
        let period_s = period as f64 / 1000.0;
        let gap = |side| value(mean_of(&analysis, MeasureKind::PropulsiveGap, side));
        assert_near(gap(RIGHT), -first * period_s / 100.0, 1e-8);
        assert_near(gap(LEFT), -second * period_s / 100.0, 1e-8);
        assert_near(gap(None), -mean * period_s / 100.0, 1e-8);
        assert!(analysis.flags.is_empty(), "{:?}", analysis.flags);
    }
}

/// Derived: three cycles in 4.50 s are 40 cycles/min, 80 strokes/min, 0.750 s a stroke; 48 cycles/min are
/// 0.625 s a stroke, and 95 % of that interval is 50.53 cycles/min, 105 % is 45.71.
#[test]
fn stroke_rate_of_three_cycles() {
    let clock = millisecond_clock(20.0);
    let mut marks = Marks::default();
    for entry_ms in [0, 1480, 3010, 4500] {
        marks.push(MarkKind::Entry, RIGHT, entry_ms);
    }
    let analysis = analyse(&clock, &marks.0);
    assert_near(
        value(mean_of(&analysis, MeasureKind::CycleRate, RIGHT)),
        40.0,
        1e-9,
    );
    assert_near(
        value(mean_of(&analysis, MeasureKind::StrokeRate, RIGHT)),
        80.0,
        1e-9,
    );
    assert_near(
        value(mean_of(&analysis, MeasureKind::StrokeInterval, RIGHT)),
        0.75,
        1e-12,
    );
    assert_near(
        value(mean_of(&analysis, MeasureKind::CycleDuration, RIGHT)),
        1.5,
        1e-12,
    );
    for (share, cycles_per_min) in [(1.0, 48.0), (0.95, 50.526_316), (1.05, 45.714_286)] {
        let interval_s: f64 = 0.625 * share;
        let mut marks = Marks::default();
        let clock = common::constant_clock(1_000_000, 1000, 5000);
        for entry in [0.0, 2.0 * interval_s] {
            marks.push(MarkKind::Entry, RIGHT, (entry * 1e6) as i64);
        }
        let analysis = analyse(&clock, &marks.0);
        assert_near(
            value(mean_of(&analysis, MeasureKind::CycleRate, RIGHT)),
            cycles_per_min,
            1e-4,
        );
        assert_near(
            value(mean_of(&analysis, MeasureKind::StrokeInterval, RIGHT)),
            interval_s,
            1e-6,
        );
    }
}

/// Derived: 200·(R − L)/(R + L); right 0.80 s against left 0.70 s is 13.33 %.
#[test]
fn symmetry_of_two_durations() {
    let mut marks = Marks::default();
    marks.arm(Side::Left, 0, [0, 300, 1000, 1200], 1500, 3).arm(
        Side::Right,
        750,
        [0, 300, 1100, 1200],
        1500,
        3,
    );
    let analysis = analyse(&millisecond_clock(12.0), &marks.0);
    let symmetry = mean_of(&analysis, MeasureKind::SymmetryPhasePullDuration, None);
    assert_near(value(symmetry), 13.333_333, 1e-6);
    assert_near(
        value(mean_of(
            &analysis,
            MeasureKind::SymmetryPhaseEntryAndCatchDuration,
            None,
        )),
        0.0,
        1e-12,
    );
}

/// Derived: three passes, neighbouring references 2.5 m apart (a lane's width), 4.00 s from first to last:
/// 1.25 m/s; with T = 1.5 s a stroke length of 1.875 m and a stroke index of 2.344 m²/s.
#[test]
fn speed_from_passes() {
    let clock = millisecond_clock(12.0);
    let mut marks = Marks::default();
    marks.arm(Side::Left, 0, ARM_A, 1500, 2);
    for pass_ms in [500, 2450, 4500] {
        marks.push(MarkKind::Pass, None, pass_ms);
    }
    let speed = Some(wetframe_stroke::Speed::Passes { distance_m: 2.5 });
    let analysis = wetframe_stroke::analyse(&wetframe_stroke::Passage {
        clock: &clock,
        marks: &marks.0,
        speed,
    });
    let speed = mean_of(&analysis, MeasureKind::Speed, None);
    assert_near(value(speed), 1.25, 1e-12);
    // u(v) = v/t · √2 · 1 ms/√12.
    assert_near(
        speed.quantity.map_or(0.0, |speed| speed.uncertainty),
        1.25 / 4.0 * 0.001 / 6.0_f64.sqrt(),
        1e-12,
    );
    assert_near(
        value(mean_of(&analysis, MeasureKind::StrokeLength, LEFT)),
        1.875,
        1e-12,
    );
    assert_near(
        value(mean_of(&analysis, MeasureKind::StrokeIndex, LEFT)),
        2.343_75,
        1e-12,
    );
}

/// Derived: one breath at 60 frames/s with its four marks on frames 140, 171, 186 and 210 and the next first
/// bubbles on frame 320, in cycles of 90 frames: every stretch in seconds, as frames counted by stepping, and as a
/// share of the cycle of the arm on that side.
#[test]
fn a_breath_in_seconds_frames_and_shares() {
    let clock = common::constant_clock(60, 1, 600);
    let mut marks = Marks::default();
    marks.arm(Side::Right, 90, [0, 27, 48, 63], 90, 4);
    for (kind, frame) in [
        (MarkKind::ExhaleStart, 140),
        (MarkKind::FaceTurn, 171),
        (MarkKind::MouthClear, 186),
        (MarkKind::FaceReturn, 210),
        (MarkKind::ExhaleStart, 320),
        (MarkKind::MouthClear, 366),
    ] {
        marks.push(kind, RIGHT, frame);
    }
    let analysis = analyse(&clock, &marks.0);
    for (kinds, frames) in [
        (
            [
                MeasureKind::BreathTurnToClear,
                MeasureKind::BreathTurnToClearFrames,
                MeasureKind::BreathTurnToClearShare,
            ],
            15.0,
        ),
        (
            [
                MeasureKind::BreathOpen,
                MeasureKind::BreathOpenFrames,
                MeasureKind::BreathOpenShare,
            ],
            24.0,
        ),
        (
            [
                MeasureKind::Exhale,
                MeasureKind::ExhaleFrames,
                MeasureKind::ExhaleShare,
            ],
            46.0,
        ),
        (
            [
                MeasureKind::BreathHold,
                MeasureKind::BreathHoldFrames,
                MeasureKind::BreathHoldShare,
            ],
            110.0,
        ),
    ] {
        let [seconds, counted, share] = kinds.map(|kind| mean_of(&analysis, kind, RIGHT));
        assert_near(value(seconds), frames / 60.0, 1e-12);
        assert_near(value(counted), frames, 1e-12);
        assert_near(value(share), 100.0 * frames / 90.0, 1e-9);
    }
}
