//! The kernels and the baseline crate behind plain exports, for `tests/browser/bench-vision.mjs`.
//!
//! Two frames are filled from outside; every call goes back and forth between them, as tracking through a
//! clip does. Not shipped.

#![allow(unsafe_code, reason = "an export to JavaScript needs an unmangled name")]
#![allow(clippy::unwrap_used, reason = "a benchmark stops where a test would fail")]

use std::cell::RefCell;

use image::GrayImage;
use optical_flow_lk::{
    DEFAULT_MIN_EIGEN_THRESHOLD, TrackOptions as CrateOptions, TrackParams, TrackerContext,
};
use time::Ticks;
use wetframe_vision::clarity::{Clarifier, Clarity, Rgba};
use wetframe_vision::kernels::{Fastest, Kernels, Scalar};
use wetframe_vision::motion::MotionMeter;
use wetframe_vision::tracking::{LucasKanade, PointTracker, Start, TrackOptions};
use wetframe_vision::{Luma, Point};

const POINTS: usize = 10;

struct Bench {
    written: [Vec<u8>; 2],
    /// The written frames, as the trackers borrow them.
    frames: [Luma<'static>; 2],
    size: (usize, usize),
    /// Where the points are in each frame.
    points: [[f64; 2 * POINTS]; 2],
    found: [f64; 2 * POINTS],
    one_way: LucasKanade<'static>,
    both_ways: LucasKanade<'static>,
    colours: Vec<u8>,
    clarifier: Clarifier,
    baseline: TrackerContext,
    baseline_frames: [GrayImage; 2],
}

thread_local! {
    static BENCH: RefCell<Option<Bench>> = const { RefCell::new(None) };
}

fn with<T>(act: impl FnOnce(&mut Bench) -> T) -> T {
    BENCH.with_borrow_mut(|bench| act(bench.as_mut().unwrap()))
}

/// Makes two frames of that size.
#[unsafe(no_mangle)]
pub extern "C" fn begin(width: usize, height: usize) {
    let frame = || Luma::new(vec![0; width * height], width, height, width).unwrap();
    let tracker = |return_limit_px| {
        LucasKanade::new(TrackOptions {
            return_limit_px,
            ..TrackOptions::default()
        })
    };
    BENCH.set(Some(Bench {
        written: [vec![0; width * height], vec![0; width * height]],
        frames: [frame(), frame()],
        size: (width, height),
        points: [[0.0; 2 * POINTS]; 2],
        found: [0.0; 2 * POINTS],
        one_way: tracker(None),
        both_ways: tracker(Some(1.0)),
        colours: Vec::new(),
        clarifier: Clarifier::new(),
        baseline: TrackerContext::new(),
        baseline_frames: Default::default(),
    }));
}

/// Where frame `index`'s pixels are to be written.
#[unsafe(no_mangle)]
pub extern "C" fn frame(index: usize) -> *mut u8 {
    with(|bench| bench.written[index].as_mut_ptr())
}

/// Where the points of frame `index` are to be written: x and y of each.
#[unsafe(no_mangle)]
pub extern "C" fn points(index: usize) -> *mut f64 {
    with(|bench| bench.points[index].as_mut_ptr())
}

/// Where the last call's points are.
#[unsafe(no_mangle)]
pub extern "C" fn found() -> *const f64 {
    with(|bench| bench.found.as_ptr())
}

/// Hands the written frames to the trackers.
#[unsafe(no_mangle)]
pub extern "C" fn ready() {
    with(|bench| {
        let (width, height) = bench.size;
        let size = |length: usize| u32::try_from(length).unwrap();
        for (index, written) in bench.written.iter().enumerate() {
            bench.baseline_frames[index] =
                GrayImage::from_raw(size(width), size(height), written.clone()).unwrap();
            let bytes: &'static [u8] = Vec::leak(written.clone());
            bench.frames[index] = Luma::new(bytes, width, height, width).unwrap();
        }
        bench.one_way.advance(bench.frames[0].clone()).unwrap();
        bench.both_ways.advance(bench.frames[0].clone()).unwrap();
        bench.baseline.advance(&bench.baseline_frames[0], 3);
    });
}

fn starts(points: &[f64; 2 * POINTS]) -> [Start; POINTS] {
    let (pairs, _) = points.as_chunks::<2>();
    let mut starts = [Start::from(Point::default()); POINTS];
    for (start, [x_px, y_px]) in starts.iter_mut().zip(pairs) {
        start.point = Point::new(*x_px, *y_px);
    }
    starts
}

/// A pair of steps, to the second frame and back, `times` times. `way`: 0 without the way back, 1 with it.
#[unsafe(no_mangle)]
pub extern "C" fn track(times: u32, way: u32) {
    with(|bench| {
        let tracker = if way == 0 {
            &mut bench.one_way
        } else {
            &mut bench.both_ways
        };
        for _ in 0..times {
            for from in 0..2 {
                tracker.advance(bench.frames[1 - from].clone()).unwrap();
                let steps = tracker.track(&starts(&bench.points[from]));
                for (found, step) in bench.found.chunks_mut(2).zip(&steps) {
                    found.copy_from_slice(&[step.point.x, step.point.y]);
                }
            }
        }
    });
}

/// The same by the baseline crate.
#[unsafe(no_mangle)]
pub extern "C" fn track_baseline(times: u32) {
    let parameters = TrackParams {
        window_size: 21,
        max_iterations: 30,
        min_eigen_threshold: DEFAULT_MIN_EIGEN_THRESHOLD,
    };
    #[expect(clippy::cast_possible_truncation, reason = "the crate counts in f32")]
    with(|bench| {
        for _ in 0..times {
            for from in 0..2 {
                bench.baseline.advance(&bench.baseline_frames[1 - from], 3);
                let starts: Vec<(f32, f32)> = bench.points[from]
                    .chunks(2)
                    .map(|point| (point[0] as f32, point[1] as f32))
                    .collect();
                let steps = bench
                    .baseline
                    .track_with(&starts, None, parameters, CrateOptions::new());
                for (found, step) in bench.found.chunks_mut(2).zip(steps) {
                    found.copy_from_slice(&[f64::from(step.pos.0), f64::from(step.pos.1)]);
                }
            }
        }
    });
}

/// Sum of absolute differences of the two frames. `way`: 0 vectors, 1 plain loops.
#[unsafe(no_mangle)]
pub extern "C" fn absolute_difference(times: u32, way: u32) -> f64 {
    with(|bench| {
        let [a, b] = bench.frames.each_ref().map(Luma::bytes);
        let mut sum = 0;
        for _ in 0..times {
            let difference = if way == 0 {
                Fastest::absolute_difference(a, b)
            } else {
                Scalar::absolute_difference(a, b)
            };
            sum = std::hint::black_box(difference);
        }
        #[expect(clippy::cast_precision_loss, reason = "below 2^53")]
        let sum = sum as f64;
        sum
    })
}

/// Measures the motion of `times` frames, one after the other.
#[unsafe(no_mangle)]
pub extern "C" fn motion(times: u32) -> f64 {
    with(|bench| {
        let mut meter = MotionMeter::new(None);
        for frame in 0..=times {
            let picture = bench.frames[usize::from(frame % 2 == 0)].clone();
            meter.add(Ticks(frame.into()), picture).unwrap();
        }
        let last = meter.samples().last().and_then(|sample| sample.difference);
        last.unwrap().whole
    })
}

/// Puts all clarity filters over a colour picture of the first frame.
#[unsafe(no_mangle)]
pub extern "C" fn clearer(times: u32) -> usize {
    with(|bench| {
        let (width, height) = bench.size;
        if bench.colours.is_empty() {
            let levels = bench.frames[0].bytes().iter();
            bench.colours = levels
                .flat_map(|level| [level / 3, *level, level / 2 + 60, 255])
                .collect();
        }
        let source = Rgba::new(&bench.colours, width, height).unwrap();
        (0..times)
            .map(|_| bench.clarifier.apply(&source, Clarity::all()).len())
            .sum()
    })
}
