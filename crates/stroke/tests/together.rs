//! Two clips held together: the frames are the nearest there are, whatever the rates and timescales.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Marks, analyse, assert_near, constant_clock};
use proptest::prelude::*;
use time::{Clock, Ticks};
use wetframe_stroke::together::{CyclesChosen, Lock, NotTogether, Seen, Together, TogetherChoice, Which};
use wetframe_stroke::{DriveArms, MarkKind, Phase, Side};

const ALL: CyclesChosen = CyclesChosen::All;

/// A clip with `cycles` strokes of both arms (the worked example of METHODS.md, slower by `stretch`), marked on
/// the frames nearest to the events. The truth is in seconds, so that a test can do without our arithmetic.
struct Swim {
    clock: Clock,
    fps: f64,
    /// Left arm: each cycle's five events on the frames that they were marked on.
    frames: Vec<[i64; 5]>,
    marks: Marks,
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "small numbers"
)]
fn swim(ticks_per_second: u32, spacing: i64, cycles: usize, stretch: f64) -> Swim {
    let fps = f64::from(ticks_per_second) / spacing as f64;
    let cycle_s = 1.5 * stretch;
    let clock = constant_clock(
        ticks_per_second,
        spacing,
        ((cycle_s * (cycles as f64 + 2.0)) * fps) as i64,
    );
    let frame_of = |seconds: f64| (seconds * fps).round() as i64;
    let mut marks = Marks::default();
    let mut frames = Vec::new();
    for (side, offset_s) in [(Side::Left, 0.2), (Side::Right, 0.2 + cycle_s / 2.0)] {
        for cycle in 0..=cycles {
            let entry_s = offset_s + cycle as f64 * cycle_s;
            let events = [0.0, 0.45, 0.80, 1.05, 1.5].map(|event_s| frame_of(entry_s + event_s * stretch));
            let marked = if cycle == cycles { 1 } else { 4 };
            for (kind, frame) in MarkKind::ARM.into_iter().zip(events).take(marked) {
                marks.push(kind, Some(side), frame * spacing);
            }
            if side == Side::Left && cycle < cycles {
                frames.push(events);
            }
        }
    }
    Swim {
        clock,
        fps,
        frames,
        marks,
    }
}

fn seen(swim: &Swim) -> Seen {
    Seen::of(swim.clock.clone(), &analyse(&swim.clock, &swim.marks.0))
}

fn by_phase(one: &Swim, other: &Swim, cycles: CyclesChosen, driving: Option<Which>) -> Together {
    let lock = Lock::Phase {
        side: Side::Left,
        cycles,
    };
    Together::of([seen(one), seen(other)], &TogetherChoice { lock, driving }).unwrap()
}

/// The exact frame position, between frames, of a phase of a cycle: straight lines between the marked frames.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small numbers"
)]
fn frame_at(swim: &Swim, cycle: usize, u: f64) -> f64 {
    let node = (u as usize).min(3);
    let [from, to] = [swim.frames[cycle][node], swim.frames[cycle][node + 1]].map(|frame| frame as f64);
    from + (u - node as f64) * (to - from)
}

#[expect(clippy::cast_precision_loss, reason = "small numbers")]
fn assert_nearest(frame: usize, exact: f64) {
    assert!(
        (frame as f64 - exact).abs() <= 0.5 + 1e-9,
        "frame {frame} is not the nearest to {exact}"
    );
}

#[test]
fn at_a_phase_each_clip_shows_its_own_nearest_frame() {
    let (before, after) = (swim(15_360, 256, 4, 1.1), swim(600, 20, 4, 0.93));
    let together = by_phase(&before, &after, CyclesChosen::One { cycles: [1, 2] }, None);
    for step in 0..400 {
        let u = f64::from(step) / 100.0;
        let moment = together.at_position(u);
        assert_nearest(moment.frames[0].frame, frame_at(&before, 1, u));
        assert_nearest(moment.frames[1].frame, frame_at(&after, 2, u));
        assert_eq!(
            (moment.frames[0].cycle, moment.frames[1].cycle),
            (Some(1), Some(2))
        );
    }
}

#[test]
fn a_step_is_the_next_frame_of_the_driving_clip_and_the_other_follows() {
    let (before, after) = (swim(15_360, 256, 3, 1.0), swim(600, 20, 3, 0.9));
    for driving in Which::BOTH {
        let together = by_phase(
            &before,
            &after,
            CyclesChosen::One { cycles: [0, 0] },
            Some(driving),
        );
        let (own, other) = match driving {
            Which::First => (0, 1),
            Which::Second => (1, 0),
        };
        let swims = [&before, &after];
        let first = usize::try_from(swims[own].frames[0][0]).unwrap();
        for place in 0..together.facts().places {
            let moment = together.at_place(place);
            assert_eq!((moment.place, moment.frames[own].frame), (place, first + place));
            assert_nearest(
                moment.frames[other].frame,
                frame_at(swims[other], 0, moment.position),
            );
            assert_near(
                frame_at(swims[own], 0, moment.position),
                (first + place) as f64,
                1e-9,
            );
        }
        assert_eq!(
            together.facts().places,
            usize::try_from(swims[own].frames[0][4] - swims[own].frames[0][0]).unwrap()
        );
    }
}

