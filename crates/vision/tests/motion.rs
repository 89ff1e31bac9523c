//! The motion signal against made-up frames whose movement, cuts and faults are known.

#![cfg(not(target_arch = "wasm32"))]
#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/waves.rs"]
mod waves;

use proptest::prelude::*;
use time::{Clock, FrameTimes, Ticks, Timescale};
use waves::{Even, Texture};
use wetframe_vision::motion::{
    Blackout, Footage, Interlacing, MotionError, MotionMeter, MotionSample, Waterline, footage,
};
use wetframe_vision::rhythm::{RhythmOptions, rhythm};
use wetframe_vision::{Luma, PictureError, Point};

const SIZE: (usize, usize) = (320, 180);

fn measured(frames: impl IntoIterator<Item = Luma<'static>>) -> Vec<MotionSample> {
    let mut meter = MotionMeter::new(None);
    for (frame, picture) in (0..).zip(frames) {
        meter.add(Ticks(frame * 20), picture).unwrap();
    }
    meter.samples().to_vec()
}

fn judged(frames: impl IntoIterator<Item = Luma<'static>>) -> Footage {
    footage(&measured(frames))
}

fn plain(level: u8) -> Luma<'static> {
    Luma::new(vec![level; SIZE.0 * SIZE.1], SIZE.0, SIZE.1, SIZE.0).unwrap()
}

/// Still water with noise in which a bright square has moved to `at`.
fn square(at: (usize, usize), noise: &mut Even) -> Luma<'static> {
    let mut bytes = Vec::with_capacity(SIZE.0 * SIZE.1);
    for y in 0..SIZE.1 {
        for x in 0..SIZE.0 {
            let inside = (at.0..at.0 + 40).contains(&x) && (at.1..at.1 + 40).contains(&y);
            let level = if inside {
                190.0
            } else {
                80.0 + (x / 20 % 3) as f64 * 9.0
            };
            bytes.push((level + noise.normal()).clamp(0.0, 255.0) as u8);
        }
    }
    Luma::new(bytes, SIZE.0, SIZE.1, SIZE.0).unwrap()
}

#[test]
fn the_difference_is_the_mean_absolute_one_on_either_side_of_the_line() {
    let mut noise = Even(1);
    let frames = [square((30, 20), &mut noise), square((50, 60), &mut noise)];
    let line = Waterline::through(Point::new(0.0, 70.3), Point::new(320.0, 101.0)).unwrap();
    let (mut above, mut below) = ((0_u64, 0_u64), (0, 0));
    for y in 0..SIZE.1 {
        for x in 0..SIZE.0 {
            let difference = u64::from(frames[0].row(y)[x].abs_diff(frames[1].row(y)[x]));
            let is_above = (y as f64) < 70.3 + (101.0 - 70.3) * x as f64 / 320.0;
            let part = if is_above { &mut above } else { &mut below };
            *part = (part.0 + difference, part.1 + 1);
        }
    }
    let mut meter = MotionMeter::new(Some(line));
    for (frame, picture) in (0..).zip(frames) {
        meter.add(Ticks(frame), picture).unwrap();
    }
    assert_eq!(meter.samples()[0].difference, None);
    let difference = meter.samples()[1].difference.unwrap();
    let mean = |(sum, pixels): (u64, u64)| sum as f64 / pixels as f64;
    assert_eq!(difference.above, Some(mean(above)));
    assert_eq!(difference.below, Some(mean(below)));
    assert_eq!(difference.whole, mean((above.0 + below.0, above.1 + below.1)));
}

#[test]
fn the_rhythm_of_a_moving_thing_is_in_the_signal() {
    let mut noise = Even(3);
    let mut meter = MotionMeter::new(None);
    let times: Vec<Ticks> = (0..300).map(|frame| Ticks(frame * 3_003)).collect();
    for time in &times {
        // Fast and slow once every 1.3 s.
        let phase = time.0 as f64 / 90_000.0 / 1.3 * std::f64::consts::TAU;
        let x = 130.0 + 60.0 * libm::sin(phase / 2.0);
        meter.add(*time, square((x as usize, 50), &mut noise)).unwrap();
    }
    let readings: Vec<(Ticks, f64)> = meter
        .samples()
        .iter()
        .filter_map(|sample| Some((sample.time, sample.difference?.whole)))
        .collect();
    let clock = Clock::new(
        Timescale::new(90_000).unwrap(),
        FrameTimes::from_starts(times, 3_003).unwrap(),
    );
    let rhythm = rhythm(&readings, &clock, RhythmOptions::default()).unwrap();
    assert!((rhythm.period.value_s - 1.3).abs() < 0.02, "{rhythm:?}");
}

#[test]
fn a_cut_is_said_and_fast_movement_is_none() {
    let mut noise = Even(5);
    let mut frames: Vec<Luma<'static>> = (0..30)
        .map(|frame| square((20 + 9 * frame, 40), &mut noise))
        .collect();
    assert_eq!(judged(frames.clone()).cuts, []);
    let other = Texture::new(2);
    frames.extend((0..30).map(|frame| other.frame(SIZE, (f64::from(frame), 0.0), 1.0, 50 + frame as u64)));
    assert_eq!(judged(frames).cuts, [Ticks(30 * 20)]);
}

