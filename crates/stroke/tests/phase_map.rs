//! The phase map of one arm: exact both ways, for any marks, at any frame rate.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Marks, analyse, assert_near, constant_clock, millisecond_clock};
use proptest::prelude::*;
use time::Ticks;
use wetframe_stroke::{Mark, MarkKind, Phase, PhaseMap, Side, StrokePhase};

const LEFT: Option<Side> = Some(Side::Left);

fn map_of(marks: &[Mark]) -> PhaseMap {
    PhaseMap::of(&analyse(&millisecond_clock(15.0), marks).arms[0])
}

/// Cycles one after another from `start`: lengths of the four phases in ticks, and which of catch, mid-pull and
/// exit are marked.
fn marked(start: i64, strokes: &[([i64; 4], [bool; 3])]) -> Marks {
    let mut marks = Marks::default();
    let mut entry = start;
    for (phases, known) in strokes {
        marks.push(MarkKind::Entry, LEFT, entry);
        let mut time = entry;
        for (place, phase) in phases[..3].iter().enumerate() {
            time += phase;
            if known[place] {
                marks.push(MarkKind::ARM[place + 1], LEFT, time);
            }
        }
        entry = time + phases[3];
    }
    marks.push(MarkKind::Entry, LEFT, entry);
    marks
}

fn u(phase: f64) -> StrokePhase {
    StrokePhase::new(phase).unwrap()
}

/// The first worked example of METHODS.md (T 1.50 s; 0, 0.45, 0.80, 1.05 s), so the same at any rate: halfway
/// from catch to mid-pull is 0.625 s after the entry.
#[test]
fn the_worked_example_has_the_same_phases_at_every_frame_rate_and_timescale() {
    for (ticks_per_second, spacing) in [(1000, 1), (15_360, 256), (90_000, 1_500), (600, 5)] {
        let clock = constant_clock(
            ticks_per_second,
            spacing,
            i64::from(ticks_per_second) * 10 / spacing,
        );
        let tick = |time_ms: i64| time_ms * i64::from(ticks_per_second) / 1000;
        let mut marks = Marks::default();
        for (kind, time_ms) in [(0, 1000), (1, 1450), (2, 1800), (3, 2050), (0, 2500)] {
            marks.push(MarkKind::ARM[kind], LEFT, tick(time_ms));
        }
        let map = PhaseMap::of(&analyse(&clock, &marks.0).arms[0]);
        let (cycle, phase) = map.phase_at(Ticks(tick(1625))).unwrap();
        assert_eq!((cycle.index, phase.phase()), (0, Phase::Pull));
        assert_near(phase.u(), 1.5, 1e-12);
        for (phase, time_ms) in [(0.0, 1000), (1.0, 1450), (2.0, 1800), (3.0, 2050), (3.5, 2275)] {
            assert_eq!(cycle.time_at(u(phase)), Ticks(tick(time_ms)).into(), "u {phase}");
        }
    }
}

#[test]
fn over_a_missing_event_the_phase_runs_evenly_and_the_cycle_says_so() {
    let strokes = [
        ([400, 300, 200, 500], [true, false, true]),
        ([400, 300, 200, 500], [false, true, false]),
        ([400, 300, 200, 500], [false, false, false]),
    ];
    let map = map_of(&marked(100, &strokes).0);
    assert_eq!(map.cycles[0].interpolated, [MarkKind::MidPull]);
    // Catch at 500 and exit at 1000: mid-pull is taken halfway, whatever it was.
    assert_eq!(map.cycles[0].time_at(u(2.0)), Ticks(750).into());
    assert_near(map.cycles[0].phase_at(Ticks(875)).unwrap().u(), 2.5, 1e-12);
    assert_eq!(map.cycles[1].interpolated, [MarkKind::Catch, MarkKind::Exit]);
    assert_eq!(map.cycles[1].time_at(u(2.0)), Ticks(1500 + 700).into());
    assert_eq!(map.cycles[1].time_at(u(1.0)), Ticks(1500 + 350).into());
    assert_near(map.cycles[2].phase_at(Ticks(2900 + 700)).unwrap().u(), 2.0, 1e-12);
}