#[test]
fn the_clip_with_more_frames_a_stroke_drives_unless_told() {
    let (sixty, thirty) = (swim(15_360, 256, 3, 1.0), swim(600, 20, 3, 1.2));
    assert_eq!(by_phase(&sixty, &thirty, ALL, None).facts().driving, Which::First);
    assert_eq!(
        by_phase(&thirty, &sixty, ALL, None).facts().driving,
        Which::Second
    );
    assert_eq!(
        by_phase(&thirty, &thirty, ALL, None).facts().driving,
        Which::First
    );
    assert_eq!(
        by_phase(&thirty, &sixty, ALL, Some(Which::First)).facts().driving,
        Which::First
    );
}

#[test]
fn through_all_cycles_the_clip_with_fewer_starts_again_and_says_so() {
    let (five, two) = (swim(1000, 10, 5, 1.0), swim(1000, 10, 2, 1.0));
    let together = by_phase(&five, &two, ALL, Some(Which::Second));
    let facts = together.facts();
    let cycles: Vec<[u32; 2]> = facts.strokes.iter().map(|stroke| stroke.cycles).collect();
    assert_eq!(cycles, [[0, 0], [1, 1], [2, 0], [3, 1], [4, 0]]);
    let again: Vec<bool> = facts.strokes.iter().map(|stroke| stroke.again[1]).collect();
    assert_eq!(again, [false, false, true, true, true]);
    assert!(facts.strokes.iter().all(|stroke| !stroke.again[0]));
    assert_near(facts.to, 20.0, 0.0);
    for (index, stroke) in facts.strokes.iter().enumerate() {
        let moment = together.at_place(stroke.place);
        assert_eq!(
            (moment.stroke, moment.phase),
            (Some(index), Some(Phase::EntryAndCatch))
        );
        assert_near(moment.position, 4.0 * index as f64, 0.0);
    }
    assert_eq!(together.at_position(99.0).place, facts.places - 1);
    assert_eq!(together.at_position(f64::NAN).place, 0);
}

#[test]
fn while_it_plays_the_driving_clip_keeps_its_own_time() {
    let (before, after) = (swim(15_360, 256, 3, 1.1), swim(600, 20, 3, 0.9));
    let together = by_phase(&before, &after, ALL, None);
    let facts = together.facts();
    let first = together.at_place(0).frames[0].time;
    let mut last = 0;
    for hundredth in 0..480 {
        let played_s = f64::from(hundredth) / 100.0;
        let moment = together.playing(0, played_s, false).unwrap();
        let shown_s = before.clock.seconds_between(first, moment.frames[0].time);
        assert!(shown_s <= played_s + 1e-9 && played_s < shown_s + 1.0 / before.fps + 1e-9);
        assert!(moment.place >= last);
        last = moment.place;
    }
    // Three cycles of 1.65 s.
    assert_near(facts.stroke_s.unwrap(), 1.65, 1.0 / before.fps);
    assert!(together.playing(0, 5.0, false).is_none());
    assert!(together.playing(0, 5.0, true).unwrap().place < 10);
    assert_eq!(
        together.playing(facts.places - 1, 0.0, false).unwrap().place,
        facts.places - 1
    );
}

#[test]
fn by_time_both_are_as_far_from_their_chosen_marks() {
    let (before, after) = (swim(15_360, 256, 3, 1.0), swim(600, 20, 2, 1.0));
    let from = [Ticks(before.frames[1][1] * 256), Ticks(after.frames[0][1] * 20)];
    let choice = TogetherChoice {
        lock: Lock::Time { from },
        driving: None,
    };
    let together = Together::of([seen(&before), seen(&after)], &choice).unwrap();
    let facts = together.facts();
    assert_eq!(
        (facts.driving, facts.places),
        (Which::First, before.clock.frame_times().len())
    );
    let at_mark = together.at_position(0.0);
    assert_eq!(at_mark.frames.each_ref().map(|shown| shown.time), from);
    for place in 0..facts.places {
        let moment = together.at_place(place);
        let [one, other] = [0, 1].map(|clip: usize| {
            let clock = [&before.clock, &after.clock][clip];
            clock.seconds_between(from[clip], moment.frames[clip].time)
        });
        assert_near(one, moment.position, 1e-9);
        if moment.frames[1].held {
            let last = after.clock.frame_times().len() - 1;
            assert!([0, last].contains(&moment.frames[1].frame));
        } else {
            // Half of the coarser clip's 1/30 s; on the last frame, all of it.
            assert!((one - other).abs() <= 1.0 / 30.0 + 1e-9, "{one} and {other}");
        }
    }
    assert!(
        together.at_place(facts.places).frames[1].held,
        "the longer clip has outlasted the other"
    );
    // Every second frame of 60 lies midway between two of 30: always the earlier of the two.
    let ties = (0..40).map(|place| together.at_place(at_mark.place + place).frames[1].frame);
    let expected = (0..40).map(|place| at_mark.frames[1].frame + place / 2);
    assert_eq!(ties.collect::<Vec<_>>(), expected.collect::<Vec<_>>());
}

