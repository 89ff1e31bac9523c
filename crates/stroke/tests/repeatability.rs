//! Repeatability of hands whose error is known: a seeded simulation of two markings that fall on frames, and
//! SciPy's figures for the same differences.
//!
//! Tolerances. 2,000 cycles of each arm give 4,000 pairs of each kind of mark: the sampling error of a standard
//! deviation is 1/√(2·4,000) = 1.1 %. A SEM is to be within three of them, 3.5 %, of what theory says. The hand's
//! own SD, the SEM without the frames' share, within 5 %; within 10 % at 30 frames/s, where 8 ms are a quarter of
//! a frame and the two marks begin to fall on the same one.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Chance, Marks, assert_near, constant_clock, millisecond_clock};
use time::{Clock, Ticks};
use wetframe_stroke::{
    FEWEST_PAIRS, Mark, MarkId, MarkKind, MeasureKind, Repeatability, Side, Speed, TwoMarkings,
};

const TICKS_PER_S: u32 = 240_000;

/// When both arms' events happen, s: no two cycles alike, none on a frame by design.
fn swim(cycles: usize, chance: &mut Chance) -> Vec<(MarkKind, Side, f64)> {
    let mut events = Vec::new();
    let mut start_s = 1.0;
    for _ in 0..cycles {
        let period_s = 1.5 + 0.02 * chance.normal();
        for (side, offset_s) in [(Side::Left, 0.0), (Side::Right, 0.74)] {
            for (kind, share) in MarkKind::ARM.into_iter().zip([0.0, 0.31, 0.54, 0.71]) {
                let own_s = 0.004 * chance.normal();
                events.push((kind, side, start_s + offset_s + share * period_s + own_s));
            }
        }
        start_s += period_s;
    }
    events
}

/// One marking: a hand of that scatter and lean, on the frame that shows what the hand takes for the event.
fn marked(
    clock: &Clock,
    events: &[(MarkKind, Side, f64)],
    hand_s: f64,
    lean_s: f64,
    chance: &mut Chance,
) -> Vec<Mark> {
    let times = clock.frame_times();
    (1..)
        .zip(events)
        .map(|(id, (kind, side, time_s))| {
            let seen_s = time_s + lean_s + hand_s * chance.normal();
            let frame = times
                .frame_at_or_before(Ticks((seen_s * f64::from(TICKS_PER_S)) as i64))
                .unwrap();
            Mark {
                id: MarkId(id),
                kind: *kind,
                side: Some(*side),
                time: times.start(frame).unwrap(),
            }
        })
        .collect()
}

fn clock(rate_fps: u32, length_s: f64) -> Clock {
    constant_clock(
        TICKS_PER_S,
        i64::from(TICKS_PER_S / rate_fps),
        (length_s * f64::from(rate_fps)) as i64,
    )
}

fn repeatability_of(clock: &Clock, earlier: &[Mark], again: &[Mark]) -> Repeatability {
    Repeatability::of(&[TwoMarkings {
        clock,
        speed: None,
        earlier,
        again,
    }])
}

/// The SEM that a hand of that SD must show on frames of that length [derived]. The two marks differ by D plus
/// the rounding of both; at any D the expected square is D² + f(1 − f) with f the part of D beyond whole frames,
/// whose mean over normal D is 1/6 − Σ exp(−4π²k²·hand²)/(π²k²), all in frames. For a hand of half a frame
/// the sum is nothing and hand² + 1/12 remains.
fn sem_of(hand_ms: f64, frame_ms: f64) -> f64 {
    let hand = hand_ms / frame_ms;
    let pi2 = std::f64::consts::PI.powi(2);
    let less: f64 = (1..20)
        .map(|k| f64::from(k * k))
        .map(|k2| libm::exp(-4.0 * pi2 * k2 * hand * hand) / (pi2 * k2))
        .sum();
    frame_ms * (hand * hand + (1.0 / 6.0 - less) / 2.0).sqrt()
}

#[test]
fn a_hand_of_8_ms_is_recovered_from_marks_on_frames() {
    const HAND_MS: f64 = 8.0;
    for (rate_fps, tolerance) in [(30, 0.10), (60, 0.05), (120, 0.05), (240, 0.05)] {
        let mut chance = Chance(u64::from(rate_fps));
        let events = swim(2_000, &mut chance);
        let clock = clock(rate_fps, 3_200.0);
        let [earlier, again] =
            [0.0, 0.0].map(|lean_s| marked(&clock, &events, HAND_MS / 1e3, lean_s, &mut chance));
        let repeatability = repeatability_of(&clock, &earlier, &again);
        let frame_ms = 1e3 / f64::from(rate_fps);
        assert_eq!(repeatability.per_mark.len(), 4);
        for mark in &repeatability.per_mark {
            assert_eq!(
                (mark.n, mark.unpaired_earlier, mark.unpaired_again),
                (4_000, 0, 0)
            );
            assert_near(mark.sem_ms.unwrap() / sem_of(HAND_MS, frame_ms), 1.0, 0.035);
            assert_near(mark.own_sem_ms.unwrap() / HAND_MS, 1.0, tolerance);
            assert_near(mark.sem_frames.unwrap() * frame_ms, mark.sem_ms.unwrap(), 1e-9);
            let [low, high] = mark.shift_interval_ms.unwrap();
            assert!(low < 1.0 && high > -1.0 && high - low < 1.2);
        }
        // A gap has two marks: √2 of one mark's.
        let gap = repeatability.of_measure(MeasureKind::PropulsiveGap).unwrap();
        let gap_ms = 2.0_f64.sqrt() * sem_of(HAND_MS, frame_ms);
        assert_near(1e3 * gap.sem.unwrap() / gap_ms, 1.0, 0.035);
        assert_near(
            1e3 * gap.own_sem.unwrap() / (2.0_f64.sqrt() * HAND_MS),
            1.0,
            tolerance,
        );
    }
}

