//! The period against signals whose period is known, and against what has none.

#![cfg(not(target_arch = "wasm32"))]
#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/waves.rs"]
mod waves;

use proptest::prelude::*;
use time::{Clock, FrameTimes, Ticks, Timescale};
use waves::Even;
use wetframe_vision::rhythm::{Beats, NoRhythm, Rhythm, RhythmOptions, rhythm};

const TICKS_PER_SECOND: f64 = 90_000.0;

#[expect(clippy::cast_possible_truncation, reason = "a clip's ticks")]
fn ticks(time_s: f64) -> Ticks {
    Ticks((time_s * TICKS_PER_SECOND).round() as i64)
}

/// Readings of `signal` at the frames' times.
fn readings(times_s: &[f64], signal: impl FnMut(f64) -> f64) -> (Clock, Vec<(Ticks, f64)>) {
    let times: Vec<Ticks> = times_s.iter().copied().map(ticks).collect();
    let values: Vec<f64> = times_s.iter().copied().map(signal).collect();
    let frame_times = FrameTimes::from_starts(times.clone(), 3_000).unwrap();
    (
        Clock::new(Timescale::new(90_000).unwrap(), frame_times),
        times.into_iter().zip(values).collect(),
    )
}

fn at_rate(rate_fps: f64, seconds: f64) -> Vec<f64> {
    (0..(seconds * rate_fps) as u32)
        .map(|frame| f64::from(frame) / rate_fps)
        .collect()
}

/// What a hand's passage does to a motion signal: a bump once a period.
fn bump(time_s: f64, period_s: f64, at: f64) -> f64 {
    let phase = (time_s / period_s - at).rem_euclid(1.0);
    let away = phase.min(1.0 - phase);
    libm::exp(-(away / 0.09) * (away / 0.09))
}

fn found(times_s: &[f64], signal: impl FnMut(f64) -> f64) -> Result<Rhythm, NoRhythm> {
    let (clock, readings) = readings(times_s, signal);
    rhythm(&readings, &clock, RhythmOptions::default())
}

#[test]
fn the_period_of_a_clean_signal_is_found_to_a_thousandth() {
    for rate_fps in [25.0, 29.97, 60.0, 120.0, 240.0] {
        for period_s in [0.62, 0.97, 1.5, 2.31] {
            let rhythm = found(&at_rate(rate_fps, 14.0), |time| 2.0 + bump(time, period_s, 0.3)).unwrap();
            let off = (rhythm.period.value_s / period_s - 1.0).abs();
            assert!(off < 0.003, "{period_s} s at {rate_fps} fps: {rhythm:?}");
            assert!(
                rhythm.period.low_s <= period_s && period_s <= rhythm.period.high_s,
                "{rhythm:?}"
            );
        }
    }
}

/// Phones let the frame rate swing with the light; the table's own times make up for it.
#[test]
fn swinging_frame_rates_do_not_move_the_period() {
    let mut even = Even(4);
    let mut times_s = vec![0.0];
    while times_s[times_s.len() - 1] < 15.0 {
        let slow = if (times_s.len() / 90).is_multiple_of(2) {
            1.0
        } else {
            1.6
        };
        times_s.push(times_s[times_s.len() - 1] + slow * (0.75 + 0.5 * even.draw()) / 30.0);
    }
    let rhythm = found(&times_s, |time| bump(time, 1.37, 0.0)).unwrap();
    assert!((rhythm.period.value_s - 1.37).abs() < 0.005, "{rhythm:?}");
}

#[test]
fn two_unlike_arms_make_one_cycle_of_two_beats() {
    for other in [0.35, 0.6, 0.8] {
        let mut noise = Even(9);
        let rhythm = found(&at_rate(60.0, 16.0), |time| {
            bump(time, 1.4, 0.1) + other * bump(time, 1.4, 0.6) + 0.05 * noise.normal()
        })
        .unwrap();
        assert!((rhythm.period.value_s - 1.4).abs() < 0.01, "{other}: {rhythm:?}");
        assert_eq!(rhythm.beats, Beats::Two, "{other}: {rhythm:?}");
        assert!(rhythm.half_strength.unwrap() < rhythm.strength);
    }
}

#[test]
fn two_equal_arms_are_said_to_be_one_beat_or_two_alike() {
    let mut noise = Even(2);
    let rhythm = found(&at_rate(60.0, 16.0), |time| {
        bump(time, 0.7, 0.1) + 0.1 * noise.normal()
    })
    .unwrap();
    assert!((rhythm.period.value_s - 0.7).abs() < 0.01, "{rhythm:?}");
    assert_eq!(rhythm.beats, Beats::OneOrTwoAlike);
}

/// A multiple of the period repeats as well; it must not be taken for it.
#[test]
fn a_multiple_is_not_taken_for_the_period() {
    for seed in 0..20 {
        let mut noise = Even(seed);
        let rhythm = found(&at_rate(30.0, 20.0), |time| {
            bump(time, 1.1, 0.4) + 0.25 * noise.normal()
        })
        .unwrap();
        assert!((rhythm.period.value_s - 1.1).abs() < 0.03, "{seed}: {rhythm:?}");
    }
}

