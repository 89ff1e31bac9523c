//! The stated uncertainty against swims whose true times are known: a seeded simulation of marks that fall on
//! frames, at several rates, with even and with uneven spacing.
//!
//! Two questions. Forward: true events fall anywhere, the coach marks the frame that shows them; do the errors
//! scatter as stated? Backward: given the marks, the truth is uniform over each mark's frame (the definition
//! of the uncertainty); does the measure scatter as stated? Tolerance: 10 % of the stated value forward (500
//! draws), 5 % backward (20,000 draws, sampling error of a standard deviation 0.5 %; the rest is linearisation).

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Chance, analyse, mean_of, of_cycle};
use time::{Clock, FrameTimes, Ticks, Timescale};
use wetframe_stroke::{Analysis, Mark, MarkId, MarkKind, MeasureKind, Passage, Quantity, Side, Speed};

const LEFT: Option<Side> = Some(Side::Left);

/// Frames of those lengths (µs) over and over, for `length_s`.
fn clock(spacings_us: &[i64], length_s: f64) -> Clock {
    let mut starts = vec![Ticks(0)];
    let mut time = 0;
    for spacing in spacings_us.iter().cycle() {
        time += spacing;
        if time as f64 > length_s * 1e6 {
            break;
        }
        starts.push(Ticks(time));
    }
    Clock::new(
        Timescale::new(1_000_000).unwrap(),
        FrameTimes::from_starts(starts, spacings_us[0]).unwrap(),
    )
}

/// True events, s: both arms, `cycles` cycles and one more entry and catch.
fn true_events(cycles: usize, start_s: f64) -> Vec<(MarkKind, Side, f64)> {
    let mut events = Vec::new();
    for (side, offset_s) in [(Side::Left, 0.0), (Side::Right, 0.733)] {
        for cycle in 0..=cycles {
            let count = if cycle == cycles { 2 } else { 4 };
            for (kind, share) in MarkKind::ARM.into_iter().zip([0.0, 0.31, 0.54, 0.71]).take(count) {
                events.push((kind, side, start_s + offset_s + 1.5 * (cycle as f64 + share)));
            }
        }
    }
    events
}

/// Marks on the frames that show the events.
fn marks_on(clock: &Clock, events: &[(MarkKind, Side, f64)]) -> Vec<Mark> {
    let times = clock.frame_times();
    (0..)
        .zip(events)
        .map(|(id, (kind, side, time_s))| {
            let frame = times.frame_at_or_before(Ticks((time_s * 1e6) as i64)).unwrap();
            Mark {
                id: MarkId(id),
                kind: *kind,
                side: Some(*side),
                time: times.start(frame).unwrap(),
            }
        })
        .collect()
}

const KINDS: [(MeasureKind, Option<Side>); 8] = [
    (MeasureKind::CycleDuration, LEFT),
    (MeasureKind::StrokeRate, LEFT),
    (MeasureKind::PhasePull, LEFT),
    (MeasureKind::PhaseRecovery, LEFT),
    (MeasureKind::PropulsiveShare, None),
    (MeasureKind::IndexOfCoordination, LEFT),
    (MeasureKind::IndexOfCoordination, None),
    (MeasureKind::PropulsiveGap, None),
];

fn values(analysis: &Analysis) -> Vec<[f64; 2]> {
    KINDS
        .iter()
        .map(|(kind, side)| {
            let quantity = mean_of(analysis, *kind, *side).quantity.unwrap();
            [quantity.value, quantity.uncertainty]
        })
        .collect()
}

fn standard_deviation(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64).sqrt()
}

/// The same measures by hand, from the definitions: 14 events an arm, entry, catch, mid-pull and exit of three
/// cycles, then entry and catch.
fn by_hand(events: &[(MarkKind, Side, f64)]) -> Vec<f64> {
    let at = |side: usize, cycle: usize, event: usize| events[14 * side + 4 * cycle + event].2;
    let period = |side: usize, cycle: usize| at(side, cycle + 1, 0) - at(side, cycle, 0);
    let mean = |of: &dyn Fn(usize) -> f64| (of(0) + of(1) + of(2)) / 3.0;
    let pull = |cycle| 100.0 * (at(0, cycle, 2) - at(0, cycle, 1)) / period(0, cycle);
    let recovery = |cycle| 100.0 * (at(0, cycle + 1, 0) - at(0, cycle, 3)) / period(0, cycle);
    let share = |cycle| {
        let of = |side| 50.0 * (at(side, cycle, 3) - at(side, cycle, 1)) / period(side, cycle);
        of(0) + of(1)
    };
    let gap_there = |cycle| at(1, cycle, 1) - at(0, cycle, 3);
    let gap_back = |cycle| at(0, cycle + 1, 1) - at(1, cycle, 3);
    let there = |cycle| -100.0 * gap_there(cycle) / period(0, cycle);
    let both = |cycle| (there(cycle) - 100.0 * gap_back(cycle) / period(1, cycle)) / 2.0;
    let mean_period = mean(&|cycle| period(0, cycle));
    vec![
        mean_period,
        120.0 / mean_period,
        mean(&pull),
        mean(&recovery),
        mean(&share),
        mean(&there),
        mean(&both),
        mean(&|cycle| f64::midpoint(gap_there(cycle), gap_back(cycle))),
    ]
}

