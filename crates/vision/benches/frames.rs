//! What one frame costs: following ten points, measuring its motion, making it clearer. And one clip's rhythm.
//!
//! `cargo bench -p wetframe-vision`; times are for reading, never asserted. The same in wasm, beside OpenCV's
//! browser build: `cargo xtask bench browser`, `tests/browser/bench-vision.mjs`.

#![allow(clippy::unwrap_used, reason = "a benchmark stops where a test would fail")]

#[path = "../tests/shared/waves.rs"]
mod waves;

use divan::{Bencher, black_box};
use image::GrayImage;
use optical_flow_lk::{DEFAULT_MIN_EIGEN_THRESHOLD, TrackParams, TrackerContext};
use time::{Clock, FrameTimes, Ticks, Timescale};
use waves::{Even, Texture};
use wetframe_vision::clarity::{Clarifier, Clarity, DebandOptions, EqualiseOptions, Rgba};
use wetframe_vision::motion::MotionMeter;
use wetframe_vision::rhythm::{RhythmOptions, rhythm};
use wetframe_vision::tracking::{
    Landmark, LucasKanade, PointTracker, ReacquireOptions, Start, TrackOptions, reacquire,
};
use wetframe_vision::{Luma, Point};

const SIZES: [(usize, usize); 2] = [(1280, 720), (1920, 1080)];
const SHIFT: (f64, f64) = (3.37, -2.61);

fn main() {
    divan::main();
}

/// Two frames of a moving texture and ten points of the first.
fn pair(size: (usize, usize)) -> ([Luma<'static>; 2], [Vec<Point>; 2]) {
    let texture = Texture::new(7);
    let frames = [
        texture.frame(size, (0.0, 0.0), 0.7, 1),
        texture.frame(size, SHIFT, 0.7, 2),
    ];
    let mut even = Even(11);
    let mut place = |length: usize| 60.0 + even.draw() * (length as f64 - 120.0);
    let first: Vec<Point> = (0..10)
        .map(|_| Point::new(place(size.0), place(size.1)))
        .collect();
    let second = first
        .iter()
        .map(|point| Point::new(point.x + SHIFT.0, point.y + SHIFT.1));
    let second = second.collect();
    (frames, [first, second])
}

/// There and back again, so that every step has a frame that was just made.
fn track(bencher: Bencher<'_, '_>, size: (usize, usize), return_limit_px: Option<f64>) {
    let (frames, points) = pair(size);
    let starts = points.map(|points| points.into_iter().map(Start::from).collect::<Vec<_>>());
    let mut tracker = LucasKanade::new(TrackOptions {
        return_limit_px,
        ..TrackOptions::default()
    });
    tracker.advance(frames[0].lent()).unwrap();
    let mut from = 0;
    bencher.bench_local(|| {
        tracker.advance(frames[1 - from].lent()).unwrap();
        let steps = tracker.track(&starts[from]);
        from = 1 - from;
        steps
    });
}

#[divan::bench(args = SIZES)]
fn ten_points(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    track(bencher, size, None);
}

#[divan::bench(args = SIZES)]
fn ten_points_with_the_way_back(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    track(bencher, size, Some(1.0));
}

#[divan::bench(args = SIZES)]
fn ten_points_by_optical_flow_lk(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    let (frames, points) = pair(size);
    let images = frames.map(|frame| {
        let length = |side: usize| u32::try_from(side).unwrap();
        GrayImage::from_raw(length(size.0), length(size.1), frame.into_bytes()).unwrap()
    });
    #[expect(clippy::cast_possible_truncation, reason = "the crate counts in f32")]
    let starts = points.map(|points| {
        let pairs = points.iter().map(|point| (point.x as f32, point.y as f32));
        pairs.collect::<Vec<_>>()
    });
    let parameters = TrackParams {
        window_size: 21,
        max_iterations: 30,
        min_eigen_threshold: DEFAULT_MIN_EIGEN_THRESHOLD,
    };
    let mut tracker = TrackerContext::new();
    tracker.advance(&images[0], 3);
    let mut from = 0;
    bencher.bench_local(|| {
        tracker.advance(&images[1 - from], 3);
        let steps = tracker.track(&starts[from], None, parameters).len();
        from = 1 - from;
        steps
    });
}

#[divan::bench(args = SIZES)]
fn motion_of_a_frame(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    let (frames, _) = pair(size);
    let mut meter = MotionMeter::new(None);
    let mut frame = 0;
    bencher.bench_local(|| {
        frame += 1;
        meter
            .add(Ticks(frame), frames[usize::from(frame % 2 == 0)].lent())
            .unwrap();
    });
}

#[divan::bench]
fn a_lost_point(bencher: Bencher<'_, '_>) {
    let (frames, points) = pair(SIZES[0]);
    let landmark = Landmark::of(&frames[0], points[0][0]).unwrap();
    bencher.bench_local(|| {
        reacquire(
            &landmark,
            black_box(&frames[1]),
            points[0][0],
            ReacquireOptions::default(),
        )
    });
}

#[derive(Clone, Copy, Debug)]
enum Filter {
    Red,
    GreyWorld,
    Equalise,
    Deband,
    All,
}

#[divan::bench(args = [Filter::Red, Filter::GreyWorld, Filter::Equalise, Filter::Deband, Filter::All], sample_count = 15)]
fn clearer_1080p(bencher: Bencher<'_, '_>, filter: Filter) {
    let (frames, _) = pair(SIZES[1]);
    let bytes: Vec<u8> = frames[0]
        .bytes()
        .iter()
        .flat_map(|level| [level / 3, *level, level / 2 + 60, 255])
        .collect();
    let source = Rgba::new(&bytes, 1920, 1080).unwrap();
    let off = Clarity::default();
    let clarity = match filter {
        Filter::Red => Clarity {
            red: Some(1.0),
            ..off
        },
        Filter::GreyWorld => Clarity {
            grey_world: true,
            ..off
        },
        Filter::Equalise => Clarity {
            equalise: Some(EqualiseOptions::default()),
            ..off
        },
        Filter::Deband => Clarity {
            deband: Some(DebandOptions::default()),
            ..off
        },
        Filter::All => Clarity::all(),
    };
    let mut clarifier = Clarifier::new();
    bencher.bench_local(|| clarifier.apply(black_box(&source), clarity).len());
}

/// Ten seconds at 240 frames/s.
#[divan::bench]
fn rhythm_of_2400_frames(bencher: Bencher<'_, '_>) {
    let times: Vec<Ticks> = (0..2_400).map(|frame| Ticks(frame * 375)).collect();
    let mut noise = Even(3);
    let readings: Vec<(Ticks, f64)> = times
        .iter()
        .map(|time| {
            (
                *time,
                libm::sin(time.0 as f64 / 90_000.0 * 5.0) + 0.3 * noise.normal(),
            )
        })
        .collect();
    let clock = Clock::new(
        Timescale::new(90_000).unwrap(),
        FrameTimes::from_starts(times, 375).unwrap(),
    );
    bencher.bench_local(|| rhythm(black_box(&readings), &clock, RhythmOptions::default()).unwrap());
}