#[test]
fn a_filmed_rate_counts_in_true_seconds() {
    let real = swim(600, 20, 2, 1.0);
    let slow = swim(600, 20, 2, 1.0);
    let clock = slow.clock.clone().filmed_at(240.0).unwrap();
    let slowed = Seen::of(clock.clone(), &analyse(&clock, &slow.marks.0));
    let choice = TogetherChoice {
        lock: Lock::Time {
            from: [Ticks(0), Ticks(0)],
        },
        driving: None,
    };
    let together = Together::of([seen(&real), slowed], &choice).unwrap();
    assert_eq!(together.facts().driving, Which::Second);
    let moment = together.at_place(80);
    assert_eq!(moment.frames.map(|shown| shown.frame), [10, 80]);
}

#[test]
fn every_frame_tells_what_the_arms_do_on_it() {
    let swim = swim(1000, 10, 4, 1.0);
    let together = by_phase(&swim, &swim, CyclesChosen::One { cycles: [1, 2] }, None);
    // u 0.5: the left hand waits in front; the right entered half a cycle ago, and pushes until 1.05 − 0.75 s.
    let early = together.at_position(0.5);
    assert_eq!(early.frames[0].arms[0].unwrap(), Phase::EntryAndCatch);
    assert_eq!(early.frames[0].arms[1].unwrap(), Phase::Push);
    assert_eq!(early.frames[1].drive, Some(DriveArms::Right));
    let gap = together.at_position(0.9);
    assert_eq!(
        (gap.frames[0].drive, gap.frames[0].waiting),
        (Some(DriveArms::None), Some(Side::Left))
    );
    let lane = together.facts().drive[0].clone();
    assert!(lane.iter().any(|stretch| stretch.arms == DriveArms::None));
    assert!(lane.windows(2).all(|pair| pair[0].to <= pair[1].from + 1e-12));
    assert_near(lane[0].from, 0.0, 0.0);
    assert_near(lane.last().unwrap().to, 4.0, 0.0);
}

#[test]
fn what_is_not_there_is_refused_by_name() {
    let swim = swim(1000, 10, 3, 1.0);
    let empty = Seen::of(swim.clock.clone(), &analyse(&swim.clock, &[]));
    let refused = |lock| {
        Together::of(
            [seen(&swim), empty.clone()],
            &TogetherChoice { lock, driving: None },
        )
        .unwrap_err()
    };
    let phase = |side, cycles| Lock::Phase { side, cycles };
    assert_eq!(
        refused(phase(Side::Left, ALL)),
        NotTogether::NoCycle {
            which: Which::Second,
            side: Side::Left
        }
    );
    assert_eq!(
        refused(phase(Side::Right, CyclesChosen::One { cycles: [7, 0] })),
        NotTogether::UnknownCycle {
            which: Which::First,
            cycle: 7
        }
    );
    assert_eq!(refused(phase(Side::Both, ALL)), NotTogether::NoArm);
}

#[test]
fn a_choice_is_read_as_the_page_writes_it() {
    let choice: TogetherChoice = serde_json::from_str(
        r#"{"lock":{"by":"phase","side":"left","cycles":{"run":"one","cycles":[1,2]}},"driving":"second"}"#,
    )
    .unwrap();
    let cycles = CyclesChosen::One { cycles: [1, 2] };
    assert_eq!(
        choice,
        TogetherChoice {
            lock: Lock::Phase {
                side: Side::Left,
                cycles
            },
            driving: Some(Which::Second)
        }
    );
    let choice: TogetherChoice =
        serde_json::from_str(r#"{"lock":{"by":"time","from":[5,-6]},"driving":null}"#).unwrap();
    assert_eq!(
        choice.lock,
        Lock::Time {
            from: [Ticks(5), Ticks(-6)]
        }
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn whatever_the_rates_every_pair_is_the_nearest(
        one in prop::sample::select(vec![(600_u32, 20_i64), (15_360, 256), (90_000, 1_500), (30_000, 1_001), (240_000, 1_001), (25, 1)]),
        other in prop::sample::select(vec![(600_u32, 20_i64), (15_360, 256), (90_000, 1_500), (30_000, 1_001), (240_000, 1_001), (25, 1)]),
        stretches in (0.7..1.6_f64, 0.7..1.6_f64),
        cycles in (1..4_usize, 1..4_usize),
    ) {
        let (before, after) = (swim(one.0, one.1, cycles.0, stretches.0), swim(other.0, other.1, cycles.1, stretches.1));
        let together = by_phase(&before, &after, ALL, None);
        let facts = together.facts();
        for place in 0..facts.places {
            let moment = together.at_place(place);
            let (stroke, u) = (moment.stroke.unwrap(), moment.position % 4.0);
            assert_nearest(moment.frames[0].frame, frame_at(&before, stroke % cycles.0, u));
            assert_nearest(moment.frames[1].frame, frame_at(&after, stroke % cycles.1, u));
            // What a screen carries as a float leads back to the same step of the driving clip.
            prop_assert_eq!(together.at_position(moment.position).place, place);
        }
    }
}
