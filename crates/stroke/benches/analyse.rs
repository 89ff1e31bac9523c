//! Everything that follows from the marks of a long clip, and one step of the guided pass through it.
//!
//! 5,000 marks are 625 cycles of both arms, a quarter of an hour of swimming: more than any clip. The times for
//! a quarter and for four times as many show how it grows.

use divan::{Bencher, black_box};
use time::{Clock, FrameTimes, Ticks, Timescale};
use wetframe_stroke::compare::{Conditions, Selection};
use wetframe_stroke::guide::{GuidePlan, next_step};
use wetframe_stroke::{
    BreathingSplit, CompareOptions, Mark, MarkId, MarkKind, Passage, SelectedCycles, Side, Speed, analyse,
    compare,
};

fn main() {
    divan::main();
}

/// Marks of one clip: 8 and 30 cycles of both arms, and a long swim.
const COMPARED: [u32; 3] = [80, 300, 2500];

const COUNTS: [u32; 3] = [1250, 5000, 20_000];

/// Both arms at 60 fps, with a breath to the right in every second cycle, as many marks as asked for.
fn swim(count: u32) -> (Clock, Vec<Mark>) {
    let mut marks: Vec<Mark> = Vec::new();
    let mut frame = 10_i64;
    let mut cycle = 0_i64;
    while marks.len() < count as usize {
        let mut push = |kind, side, at: i64| {
            let id = MarkId(u32::try_from(marks.len()).unwrap_or(u32::MAX));
            marks.push(Mark {
                id,
                kind,
                side: Some(side),
                time: Ticks(frame + at),
            });
        };
        for (side, offset) in [(Side::Left, 0), (Side::Right, 45)] {
            // A scatter that repeats only after many cycles.
            for (kind, at) in MarkKind::ARM.into_iter().zip([0, 27, 48, 63]) {
                push(kind, side, offset + at + (cycle * 7 + at) % 4);
            }
        }
        if cycle % 2 == 1 {
            push(MarkKind::FaceTurn, Side::Right, 98);
            push(MarkKind::MouthClear, Side::Right, 109);
        }
        frame += 90;
        cycle += 1;
    }
    marks.truncate(count as usize);
    let starts = (0..frame + 200).map(Ticks).collect();
    let times = FrameTimes::from_starts(starts, 1);
    let clock = Timescale::new(60).and_then(|timescale| Ok(Clock::new(timescale, times?)));
    match clock {
        Ok(clock) => (clock, marks),
        Err(error) => unreachable!("{error}"),
    }
}

#[divan::bench(args = COUNTS)]
fn all_measures(bencher: Bencher, count: u32) {
    let (clock, marks) = swim(count);
    let speed = Some(Speed::Flume {
        m_per_s: 1.3,
        uncertainty_m_per_s: Some(0.02),
    });
    bencher.bench_local(|| {
        analyse(&Passage {
            clock: &clock,
            marks: black_box(&marks),
            speed,
        })
    });
}

/// Both clips of a comparison with so many marks each, for the ratio to the comparison below.
#[divan::bench(args = COMPARED)]
fn analysing_two_clips(bencher: Bencher, count: u32) {
    let (clock, marks) = swim(count);
    bencher.bench_local(|| {
        [1, 2].map(|_| {
            analyse(&Passage {
                clock: &clock,
                marks: black_box(&marks),
                speed: None,
            })
        })
    });
}

/// Everything from the marks of two clips to the verdicts.
#[divan::bench(args = COMPARED)]
fn comparing_two_clips(bencher: Bencher, count: u32) {
    let (clock, marks) = swim(count);
    let all = Selection {
        from: None,
        to: None,
        breathing: BreathingSplit::All,
    };
    bencher.bench_local(|| {
        let [before, after] = [1, 2].map(|clip| {
            let passage = Passage {
                clock: &clock,
                marks: black_box(&marks),
                speed: None,
            };
            [SelectedCycles::of(clip, &passage, all, Conditions::default())]
        });
        compare(&before, &after, &CompareOptions::default())
    });
}

/// The worst of a pass: one mark in the middle is missing.
#[divan::bench(args = COUNTS)]
fn next_guided_step(bencher: Bencher, count: u32) {
    let (clock, mut marks) = swim(count);
    marks.remove(marks.len() / 2);
    let plan = GuidePlan::default();
    bencher.bench_local(|| {
        next_step(
            &Passage {
                clock: &clock,
                marks: black_box(&marks),
                speed: None,
            },
            &plan,
            &[],
        )
    });
}