#[test]
fn a_lean_of_the_second_marking_is_a_shift_and_no_scatter() {
    let mut chance = Chance(11);
    let events = swim(1_000, &mut chance);
    let clock = clock(120, 1_700.0);
    let earlier = marked(&clock, &events, 0.008, 0.0, &mut chance);
    let again = marked(&clock, &events, 0.008, 0.020, &mut chance);
    let repeatability = repeatability_of(&clock, &earlier, &again);
    for mark in &repeatability.per_mark {
        // 2,000 pairs: standard error of the shift 0.26 ms.
        assert_near(mark.shift_ms.unwrap(), 20.0, 1.0);
        assert_near(mark.own_sem_ms.unwrap(), 8.0, 0.8);
    }
    // It moves both ends of a gap alike.
    let gap = repeatability.of_measure(MeasureKind::PropulsiveGap).unwrap();
    assert_near(1e3 * gap.shift.unwrap(), 0.0, 1.5);
    assert!(
        repeatability
            .sentences()
            .iter()
            .any(|sentence| sentence.starts_with("You now mark the entry 20 ms later"))
    );
}

#[test]
fn the_interval_holds_the_true_error_in_about_95_of_100_sessions() {
    let mut held = 0;
    let sessions = 600;
    for session in 0..sessions {
        let mut chance = Chance(1_000 + session);
        let events = swim(6, &mut chance);
        let clock = clock(60, 20.0);
        let [earlier, again] = [0.0, 0.0].map(|lean_s| marked(&clock, &events, 0.012, lean_s, &mut chance));
        let repeatability = repeatability_of(&clock, &earlier, &again);
        let [low, high] = repeatability
            .of_mark(MarkKind::Catch)
            .unwrap()
            .sem_interval_ms
            .unwrap();
        let truly_ms = (144.0_f64 + 1e6 / (60.0 * 60.0 * 12.0)).sqrt();
        held += u32::from(low <= truly_ms && truly_ms <= high);
    }
    // 570 expected of 600, standard deviation 5.3.
    assert!((550..=590).contains(&held), "{held} of {sessions}");
}

/// Two clips of the same swimmer, nothing changed: how far apart are the mean gaps by hand and frames alone? As
/// far as the SEM says by itself; with the frames' error added to it, it would be overstated.
#[test]
fn the_frames_share_is_in_the_sem_and_is_not_counted_twice() {
    let (hand_s, rate_fps, gaps) = (0.006, 60, 12);
    let clock = clock(rate_fps, 3_200.0);
    let mut chance = Chance(77);
    let events = swim(2_000, &mut chance);
    let [earlier, again] = [0.0, 0.0].map(|lean_s| marked(&clock, &events, hand_s, lean_s, &mut chance));
    let repeatability = repeatability_of(&clock, &earlier, &again);
    let gap = repeatability.of_measure(MeasureKind::PropulsiveGap).unwrap();
    let stated_s = gap.smallest_change_of_means(gaps, gaps).unwrap() / 1.96;

    // The error of one marked gap, against the truth, apart from the swimmer's own variation.
    let mut off = || {
        let (exit_s, catch_s) = (10.0 + chance.uniform(), 10.3 + chance.uniform());
        let frame_s = 1.0 / f64::from(rate_fps);
        let mut seen = |time_s: f64| ((time_s + hand_s * chance.normal()) / frame_s).floor() * frame_s;
        (seen(catch_s) - seen(exit_s)) - (catch_s - exit_s)
    };
    let mut mean_gap = || (0..gaps).map(|_| off()).sum::<f64>() / f64::from(gaps);
    let differences: Vec<f64> = (0..20_000).map(|_| mean_gap() - mean_gap()).collect();
    let truly_s = (differences
        .iter()
        .map(|difference| difference * difference)
        .sum::<f64>()
        / 20_000.0)
        .sqrt();
    assert_near(stated_s / truly_s, 1.0, 0.03);

    let frames_s = 1.0 / (f64::from(rate_fps) * 6.0_f64.sqrt()) * (2.0 / f64::from(gaps)).sqrt();
    assert!((stated_s * stated_s + frames_s * frames_s).sqrt() > 1.15 * truly_s);
}

