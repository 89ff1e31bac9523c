//! From two sets of cycles, compared by `stroke`, to their pictures.

#![expect(clippy::unwrap_used, reason = "the helpers below serve tests only")]

use report::difference::{DifferenceChart, DifferenceStyle, DifferenceWords, svg_of};
use report::phase_pairs::PhasePairs;
use report::wheel::Wheel;
use stroke::compare::{
    CompareOptions, Comparison, Conditions, MeasureComparison, SelectedCycles, Selection, compare,
};
use stroke::{BreathingSplit, Mark, MarkId, MarkKind, MeasureKind, Passage, Side, analyse};
use time::{Clock, FrameTimes, Ticks, Timescale};
use wetframe_report as report;

/// 60 frames/s in 600 ticks a second.
fn clock() -> Clock {
    let frames = FrameTimes::from_starts((0..900).map(|frame| Ticks(frame * 10)).collect(), 10).unwrap();
    Clock::new(Timescale::new(600).unwrap(), frames)
}

/// Arm A of the worked vectors (T 1.50 s, phases 30.00/23.33/16.67/30.00 %), the other arm 0.75 s later: gaps of
/// 150 ms; the second catch of each arm comes `early` ticks sooner in every other cycle, so that strokes differ.
fn marks(early: i64) -> Vec<Mark> {
    let mut marks = Vec::new();
    for cycle in 0..8 {
        for (side, offset) in [(Side::Left, 0), (Side::Right, 450)] {
            let wobble = if cycle % 2 == 0 { 0 } else { 10 };
            for (kind, time) in [
                (MarkKind::Entry, 0),
                (MarkKind::Catch, 270 - early - wobble),
                (MarkKind::MidPull, 480),
                (MarkKind::Exit, 630),
            ] {
                marks.push(Mark {
                    id: MarkId(u32::try_from(marks.len()).unwrap() + 1),
                    kind,
                    side: Some(side),
                    time: Ticks(cycle * 900 + offset + time),
                });
            }
        }
    }
    marks
}

fn whole() -> Selection {
    Selection {
        from: None,
        to: None,
        breathing: BreathingSplit::All,
    }
}

/// After, every catch comes 0.05 s sooner.
fn compared() -> Comparison {
    let clock = clock();
    let [before, after] = [(1, 0), (2, 30)].map(|(clip, early)| {
        let marks = marks(early);
        let passage = Passage {
            clock: &clock,
            marks: &marks,
            speed: None,
        };
        [SelectedCycles::of(clip, &passage, whole(), Conditions::default())]
    });
    compare(&before, &after, &CompareOptions::default())
}

fn find(comparison: &Comparison, kind: MeasureKind, side: Option<Side>) -> &MeasureComparison {
    let found = comparison
        .measures
        .iter()
        .find(|measure| measure.kind == kind && measure.side == side);
    found.unwrap()
}

#[test]
fn a_gap_is_drawn_in_milliseconds_with_its_zone_of_frame_error() {
    let comparison = compared();
    let measure = find(&comparison, MeasureKind::PropulsiveGap, None);
    let chart = DifferenceChart::of(measure, "Propulsive gap");
    assert_eq!(
        (chart.unit.as_str(), chart.unit_of_difference.as_str()),
        ("ms", "ms")
    );
    let difference = chart.difference.unwrap();
    let computed = measure.difference.as_ref().unwrap();
    assert!((difference.value - computed.value * 1000.0).abs() < 1e-9);
    assert!((difference.value + 50.0).abs() < 5.0, "{difference:?}");
    assert_eq!(
        difference.frame_zone,
        measure.gates.frame.threshold.map(|zone| zone * 1000.0)
    );
    assert_eq!(difference.operator_zone, None, "nothing was marked again");
    assert_eq!(
        chart.before.dots.len(),
        measure.before.as_ref().unwrap().values.len()
    );
    assert_eq!(chart.before.n, measure.before.as_ref().unwrap().n);
    let svg = svg_of(&chart, &DifferenceWords::default(), &DifferenceStyle::default());
    assert!(roxmltree::Document::parse(&svg).is_ok());
}

#[test]
fn a_difference_of_shares_is_in_points() {
    let comparison = compared();
    let chart = DifferenceChart::of(find(&comparison, MeasureKind::PropulsiveShare, None), "share");
    assert_eq!(
        (chart.unit.as_str(), chart.unit_of_difference.as_str()),
        ("%", "points")
    );
}

#[test]
fn phases_are_those_of_the_arm_asked_for() {
    let comparison = compared();
    let pairs = PhasePairs::of(&comparison.measures, Some(Side::Left));
    for (pair, kind) in pairs.phases.iter().zip([
        MeasureKind::PhaseEntryAndCatch,
        MeasureKind::PhasePull,
        MeasureKind::PhasePush,
        MeasureKind::PhaseRecovery,
    ]) {
        let measure = find(&comparison, kind, Some(Side::Left));
        assert_eq!(pair.before.unwrap().mean, measure.before.as_ref().unwrap().mean);
        assert_eq!(
            pair.after.unwrap().interval,
            measure.after.as_ref().unwrap().interval
        );
    }
    let sum: f64 = pairs.phases.iter().map(|pair| pair.after.unwrap().mean).sum();
    assert!((sum - 100.0).abs() < 1e-9);
}

#[test]
fn the_wheel_of_a_set_is_made_of_the_chosen_cycles_of_all_its_clips() {
    let clock = clock();
    let analysed = |early| {
        let marks = marks(early);
        analyse(&Passage {
            clock: &clock,
            marks: &marks,
            speed: None,
        })
    };
    let [one, other] = [analysed(0), analysed(30)];
    let first_three = Selection {
        to: Some(Ticks(2_700)),
        ..whole()
    };
    let wheel = Wheel::of_set([(&one, whole()), (&other, first_three)], Side::Left, Vec::new()).unwrap();
    assert_eq!(wheel.singles.len(), 7 + 3);
    let nothing = Selection {
        to: Some(Ticks(100)),
        ..whole()
    };
    assert_eq!(Wheel::of_set([(&one, nothing)], Side::Left, Vec::new()), None);
    // A whole clip is the set of all its cycles.
    let of_clip = Wheel::of(&one, Side::Left).unwrap();
    assert_eq!(
        Wheel::of_set([(&one, whole())], Side::Left, of_clip.gap_labels.clone()).unwrap(),
        of_clip
    );
}