#[test]
fn without_a_next_entry_or_with_one_that_cannot_be_trusted_there_is_no_map() {
    let mut open = Marks::default();
    for (kind, time) in [(0, 100), (1, 500), (2, 800), (3, 1000)] {
        open.push(MarkKind::ARM[kind], LEFT, time);
    }
    assert!(map_of(&open.0).cycles.is_empty());
    assert!(map_of(&open.0).phase_at(Ticks(500)).is_none());

    // A slip of the finger: an entry 0.2 s after the last one, with no exit between.
    let mut marks = marked(100, &[([400, 300, 200, 500], [true; 3]); 3]);
    let whole = map_of(&marks.0).cycles.len();
    marks.push(MarkKind::Entry, LEFT, 1700);
    let doubtful = map_of(&marks.0);
    assert!(doubtful.cycles.len() < whole);
    assert!(
        doubtful
            .cycles
            .iter()
            .all(|cycle| cycle.start != Ticks(1500) && cycle.start != Ticks(1700))
    );
}

#[test]
fn an_impossible_order_is_not_followed() {
    let mut marks = Marks::default();
    // Exit before catch: neither is trusted, the entries are.
    for (kind, time) in [(0, 100), (3, 400), (1, 800), (0, 1600)] {
        marks.push(MarkKind::ARM[kind], LEFT, time);
    }
    let map = map_of(&marks.0);
    assert_eq!(
        map.cycles[0].interpolated,
        [MarkKind::Catch, MarkKind::MidPull, MarkKind::Exit]
    );
    assert_near(map.cycles[0].phase_at(Ticks(850)).unwrap().u(), 2.0, 1e-12);
}

#[test]
fn a_phase_is_in_0_to_4() {
    for outside in [-1e-9, 4.0, 5.0, f64::NAN, f64::INFINITY] {
        assert!(StrokePhase::new(outside).is_none(), "{outside}");
    }
    assert_near(u(3.999_999).u(), 3.999_999, 1e-14);
    assert_eq!(serde_json::to_string(&u(2.25)).unwrap(), "2.25");
}

prop_compose! {
    /// Phases may be empty (two events on one frame), the stroke never too short to be believed.
    fn stroke()(phases in [0..400_i64, 0..300_i64, 0..300_i64, 650..900_i64], known in any::<[bool; 3]>()) -> ([i64; 4], [bool; 3]) {
        (phases, known)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn a_time_mapped_to_its_phase_and_back_is_that_time(
        strokes in prop::collection::vec(stroke(), 1..6), start in 0..500_i64, at in 0.0..1.0_f64,
    ) {
        let map = map_of(&marked(start, &strokes).0);
        let (first, last) = (map.cycles[0].start, map.cycles.last().unwrap().end);
        #[expect(clippy::cast_possible_truncation, reason = "a test picks a tick")]
        let time = Ticks(first.0 + ((last.0 - first.0) as f64 * at) as i64);
        if let Some((cycle, phase)) = map.phase_at(time) {
            prop_assert!(cycle.start <= time && time < cycle.end);
            prop_assert_eq!(cycle.time_at(phase).whole(), time);
            prop_assert_eq!(cycle.time_at(phase).ticks(), time.0 as f64);
            prop_assert!((0.0..4.0).contains(&phase.u()));
            // Carried as a float, as a screen does, it is off by less than a millionth of a tick.
            prop_assert!((cycle.time_at(u(phase.u())).ticks() - time.0 as f64).abs() < 1e-6);
        }
    }

    #[test]
    fn later_is_never_an_earlier_phase_and_the_other_way_round(
        strokes in prop::collection::vec(stroke(), 1..6), one in 0.0..4.0_f64, other in 0.0..4.0_f64,
    ) {
        let map = map_of(&marked(100, &strokes).0);
        for cycle in &map.cycles {
            let (early, late) = (one.min(other), one.max(other));
            prop_assert!(cycle.time_at(u(early)).ticks() <= cycle.time_at(u(late)).ticks());
            let mut before = -1.0;
            for time in (cycle.start.0..cycle.end.0).step_by(7) {
                let phase = cycle.phase_at(Ticks(time)).unwrap().u();
                prop_assert!(phase > before, "{phase} after {before}");
                before = phase;
            }
        }
    }

    #[test]
    fn every_marked_event_is_at_its_node(strokes in prop::collection::vec(stroke(), 1..6)) {
        let clock = millisecond_clock(15.0);
        let analysis = analyse(&clock, &marked(100, &strokes).0);
        let map = PhaseMap::of(&analysis.arms[0]);
        for cycle in &map.cycles {
            let events = analysis.arms[0].cycles.iter().find(|one| one.index == cycle.index).unwrap().events;
            for (node, event) in events[..4].iter().enumerate() {
                #[expect(clippy::cast_precision_loss, reason = "0 to 3")]
                if let Some(time) = event {
                    prop_assert_eq!(cycle.time_at(u(node as f64)), (*time).into());
                }
            }
        }
    }
}
