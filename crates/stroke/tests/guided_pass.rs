//! The guided pass, with a coach made of numbers: how many keys a mark costs, and that it always ends.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Chance, constant_clock};
use proptest::prelude::*;
use time::{Clock, Ticks};
use wetframe_stroke::guide::{Basis, GuidePlan, StepId, next_step};
use wetframe_stroke::{Mark, MarkId, MarkKind, Passage, Side};

/// Where the events of a swim truly are, in frames: scatter of `scatter` frames on every event, and a cycle
/// that grows by 4 % from the first to the last.
fn swim(chance: &mut Chance, scatter: f64, cycles: i64) -> (Vec<(MarkKind, Side, i64)>, i64) {
    let period = 78.0 + 24.0 * chance.uniform();
    let shares = [
        0.0,
        0.27 + 0.1 * chance.uniform(),
        0.5 + 0.06 * chance.uniform(),
        0.67 + 0.08 * chance.uniform(),
    ];
    let lead = 5.0 + 0.6 * period * chance.uniform();
    let offset = 0.45 + 0.1 * chance.uniform();
    let at = |position: f64| lead + period * (position + 0.02 * position * position / cycles as f64);
    let mut events = Vec::new();
    for (side, shift) in [(Side::Left, 0.0), (Side::Right, offset)] {
        for cycle in 0..cycles {
            for (kind, share) in MarkKind::ARM.into_iter().zip(shares) {
                let frame = at(cycle as f64 + shift + share) + scatter * chance.normal();
                events.push((kind, side, frame.round() as i64));
            }
        }
    }
    (events, at(cycles as f64 + offset).round() as i64)
}

/// Keys to move by that many frames with steps of 1 and 10.
fn keys_to_move(frames: i64) -> i64 {
    let tens = (frames.abs() + 5) / 10;
    tens + (frames.abs() - 10 * tens).abs()
}

/// Answers every question as a coach does who sees where the event truly is. Returns marks and keys.
fn mark_all(clock: &Clock, events: &[(MarkKind, Side, i64)], plan: &GuidePlan) -> (Vec<Mark>, i64) {
    let mut marks: Vec<Mark> = Vec::new();
    let mut skipped: Vec<StepId> = Vec::new();
    let mut keys = 0;
    for _ in 0..1000 {
        let passage = Passage {
            clock,
            marks: &marks,
            speed: None,
        };
        let Some(step) = next_step(&passage, plan, &skipped) else {
            return (marks, keys);
        };
        let asked = i64::from(step.frame);
        let free = events
            .iter()
            .filter(|(kind, side, frame)| {
                *kind == step.kind
                    && *side == step.side
                    && !marks
                        .iter()
                        .any(|mark| mark.kind == *kind && mark.side == Some(*side) && mark.time.0 == *frame)
            })
            .map(|(_, _, frame)| *frame);
        // A first question is answered by the first such event of the clip, any other by the nearest one.
        let first = marks.is_empty();
        let found = free.min_by_key(|frame| if first { *frame } else { (frame - asked).abs() });
        match found.filter(|frame| first || (frame - asked).abs() < 40) {
            Some(frame) => {
                keys += keys_to_move(frame - asked) + 1;
                let id = MarkId(u32::try_from(marks.len()).unwrap());
                marks.push(Mark {
                    id,
                    kind: step.kind,
                    side: Some(step.side),
                    time: Ticks(frame),
                });
            }
            None => {
                keys += 1;
                skipped.push(step.id);
            }
        }
    }
    panic!("the pass did not end");
}

#[test]
fn ten_cycles_of_both_arms_cost_at_most_three_keys_a_mark() {
    let mut all = Vec::new();
    for seed in 0..60 {
        let mut chance = Chance(seed);
        let scatter = 1.0 + 0.5 * chance.uniform();
        let (events, end) = swim(&mut chance, scatter, 10);
        let clock = constant_clock(60, 1, end + 20);
        let (marks, keys) = mark_all(&clock, &events, &GuidePlan::default());
        assert_eq!(marks.len(), 80, "seed {seed}");
        all.push(keys as f64 / 80.0);
    }
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    all.sort_by(f64::total_cmp);
    let slowest = all[all.len() - 1];
    println!(
        "keys a mark: mean {mean:.2}, median {:.2}, slowest of {} swims {slowest:.2}",
        all[all.len() / 2],
        all.len()
    );
    assert!(mean <= 3.0, "{mean}");
    assert!(slowest <= 3.5, "{slowest}");
}

/// One arm alone, a slowed clip: the plan is kept to and true seconds count.
#[test]
fn a_coach_who_sees_one_arm_is_asked_for_one_arm() {
    let mut chance = Chance(7);
    let (events, end) = swim(&mut chance, 1.0, 6);
    let clock = constant_clock(30, 1, end + 5).filmed_at(60.0).unwrap();
    let plan = GuidePlan {
        arms: vec![Side::Right],
        ..GuidePlan::default()
    };
    let right: Vec<_> = events
        .into_iter()
        .filter(|(_, side, _)| *side == Side::Right)
        .collect();
    let (marks, _) = mark_all(&clock, &right, &plan);
    assert_eq!(marks.len(), 24);
    assert!(marks.iter().all(|mark| mark.side == Some(Side::Right)));
}