#[test]
fn intervals_equal_scipys() {
    let reference = include_str!("../../../tests/reference/repeatability/sem_intervals.csv");
    let mut rows = 0;
    for line in reference.lines().filter(|line| !line.starts_with('#')) {
        let figures: Vec<f64> = line.split(',').map(|figure| figure.parse().unwrap()).collect();
        let (stated, differences_ms) = figures.split_at(8);
        let (mut earlier, mut again) = (Marks::default(), Marks::default());
        for (place, difference_ms) in (1_i64..).zip(differences_ms) {
            earlier.push(MarkKind::Entry, Some(Side::Left), 1_500 * place);
            again.push(
                MarkKind::Entry,
                Some(Side::Left),
                1_500 * place + *difference_ms as i64,
            );
        }
        let clock = millisecond_clock(1.5 * (differences_ms.len() + 2) as f64);
        let repeatability = repeatability_of(&clock, &earlier.0, &again.0);
        let mark = repeatability.of_mark(MarkKind::Entry).unwrap();
        let [low, high] = mark.sem_interval_ms.unwrap();
        let [shift_low, shift_high] = mark.shift_interval_ms.unwrap();
        let computed = [
            f64::from(mark.n),
            mark.sem_ms.unwrap(),
            low,
            high,
            mark.mdc_ms.unwrap(),
            mark.shift_ms.unwrap(),
            shift_low,
            shift_high,
        ];
        for (computed, stated) in computed.into_iter().zip(stated) {
            assert_near(computed, *stated, 1e-7);
        }
        rows += 1;
    }
    assert_eq!(rows, 8);
}

#[test]
fn cycles_are_told_apart_by_where_they_are_not_by_their_number() {
    let mut earlier = Marks::default();
    earlier.arm(Side::Left, 500, [0, 450, 800, 1_050], 1_500, 9);
    // The first entry was passed over: every later cycle has another number, none another place.
    let again: Vec<Mark> = earlier.0.iter().skip(1).copied().collect();
    let clock = millisecond_clock(20.0);
    let repeatability = repeatability_of(&clock, &earlier.0, &again);
    let duration = repeatability.of_measure(MeasureKind::CycleDuration).unwrap();
    assert_eq!(
        (duration.n, duration.sem, duration.shift),
        (8, Some(0.0), Some(0.0))
    );
    let entry = repeatability.of_mark(MarkKind::Entry).unwrap();
    assert_eq!((entry.n, entry.unpaired_earlier, entry.unpaired_again), (9, 1, 0));
    assert!(repeatability.sentences()[0].starts_with("You chose the same frames both times"));
}

#[test]
fn several_passes_pool_and_the_same_marks_again_do_not_count_twice_for_the_reason() {
    let mut earlier = Marks::default();
    for place in 0..4 {
        earlier.push(MarkKind::Entry, Some(Side::Left), 1_000 + 1_500 * place);
    }
    let clock = millisecond_clock(10.0);
    let pass = TwoMarkings {
        clock: &clock,
        speed: None,
        earlier: &earlier.0,
        again: &earlier.0,
    };
    let twice = Repeatability::of(&[pass, pass]);
    let entry = twice.of_mark(MarkKind::Entry).unwrap();
    assert_eq!((twice.passes, entry.n, entry.sem_ms), (2, 8, None));
    let too_few = entry.too_few.as_ref().unwrap();
    assert_eq!((too_few.pairs, too_few.needed), (4, FEWEST_PAIRS));
    assert!(!twice.is_known());

    let mut other = Marks::default();
    for place in 0..4 {
        other.push(MarkKind::Entry, Some(Side::Left), 7_000 + 1_500 * place);
        other.0[place as usize].id = MarkId(100 + place as u32);
    }
    let elsewhere = TwoMarkings {
        earlier: &other.0,
        again: &other.0,
        ..pass
    };
    assert_eq!(
        Repeatability::of(&[pass, elsewhere])
            .of_mark(MarkKind::Entry)
            .unwrap()
            .sem_ms,
        Some(0.0)
    );
}

#[test]
fn a_flume_s_stated_uncertainty_parts_no_two_markings() {
    let mut chance = Chance(5);
    let events = swim(400, &mut chance);
    let clock = clock(120, 700.0);
    let earlier = marked(&clock, &events, 0.008, 0.0, &mut chance);
    let again = marked(&clock, &events, 0.008, 0.0, &mut chance);
    let with = |uncertainty_m_per_s| {
        Repeatability::of(&[TwoMarkings {
            clock: &clock,
            speed: Some(Speed::Flume {
                m_per_s: 1.3,
                uncertainty_m_per_s,
            }),
            earlier: &earlier,
            again: &again,
        }])
    };
    assert_eq!(with(Some(0.05)), with(None));
    let length = with(None);
    let length = length.of_measure(MeasureKind::StrokeLength).unwrap();
    assert!(length.own_sem.unwrap() > 0.0 && length.own_sem < length.sem);
}
