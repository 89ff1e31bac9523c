//! Two sets of cycles compared: what is said, what is withheld, and why.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Chance, Swimmer, constant_clock, marks_on_frames};
use time::Clock;
use wetframe_stroke::compare::{Conditions, Selection, Verdict};
use wetframe_stroke::{
    BreathingSplit, CompareOptions, Comparison, MeasureKind, Passage, SelectedCycles, Side, compare,
};

const ALL: Selection = Selection {
    from: None,
    to: None,
    breathing: BreathingSplit::All,
};

fn clock(rate_fps: i64) -> Clock {
    constant_clock(rate_fps as u32 * 1000, 1000, 20 * rate_fps)
}

fn swum(clip: u32, swimmer: Swimmer, cycles: usize, rate_fps: i64, seed: u64) -> SelectedCycles {
    let clock = clock(rate_fps);
    let events = swimmer.swim(cycles, &mut Chance(seed));
    let passage = Passage {
        clock: &clock,
        marks: &marks_on_frames(&clock, &events),
        speed: None,
    };
    SelectedCycles::of(clip, &passage, ALL, Conditions::default())
}

fn measure(
    comparison: &Comparison,
    kind: MeasureKind,
    side: Option<Side>,
) -> &wetframe_stroke::compare::MeasureComparison {
    let mut found = comparison
        .measures
        .iter()
        .filter(|measure| measure.kind == kind && measure.side == side);
    found.next().unwrap_or_else(|| panic!("no {kind:?} {side:?}"))
}

#[test]
fn a_large_change_of_the_gap_is_seen() {
    let later = Swimmer {
        catch_later_s: -0.08,
        ..Swimmer::USUAL
    };
    let before = [swum(1, Swimmer::USUAL, 10, 60, 1)];
    let after = [swum(2, later, 10, 60, 2)];
    let comparison = compare(&before, &after, &CompareOptions::default());
    for measure in &comparison.measures {
        println!("{}\n   {:?}", measure.sentence, measure.settle);
    }
    println!("{} questions", comparison.questions);
    let gap = measure(&comparison, MeasureKind::PropulsiveGap, None);
    assert_eq!(gap.verdict, Verdict::Changed);
    assert!((gap.difference.as_ref().unwrap().value + 0.08).abs() < 0.03);
}