/// A lamp, a flash, an exposure that jumps: the picture is another one in brightness only.
#[test]
fn a_change_of_light_is_no_cut() {
    let mut noise = Even(6);
    let frames = (0..40).map(|frame| {
        let picture = square((60, 40), &mut noise);
        let lit = frame >= 20;
        let bytes: Vec<u8> = picture
            .bytes()
            .iter()
            .map(|pixel| if lit { pixel / 2 + 90 } else { *pixel })
            .collect();
        Luma::new(bytes, SIZE.0, SIZE.1, SIZE.0).unwrap()
    });
    assert_eq!(judged(frames.collect::<Vec<_>>()).cuts, []);
}

#[test]
fn black_stretches_and_still_pictures_are_said() {
    let mut noise = Even(7);
    let black = (0..50).map(|frame| {
        if (10..22).contains(&frame) || frame == 49 {
            plain(16)
        } else {
            square((frame, 40), &mut noise)
        }
    });
    let footage = judged(black.collect::<Vec<_>>());
    let stretch = |from: i64, to: i64| Blackout {
        from: Ticks(from * 20),
        to: Ticks(to * 20),
    };
    assert_eq!(footage.blackouts, [stretch(10, 21), stretch(49, 49)]);
    assert_eq!((footage.cuts.len(), footage.still), (0, false));

    let still = judged((0..20).map(|_| square((40, 40), &mut Even(8))));
    assert!(still.still);
    assert_eq!(still.interlacing, Interlacing::NotTold);
    let black = judged((0..20).map(|_| plain(16)));
    assert!(black.still && black.blackouts == [stretch(0, 19)], "{black:?}");
    assert!(!judged((0..20).map(|_| square((40, 40), &mut noise))).still);
    assert_eq!(judged([]).cuts, []);
}

#[test]
fn combed_footage_is_told_from_whole_pictures() {
    let texture = Texture::new(11);
    let at =
        |half_frame: u32| texture.frame(SIZE, (f64::from(half_frame) * 3.0, 0.0), 1.0, half_frame.into());
    let whole = judged((0..60).map(|frame| at(2 * frame)));
    assert_eq!(whole.interlacing, Interlacing::None);
    let combed = judged((0..60).map(|frame| {
        let (upper, lower) = (at(2 * frame), at(2 * frame + 1));
        let rows = (0..SIZE.1).map(|y| {
            if y.is_multiple_of(2) {
                upper.row(y)
            } else {
                lower.row(y)
            }
        });
        let bytes: Vec<u8> = rows.flatten().copied().collect();
        Luma::new(bytes, SIZE.0, SIZE.1, SIZE.0).unwrap()
    }));
    assert!(
        matches!(combed.interlacing, Interlacing::Interlaced { combing } if combing > 1.3),
        "{combed:?}"
    );
    // Noise moves everywhere and combs nothing.
    let mut noise = Even(12);
    let noisy = judged((0..60).map(|_| {
        let bytes: Vec<u8> = (0..SIZE.0 * SIZE.1)
            .map(|_| (noise.draw() * 60.0) as u8)
            .collect();
        Luma::new(bytes, SIZE.0, SIZE.1, SIZE.0).unwrap()
    }));
    assert_eq!(noisy.interlacing, Interlacing::None);
}

#[test]
fn frames_that_do_not_fit_are_refused_and_nothing_is_lost() {
    let mut meter = MotionMeter::new(None);
    meter.add(Ticks(10), plain(5)).unwrap();
    let other = Luma::new(vec![0; 180 * 320], 180, 320, 180).unwrap();
    assert!(matches!(
        meter.add(Ticks(20), other),
        Err(MotionError::Picture(PictureError::SizeChanged { .. }))
    ));
    let late = meter.add(Ticks(10), plain(5)).map(|_| ());
    assert_eq!(
        late,
        Err(MotionError::OutOfOrder {
            time: Ticks(10),
            before: Ticks(10)
        })
    );
    let spare = meter.add(Ticks(20), plain(8)).unwrap().unwrap();
    assert_eq!(spare.into_bytes()[0], 5);
    assert_eq!(meter.samples().len(), 2);
    assert_eq!(meter.samples()[1].difference.unwrap().whole, 3.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn no_input_is_too_odd(
        width in 1_usize..100,
        height in 1_usize..60,
        padding in 0_usize..7,
        seed in any::<u64>(),
        line in prop::option::of(((-50_f64..150.0, -50_f64..100.0), (-50_f64..150.0, -50_f64..100.0))),
    ) {
        let mut even = Even(seed);
        let stride = width + padding;
        let line = line.and_then(|(one, other)| Waterline::through(Point::new(one.0, one.1), Point::new(other.0, other.1)).ok());
        let mut meter = MotionMeter::new(line);
        for time in 0..17 {
            let bytes: Vec<u8> = (0..stride * height).map(|_| (even.draw() * 256.0) as u8).collect();
            meter.add(Ticks(time), Luma::new(bytes, width, height, stride).unwrap()).unwrap();
        }
        for sample in &meter.samples()[1..] {
            let difference = sample.difference.unwrap();
            prop_assert!((0.0..=255.0).contains(&difference.whole));
            prop_assert!(sample.likeness.is_none_or(|likeness| (-1.0001..=1.0001).contains(&likeness)));
        }
        prop_assert!(footage(meter.samples()).cuts.len() < 17);
    }
}

#[test]
fn a_4k_frame_is_measured() {
    let frame = |level: u8| Luma::new(vec![level; 3840 * 2160], 3840, 2160, 3840).unwrap();
    assert_eq!(
        measured([frame(0), frame(255)])[1].difference.unwrap().whole,
        255.0
    );
}