/// Forward, at constant rates: every event's place in its frame is chance. 500 draws: the sampling error of a
/// standard deviation is 3 %.
#[test]
fn errors_scatter_as_stated_at_constant_rates() {
    for (seed, rate_fps) in [(1, 25.0), (2, 30.0), (3, 60.0), (4, 120.0), (5, 240.0)] {
        let mut chance = Chance(seed);
        let clock = clock(&[(1e6_f64 / rate_fps).round() as i64], 8.0);
        let mut errors = vec![Vec::new(); KINDS.len()];
        let mut stated = vec![0.0; KINDS.len()];
        let draws = 500;
        for _ in 0..draws {
            let mut events = true_events(3, 0.2);
            for (_, _, time_s) in &mut events {
                *time_s += chance.uniform() / rate_fps;
            }
            let marked = values(&analyse(&clock, &marks_on(&clock, &events)));
            for (place, (marked, truth)) in marked.iter().zip(by_hand(&events)).enumerate() {
                errors[place].push(marked[0] - truth);
                stated[place] += marked[1] / f64::from(draws);
            }
        }
        for (place, (kind, side)) in KINDS.iter().enumerate() {
            let ratio = standard_deviation(&errors[place]) / stated[place];
            assert!(
                (ratio - 1.0).abs() < 0.1,
                "{rate_fps} fps {kind:?} {side:?}: seen/stated {ratio}"
            );
            let bias = errors[place].iter().sum::<f64>() / f64::from(draws) / stated[place];
            assert!(
                bias.abs() < 0.2,
                "{rate_fps} fps {kind:?} {side:?}: bias/stated {bias}"
            );
        }
    }
}

/// Backward, with uneven spacing: true times drawn from the frames of given marks, without going through the
/// clock again. The measures are written out here by hand, from the definitions.
#[test]
fn the_truth_scatters_about_the_marks_as_stated_with_uneven_spacing() {
    for (seed, spacings_us) in [
        (11, vec![33_367]),
        (12, vec![16_000, 17_000, 34_000]),
        (13, vec![4_000, 8_000, 40_000, 12_000, 90_000]),
    ] {
        let clock = clock(&spacings_us, 8.0);
        let marks = marks_on(&clock, &true_events(3, 0.21));
        let analysis = analyse(&clock, &marks);
        let mut chance = Chance(seed);
        let mut drawn: Vec<Vec<f64>> = vec![Vec::new(); 5];
        for _ in 0..20_000 {
            let times_s: Vec<f64> = marks
                .iter()
                .map(|mark| {
                    let frame = clock.frame_times().frame_at(mark.time).unwrap();
                    clock.seconds(mark.time.0) + chance.uniform() * clock.spacing_s(frame).unwrap()
                })
                .collect();
            // 14 marks an arm: entry, catch, mid-pull, exit of three cycles, then entry and catch.
            let at = |side: usize, cycle: usize, event: usize| times_s[14 * side + 4 * cycle + event];
            let cycle_s = at(0, 1, 0) - at(0, 0, 0);
            drawn[0].push(cycle_s);
            drawn[1].push((at(0, 3, 0) - at(0, 0, 0)) / 3.0);
            drawn[2].push(100.0 * (at(0, 0, 2) - at(0, 0, 1)) / cycle_s);
            drawn[3].push(100.0 * (at(0, 0, 3) - at(1, 0, 1)) / cycle_s);
            drawn[4].push(360.0 / (at(0, 3, 0) - at(0, 0, 0)));
        }
        let stated = [
            of_cycle(&analysis, MeasureKind::CycleDuration, LEFT, 0),
            mean_of(&analysis, MeasureKind::CycleDuration, LEFT),
            of_cycle(&analysis, MeasureKind::PhasePull, LEFT, 0),
            of_cycle(&analysis, MeasureKind::IndexOfCoordination, LEFT, 0),
            mean_of(&analysis, MeasureKind::StrokeRate, LEFT),
        ];
        for (drawn, stated) in drawn.iter().zip(stated) {
            let ratio = standard_deviation(drawn) / stated.quantity.unwrap().uncertainty;
            assert!(
                (ratio - 1.0).abs() < 0.05,
                "{spacings_us:?} {:?}: seen/stated {ratio}",
                stated.kind
            );
        }
    }
}

