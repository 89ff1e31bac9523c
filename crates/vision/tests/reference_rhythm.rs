//! The period against SciPy's Lomb–Scargle periodogram, the autocorrelation against an FFT.

#![cfg(not(target_arch = "wasm32"))]
#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/reference.rs"]
mod reference;
#[path = "shared/waves.rs"]
mod waves;

use realfft::RealFftPlanner;
use reference::{numbers, rows};
use time::{Clock, FrameTimes, Ticks, Timescale};
use waves::Even;
use wetframe_vision::rhythm::{Autocorrelation, EvenSignal, RhythmOptions, rhythm};

#[test]
fn periods_agree_with_lomb_and_scargle_and_intervals_hold_the_truth() {
    let readings = rows("rhythm_readings.csv");
    let periods = rows("rhythm_periods.csv");
    assert_eq!(periods.len(), 4);
    for period in periods {
        let [truth_s, lombscargle_s] = numbers(&period, 1).try_into().unwrap();
        let of_case: Vec<(Ticks, f64)> = readings
            .iter()
            .filter(|row| row[0] == period[0])
            .map(|row| (Ticks(row[1].parse().unwrap()), row[2].parse().unwrap()))
            .collect();
        let times = of_case.iter().map(|reading| reading.0).collect();
        let clock = Clock::new(
            Timescale::new(90_000).unwrap(),
            FrameTimes::from_starts(times, 3_000).unwrap(),
        );
        let rhythm = rhythm(&of_case, &clock, RhythmOptions::default()).unwrap();
        let found = rhythm.period;
        assert!(
            (found.value_s / lombscargle_s - 1.0).abs() < 0.01,
            "{period:?} {rhythm:?}"
        );
        assert!(
            (found.value_s / truth_s - 1.0).abs() < 0.01,
            "{period:?} {rhythm:?}"
        );
        assert!(
            found.low_s <= truth_s && truth_s <= found.high_s,
            "{period:?} {rhythm:?}"
        );
    }
}

/// Wiener–Khinchin: the products at every lag are the inverse transform of the squared spectrum, zeros added.
#[test]
fn the_autocorrelation_is_that_of_the_fourier_transform() {
    let mut even = Even(17);
    let values: Vec<f64> = (0..700)
        .map(|index| libm::sin(f64::from(index) / 9.0) + even.normal())
        .collect();
    let count = values.len();
    let mut planner = RealFftPlanner::<f64>::new();
    let (forward, back) = (
        planner.plan_fft_forward(2 * count),
        planner.plan_fft_inverse(2 * count),
    );
    let mut padded = values.clone();
    padded.resize(2 * count, 0.0);
    let mut spectrum = forward.make_output_vec();
    forward.process(&mut padded, &mut spectrum).unwrap();
    for value in &mut spectrum {
        *value = (*value * value.conj()) / (2 * count) as f64;
    }
    let mut products = back.make_output_vec();
    back.process(&mut spectrum, &mut products).unwrap();

    let signal = EvenSignal { step_s: 0.02, values };
    let ours = Autocorrelation::of(&signal, 0.02 * 400.0, 7);
    let energy = |values: &[f64]| values.iter().map(|value| value * value).sum::<f64>();
    for (lag, likeness) in ours.likeness(None).iter().enumerate() {
        let (earlier, later) = (
            energy(&signal.values[..count - lag]),
            energy(&signal.values[lag..]),
        );
        let wanted = products[lag] / (earlier * later).sqrt();
        assert!((likeness - wanted).abs() < 1e-10, "lag {lag}");
    }

    // Without a block: as if no pair touched it.
    let (from, end) = (2 * count / 7, 3 * count / 7);
    let left_out = ours.likeness(Some(2));
    for lag in [1, 7, 99, 250] {
        let pairs = (0..count - lag).filter(|index| {
            let inside = |index: usize| (from..end).contains(&index);
            !inside(*index) && !inside(index + lag)
        });
        let (mut product, mut earlier, mut later) = (0.0, 0.0, 0.0);
        for index in pairs {
            let (a, b) = (signal.values[index], signal.values[index + lag]);
            product += a * b;
            earlier += a * a;
            later += b * b;
        }
        assert!(
            (left_out[lag] - product / (earlier * later).sqrt()).abs() < 1e-10,
            "lag {lag}"
        );
    }
}
