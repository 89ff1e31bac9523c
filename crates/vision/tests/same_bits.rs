//! The same frames give the same bits natively and in wasm: this file runs as both (`cargo xtask test rust` and
//! `wasm`) and compares with sums that were recorded natively; a change of arithmetic on purpose renews them.

#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/waves.rs"]
mod waves;

use time::{Clock, FrameTimes, Ticks, Timescale};
#[cfg(target_arch = "wasm32")]
use wasm_bindgen_test::wasm_bindgen_test;
use waves::Texture;
use wetframe_vision::clarity::{Clarifier, Clarity, Rgba};
use wetframe_vision::motion::{MotionMeter, Waterline};
use wetframe_vision::rhythm::{RhythmOptions, rhythm};
use wetframe_vision::tracking::{
    Landmark, LucasKanade, PointTracker, ReacquireOptions, Start, TrackOptions, reacquire,
};
use wetframe_vision::{Luma, Point};

/// FNV-1a over 64 bits, so that a difference in the last digit shows.
struct Sum(u64);

impl Sum {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }

    fn number(&mut self, number: f64) {
        self.bytes(&number.to_bits().to_le_bytes());
    }
}

fn frames() -> Vec<Luma<'static>> {
    let texture = Texture::new(41);
    (0_u32..6)
        .map(|frame| {
            let time = f64::from(frame);
            let shift = (5.3 * libm::sin(time), 1.9 * time);
            texture.frame((243, 181), shift, 1.5, frame.into())
        })
        .collect()
}

#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn frames_are_the_same() {
    let mut sum = Sum::new();
    frames().iter().for_each(|frame| sum.bytes(frame.bytes()));
    assert_eq!(sum.0, 17_042_775_690_210_800_395);
}

#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn tracks_are_the_same() {
    let mut sum = Sum::new();
    let frames = frames();
    let mut tracker = LucasKanade::new(TrackOptions::default());
    let mut points: Vec<Point> = (0..12)
        .map(|index| Point::new(20.3 + 17.9 * f64::from(index), 30.7 + 9.1 * f64::from(index)))
        .collect();
    for frame in &frames {
        tracker.advance(frame.lent()).unwrap();
        let starts: Vec<Start> = points.iter().copied().map(Start::from).collect();
        for (point, step) in points.iter_mut().zip(tracker.track(&starts)) {
            *point = step.point;
            sum.number(step.point.x);
            sum.number(step.point.y);
            sum.number(step.confidence);
            sum.number(step.standard_error_px.unwrap_or(-1.0));
        }
    }
    let landmark = Landmark::of(&frames[0], Point::new(120.4, 90.6)).unwrap();
    let found = reacquire(
        &landmark,
        &frames[1],
        Point::new(120.4, 90.6),
        ReacquireOptions::default(),
    )
    .unwrap();
    sum.number(found.point.x);
    sum.number(found.correlation);
    assert_eq!(sum.0, 12_776_487_183_253_781_814);
}

#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn motion_and_rhythm_are_the_same() {
    let mut sum = Sum::new();
    let line = Waterline::through(Point::new(0.0, 60.0), Point::new(240.0, 83.0)).unwrap();
    let mut meter = MotionMeter::new(Some(line));
    for (time, frame) in (0..).zip(frames()) {
        meter.add(Ticks(time), frame).unwrap();
    }
    for sample in &meter.samples()[1..] {
        let difference = sample.difference.unwrap();
        sum.number(difference.above.unwrap());
        sum.number(difference.below.unwrap());
        sum.number(sample.likeness.unwrap());
    }
    let times: Vec<Ticks> = (0..400).map(|frame| Ticks(frame * 20 + frame % 3)).collect();
    let turn = |time: Ticks| libm::sin(time.0 as f64 / 131.0) + 0.2 * libm::sin(time.0 as f64 * 1.7);
    let readings: Vec<(Ticks, f64)> = times.iter().map(|time| (*time, turn(*time))).collect();
    let clock = Clock::new(
        Timescale::new(600).unwrap(),
        FrameTimes::from_starts(times, 20).unwrap(),
    );
    let found = rhythm(&readings, &clock, RhythmOptions::default()).unwrap();
    sum.number(found.period.value_s);
    sum.number(found.period.low_s);
    sum.number(found.strength);
    assert_eq!(sum.0, 10_701_191_935_660_884_192);
}

#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn clearer_pictures_are_the_same() {
    let mut sum = Sum::new();
    let frame = &frames()[0];
    let bytes: Vec<u8> = frame
        .bytes()
        .iter()
        .flat_map(|level| [level / 3, *level, level / 2 + 60, 255])
        .collect();
    let source = Rgba::new(&bytes, frame.width(), frame.height()).unwrap();
    sum.bytes(Clarifier::new().apply(&source, Clarity::all()));
    assert_eq!(sum.0, 16_083_955_027_851_373_867);
}