/// Derived: an interval between two marks has 1/(fps·√6); at T = 1.5 s the index of one side 1.09, 0.91, 0.45,
/// 0.23, 0.11 points and the mean of both 0.77, 0.64, 0.32, 0.16, 0.08 (with T itself taken as exact).
#[test]
fn figures_at_the_usual_rates() {
    for (rate_fps, interval_ms, one_side, both) in [
        (25_i64, 16.33, 1.09, 0.77),
        (30, 13.61, 0.91, 0.64),
        (60, 6.80, 0.45, 0.32),
        (120, 3.40, 0.23, 0.16),
        (240, 1.70, 0.11, 0.08),
    ] {
        let clock = common::constant_clock(rate_fps as u32 * 1000, 1000, 8 * rate_fps);
        let period = 3 * rate_fps / 2;
        let mut marks = common::Marks::default();
        for (side, start) in [(Side::Left, 0), (Side::Right, period / 2)] {
            // Exit and the other arm's catch on one frame: the index is 0, so T's own error does not enter.
            let events = [0, period / 4, period / 2, period / 4 + period / 2].map(|frame| frame * 1000);
            marks.arm(side, start * 1000, events, period * 1000, 2);
        }
        let analysis = analyse(&clock, &marks.0);
        assert!(
            (analysis.frame_error_ms - interval_ms).abs() < 0.005,
            "{}",
            analysis.frame_error_ms
        );
        let quantity = |side| {
            of_cycle(&analysis, MeasureKind::IndexOfCoordination, side, 0)
                .quantity
                .unwrap()
        };
        assert!(quantity(LEFT).value.abs() < 1e-9);
        // 1.5 s are no whole number of frames at 25 fps.
        let scale = period as f64 / (1.5 * rate_fps as f64);
        for (side, expected) in [(LEFT, one_side), (None, both)] {
            let uncertainty = scale * quantity(side).uncertainty;
            assert!(
                (uncertainty - expected).abs() < 0.006,
                "{rate_fps}: {uncertainty} against {expected}"
            );
        }
    }
}

/// Derived: the mean of n consecutive cycles shares all entries but two, so it has 1/(fps·√6)/n, not /√n.
#[test]
fn consecutive_cycles_share_their_entries() {
    let clock = common::constant_clock(60, 1, 2000);
    for n in [1, 2, 5, 12] {
        let mut marks = common::Marks::default();
        for cycle in 0..=n {
            marks.push(MarkKind::Entry, LEFT, 90 * cycle + cycle % 3);
        }
        let mean = mean_of(&analyse(&clock, &marks.0), MeasureKind::CycleDuration, LEFT)
            .quantity
            .unwrap();
        let expected = 1.0 / (60.0 * 6.0_f64.sqrt()) / n as f64;
        assert!((mean.uncertainty - expected).abs() < 1e-12, "n = {n}: {mean:?}");
    }
}

/// Derived: `SL = v·T` and `SI = v·SL`; v 1.30 m/s, SL 2.1667 m → 2.817 m²/s (Costill 1985, from memory). A
/// flume's own uncertainty adds in squares: u(SL)² = T²·u(v)² + v²·u(T)².
#[test]
fn the_speeds_own_uncertainty_enters() {
    let clock = common::constant_clock(60, 1, 400);
    let mut marks = common::Marks::default();
    marks
        .push(MarkKind::Entry, LEFT, 0)
        .push(MarkKind::Entry, LEFT, 100);
    let measure = |speed: Speed, kind: MeasureKind| -> Quantity {
        let passage = Passage {
            clock: &clock,
            marks: &marks.0,
            speed: Some(speed),
        };
        of_cycle(&wetframe_stroke::analyse(&passage), kind, LEFT, 0)
            .quantity
            .unwrap()
    };
    let flume = |uncertainty_m_per_s| Speed::Flume {
        m_per_s: 1.3,
        uncertainty_m_per_s,
    };
    let (exact, stated) = (flume(None), flume(Some(0.02)));
    let time_error_s = 1.0 / (60.0 * 6.0_f64.sqrt());
    let period_s = 100.0 / 60.0;
    let length = measure(exact, MeasureKind::StrokeLength);
    assert!((length.value - 2.166_667).abs() < 1e-6);
    assert!((length.uncertainty - 1.3 * time_error_s).abs() < 1e-12);
    let length = measure(stated, MeasureKind::StrokeLength);
    let expected = ((period_s * 0.02_f64).powi(2) + (1.3 * time_error_s).powi(2)).sqrt();
    assert!((length.uncertainty - expected).abs() < 1e-12);
    let index = measure(stated, MeasureKind::StrokeIndex);
    assert!((index.value - 2.816_667).abs() < 1e-6);
    let expected = ((2.0 * 1.3 * period_s * 0.02_f64).powi(2) + (1.69 * time_error_s).powi(2)).sqrt();
    assert!((index.uncertainty - expected).abs() < 1e-12);
    let pace = measure(
        Speed::Pace {
            s_per_100_m: 100.0 / 1.3,
        },
        MeasureKind::StrokeLength,
    );
    assert!((pace.value - 2.166_667).abs() < 1e-6);
}