#[test]
fn breaths_and_kick_outs_are_asked_for_when_the_plan_says_so() {
    let mut chance = Chance(11);
    let (mut events, end) = swim(&mut chance, 1.0, 8);
    let exits: Vec<i64> = events
        .iter()
        .filter(|(kind, side, _)| *kind == MarkKind::Exit && *side == Side::Right)
        .map(|(_, _, frame)| *frame)
        .collect();
    // A breath to the right in every second cycle, with a kick-out.
    for exit in exits.iter().skip(1).step_by(2) {
        for (kind, offset) in [
            (MarkKind::ExhaleStart, -45),
            (MarkKind::FaceTurn, -18),
            (MarkKind::MouthClear, -2),
            (MarkKind::FaceReturn, 24),
        ] {
            events.push((kind, Side::Right, exit + offset));
        }
        events.push((MarkKind::KickOutStart, Side::Both, exit + 4));
        events.push((MarkKind::KickOutEnd, Side::Both, exit + 22));
    }
    let clock = constant_clock(60, 1, end + 20);
    let plan = GuidePlan {
        breath_sides: vec![Side::Right],
        kick_outs: true,
        ..GuidePlan::default()
    };
    let (marks, _) = mark_all(&clock, &events, &plan);
    assert_eq!(marks.len(), events.len());
}

#[test]
fn the_first_step_finds_the_first_entry_and_the_second_arm_starts_half_a_cycle_later() {
    let clock = constant_clock(60, 1, 300);
    let plan = GuidePlan::default();
    let mut marks = Vec::new();
    let step = |marks: &[Mark]| {
        next_step(
            &Passage {
                clock: &clock,
                marks,
                speed: None,
            },
            &plan,
            &[],
        )
        .unwrap()
    };
    let first = step(&marks);
    assert_eq!(
        (first.kind, first.side, first.frame, first.basis),
        (MarkKind::Entry, Side::Left, 0, Basis::First)
    );
    for (id, frame) in (0..).zip([20, 110, 200, 290]) {
        marks.push(Mark {
            id: MarkId(id),
            kind: MarkKind::Entry,
            side: Some(Side::Left),
            time: Ticks(frame),
        });
    }
    let second = step(&marks);
    assert_eq!(
        (second.kind, second.side, second.frame, second.basis),
        (MarkKind::Entry, Side::Right, 65, Basis::Period)
    );
    assert_eq!(second.done, 4);
    // The middle one is deleted: it is asked for again, where it was.
    marks.remove(1);
    let again = step(&marks);
    assert_eq!(
        (again.kind, again.side, again.frame),
        (MarkKind::Entry, Side::Left, 110)
    );
}

/// What a coach of no particular sense does with a question.
#[derive(Clone, Copy, Debug)]
enum Answer {
    Mark { off_share: f64 },
    Skip,
    DeleteOne { which: usize },
    MarkSomethingElse { kind: usize, right: bool, at: f64 },
}

fn answers() -> impl Strategy<Value = Vec<Answer>> {
    let answer = prop_oneof![
        6 => (-0.15..0.15_f64).prop_map(|off_share| Answer::Mark { off_share }),
        2 => Just(Answer::Skip),
        1 => (0..100_usize).prop_map(|which| Answer::DeleteOne { which }),
        1 => (0..12_usize, any::<bool>(), 0.0..1.0_f64).prop_map(|(kind, right, at)| Answer::MarkSomethingElse { kind, right, at }),
    ];
    prop::collection::vec(answer, 0..120)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn never_asks_for_what_is_marked_or_skipped_and_always_ends(
        answers in answers(),
        frames in 1..900_i64,
        both in any::<bool>(),
    ) {
        let clock = constant_clock(600, 10, frames);
        let plan = GuidePlan {
            arms: if both { vec![Side::Right, Side::Left] } else { vec![Side::Left] },
            breath_sides: vec![Side::Right],
            kick_outs: true,
            span: None,
        };
        let mut marks: Vec<Mark> = Vec::new();
        let mut skipped: Vec<StepId> = Vec::new();
        let mut next_id = 0;
        let mut answers = answers.into_iter();
        // When the list runs out everything is passed over: that has to end.
        for _ in 0..2000 {
            let passage = Passage { clock: &clock, marks: &marks, speed: None };
            let Some(step) = next_step(&passage, &plan, &skipped) else { return Ok(()) };
            let at_step = |mark: &&Mark| mark.kind == step.kind && mark.side == Some(step.side) && mark.time == step.time;
            prop_assert!(marks.iter().find(at_step).is_none(), "{step:?} is marked");
            prop_assert!(!skipped.contains(&step.id), "{step:?} is skipped");
            prop_assert_eq!(clock.frame_times().start(step.frame as usize), Some(step.time));
            prop_assert!(step.done <= step.of && step.search_s > 0.0);
            let mut mark = |kind, side, ticks: f64| {
                let frame = clock.frame_times().nearest_frame(Ticks(ticks as i64));
                next_id += 1;
                marks.push(Mark { id: MarkId(next_id), kind, side: Some(side), time: clock.frame_times().start(frame).unwrap() });
            };
            match answers.next() {
                Some(Answer::Mark { off_share }) => mark(step.kind, step.side, step.time.0 as f64 + off_share * 840.0),
                Some(Answer::MarkSomethingElse { kind, right, at }) => {
                    let side = if right { Side::Right } else { Side::Left };
                    mark(MarkKind::ALL[kind], side, at * 10.0 * frames as f64);
                }
                Some(Answer::DeleteOne { which }) if !marks.is_empty() => {
                    let which = which % marks.len();
                    marks.remove(which);
                }
                _ => skipped.push(step.id),
            }
        }
        prop_assert!(false, "the pass did not end");
    }
}