/// The share of 95 % intervals that hold the truth, over strokes that vary by 3 % and noise.
#[test]
fn intervals_hold_the_truth_about_as_often_as_they_say() {
    let (mut held, mut seen, mut widths) = (0, 0, Vec::new());
    for seed in 0..200 {
        let mut even = Even(1_000 + seed);
        let mean_s = 0.9 + 0.8 * even.draw();
        let mut starts = vec![0.0];
        while starts[starts.len() - 1] < 15.0 {
            starts.push(starts[starts.len() - 1] + mean_s * (1.0 + 0.03 * even.normal()));
        }
        let phase = |time: f64| {
            let index = starts.partition_point(|start| *start <= time) - 1;
            index as f64 + (time - starts[index]) / (starts[index + 1] - starts[index])
        };
        let last = at_rate(50.0, 12.0);
        let mut noise = Even(5_000 + seed);
        let Ok(rhythm) = found(&last, |time| bump(phase(time), 1.0, 0.5) + 0.15 * noise.normal()) else {
            continue;
        };
        // The truth of this clip: its own mean period.
        let truth_s = last[last.len() - 1] / phase(last[last.len() - 1]);
        seen += 1;
        held += u32::from(rhythm.period.low_s <= truth_s && truth_s <= rhythm.period.high_s);
        widths.push((rhythm.period.high_s - rhythm.period.low_s) / truth_s);
    }
    let share = f64::from(held) / f64::from(seen);
    let width = waves::quantile(&widths, 0.5);
    assert!(
        seen > 190 && share > 0.9 && width < 0.08,
        "{held} of {seen}, median width {width:.3}"
    );
}

#[test]
fn without_a_rhythm_a_reason_is_given() {
    let times_s = at_rate(30.0, 12.0);
    let short = found(&at_rate(30.0, 0.5), |time| bump(time, 0.7, 0.0));
    assert!(matches!(short, Err(NoRhythm::TooShort { .. })), "{short:?}");
    assert_eq!(found(&times_s, |_| 3.25), Err(NoRhythm::Still));
    assert_eq!(found(&times_s, |_| 0.0), Err(NoRhythm::Still));
    let number = found(&times_s, |time| if time > 1.0 { f64::NAN } else { 0.0 });
    assert_eq!(number, Err(NoRhythm::NotANumber { index: 31 }));
    let mut offered = 0;
    for seed in 0..100 {
        let mut noise = Even(seed);
        match found(&times_s, |_| noise.normal()) {
            Err(NoRhythm::TooWeak { .. }) => {}
            other => {
                offered += 1;
                assert!(matches!(other, Ok(rhythm) if rhythm.strength < 0.45), "{other:?}");
            }
        }
    }
    assert!(offered <= 2, "a rhythm in {offered} of 100 noises");
    // A single push-off and a glide.
    let glide = found(&times_s, |time| libm::exp(-time / 2.0));
    assert!(matches!(glide, Err(NoRhythm::TooWeak { .. })), "{glide:?}");
}

#[test]
fn times_that_stand_still_are_refused() {
    let (clock, mut readings) = readings(&at_rate(30.0, 5.0), |time| bump(time, 1.0, 0.0));
    readings[40].0 = readings[39].0;
    let refused = rhythm(&readings, &clock, RhythmOptions::default());
    assert_eq!(refused, Err(NoRhythm::NotIncreasing { index: 40 }));
    assert!(matches!(
        rhythm(&[], &clock, RhythmOptions::default()),
        Err(NoRhythm::TooShort { .. })
    ));
}

#[test]
fn slow_motion_is_read_in_true_seconds() {
    let (clock, readings) = readings(&at_rate(30.0, 60.0), |time| bump(time, 8.0 * 1.25, 0.0));
    let clock = clock.filmed_at(240.0).unwrap();
    let rhythm = rhythm(&readings, &clock, RhythmOptions::default()).unwrap();
    assert!((rhythm.period.value_s - 1.25).abs() < 0.01, "{rhythm:?}");
}

/// Options that nobody should give, and some that one may.
fn odd() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(0.0),
        Just(-1.0),
        Just(f64::INFINITY),
        Just(1e300),
        0.01_f64..3.0
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_input_is_too_odd(
        spacings in prop::collection::vec(1_i64..40_000, 0..160),
        values in prop::collection::vec(prop_oneof![Just(0.0), -1e12_f64..1e12, Just(f64::INFINITY), -1.0_f64..1.0], 160),
        options in (odd(), odd(), odd()),
    ) {
        let mut time = 0;
        let mut times = vec![Ticks(0)];
        for spacing in spacings {
            time += spacing;
            times.push(Ticks(time));
        }
        let clock = Clock::new(
            Timescale::new(90_000).unwrap(),
            FrameTimes::from_starts(times.clone(), 3_000).unwrap(),
        );
        let readings: Vec<(Ticks, f64)> = times.into_iter().zip(values).collect();
        let odd = RhythmOptions { shortest_s: options.0, longest_s: options.1, least_strength: options.2 };
        let _ = rhythm(&readings, &clock, odd);
        if let Ok(rhythm) = rhythm(&readings, &clock, RhythmOptions::default()) {
            let period = rhythm.period;
            prop_assert!(0.0 <= period.low_s && period.low_s <= period.value_s && period.value_s <= period.high_s);
            prop_assert!(period.high_s.is_finite());
            prop_assert!((0.0..=1.0).contains(&rhythm.strength));
        }
    }
}
