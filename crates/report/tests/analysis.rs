//! The wheel and the charts' points against the analysis they are made from.

#![expect(clippy::unwrap_used, reason = "the helpers of a test may fail it")]

use stroke::{
    Analysis, BreathingSplit, Mark, MarkId, MarkKind, Measure, MeasureKind, Passage, Side, analyse,
};
use time::{Clock, FrameTimes, Ticks, Timescale};
use wetframe_report::plot::plots_of;
use wetframe_report::wheel::{Wheel, WheelStyle, WheelWords, svg_of};

/// 100 frames/s in milliseconds, first frame at 5 s, so that a time is not mistaken for its distance from the start.
fn clock() -> Clock {
    let starts = (0..1200).map(|frame| Ticks(5_000 + frame * 10)).collect();
    Clock::new(
        Timescale::new(1_000).unwrap(),
        FrameTimes::from_starts(starts, 10).unwrap(),
    )
}

/// Arm A of the worked vectors as the left arm (T 1.50 s, phases 30.00/23.33/16.67/30.00 %), the right arm 0.80 s
/// later, `cycles` times; a breath to the right in every third cycle. Gaps of 200 and 100 ms.
/// Source: derived from the definitions of Chollet, Chalies & Chatard 2000.
fn worked_marks(cycles: i64) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut mark = |kind, side, ms: i64| {
        let id = MarkId(u32::try_from(marks.len()).unwrap() + 1);
        marks.push(Mark {
            id,
            kind,
            side: Some(side),
            time: Ticks(5_000 + ms),
        });
    };
    for cycle in 0..=cycles {
        for (side, offset) in [(Side::Left, 0), (Side::Right, 800)] {
            for (kind, ms) in [
                (MarkKind::Entry, 0),
                (MarkKind::Catch, 450),
                (MarkKind::MidPull, 800),
                (MarkKind::Exit, 1050),
            ] {
                mark(kind, side, cycle * 1500 + offset + ms);
            }
        }
        if cycle % 3 == 1 {
            mark(MarkKind::MouthClear, Side::Right, cycle * 1500 + 1000);
            mark(MarkKind::FaceReturn, Side::Right, cycle * 1500 + 1400);
        }
    }
    marks
}

fn analysis_of(marks: &[Mark]) -> Analysis {
    analyse(&Passage {
        clock: &clock(),
        marks,
        speed: None,
    })
}

fn single(analysis: &Analysis, kind: MeasureKind, side: Side, cycle: u32) -> &Measure {
    analysis
        .measures
        .iter()
        .find(|measure| measure.kind == kind && measure.side == Some(side) && measure.cycle == Some(cycle))
        .unwrap()
}

#[test]
fn the_wheel_has_the_phases_and_gaps_of_the_worked_vector() {
    let wheel = Wheel::of(&analysis_of(&worked_marks(5)), Side::Left).unwrap();
    assert_eq!(wheel.singles.len(), 5);
    let shares: Vec<f64> = wheel
        .mean
        .near
        .bands()
        .iter()
        .map(|band| (band.to - band.from) * 100.0)
        .collect();
    for (share, expected) in shares.iter().zip([30.0, 23.333_333, 16.666_667, 30.0]) {
        assert!((share - expected).abs() < 1e-5, "{shares:?}");
    }
    let gaps = wheel.mean.gaps();
    assert_eq!([gaps[0].waiting, gaps[1].waiting], [Side::Right, Side::Left]);
    assert!((gaps[0].share - 200.0 / 1500.0).abs() < 1e-9 && (gaps[1].share - 100.0 / 1500.0).abs() < 1e-9);
    // What is written at a wedge is the analysis' own mean of the arm that waits there.
    for gap in gaps {
        let label = wheel
            .gap_labels
            .iter()
            .find(|label| label.waiting == gap.waiting)
            .unwrap();
        assert!((label.value_ms - gap.share * 1500.0).abs() < 1e-6);
        assert!(label.uncertainty_ms > 0.0);
    }
}

#[test]
fn either_arm_can_be_the_near_one() {
    let analysis = analysis_of(&worked_marks(4));
    let left = Wheel::of(&analysis, Side::Left).unwrap();
    let right = Wheel::of(&analysis, Side::Right).unwrap();
    assert_eq!(
        [left.mean.near.side, right.mean.near.side],
        [Side::Left, Side::Right]
    );
    let share = |wheel: &Wheel, waiting| {
        wheel
            .mean
            .gaps()
            .iter()
            .find(|gap| gap.waiting == waiting)
            .unwrap()
            .share
    };
    for waiting in [Side::Left, Side::Right] {
        assert!((share(&left, waiting) - share(&right, waiting)).abs() < 1e-9);
    }
}

#[test]
fn a_wheel_needs_one_cycle_with_all_its_events() {
    let only_entries: Vec<Mark> = worked_marks(4)
        .into_iter()
        .filter(|mark| mark.kind == MarkKind::Entry)
        .collect();
    assert_eq!(Wheel::of(&analysis_of(&only_entries), Side::Left), None);
    assert_eq!(Wheel::of(&analysis_of(&[]), Side::Right), None);
}

#[test]
fn one_visible_arm_gives_one_ring() {
    let near: Vec<Mark> = worked_marks(4)
        .into_iter()
        .filter(|mark| mark.side == Some(Side::Left))
        .collect();
    let wheel = Wheel::of(&analysis_of(&near), Side::Left).unwrap();
    assert!(wheel.mean.far.is_none() && wheel.gap_labels.is_empty());
    assert!(svg_of(&wheel, &WheelWords::default(), &WheelStyle::default()).contains("data-side=\"left\""));
}

#[test]
fn the_gap_points_are_the_single_gaps_at_their_place_in_the_clip() {
    let analysis = analysis_of(&worked_marks(5));
    let plots = plots_of(&analysis, &clock());
    let measured = analysis
        .measures
        .iter()
        .filter(|measure| {
            measure.kind == MeasureKind::PropulsiveGap
                && measure.cycle.is_some()
                && measure.side.is_some()
                && measure.quantity.is_some()
        })
        .count();
    assert_eq!(plots.gaps.len(), measured);
    assert!(measured >= 10, "{measured}");
    // The first gap: left exit at 1.05 s, right catch at 1.25 s.
    let first = &plots.gaps[0];
    assert_eq!((first.waiting, first.at), (Side::Right, Ticks(6_050)));
    assert!((first.time_s - 1.15).abs() < 1e-9 && (first.gap_ms.value - 200.0).abs() < 1e-6);
    let frames = first.frames.unwrap();
    assert!((frames.value - 20.0).abs() < 1e-6);
    let share = first.share_percent.unwrap();
    assert!((share.value - 13.333_333).abs() < 1e-5);
    // 10 ms frames: 10/√6 ms between two marks. Source: a uniform distribution over the frame, JCGM 100:2008 §4.3.7.
    assert!((first.gap_ms.uncertainty - 4.082_483).abs() < 1e-5);
    assert!(plots.gaps.windows(2).all(|pair| pair[0].at <= pair[1].at));
}

#[test]
fn breathing_strokes_are_told_from_the_others() {
    let plots = plots_of(&analysis_of(&worked_marks(5)), &clock());
    let breathing: Vec<Option<bool>> = plots
        .rates
        .iter()
        .filter(|rate| rate.side == Side::Left)
        .map(|rate| rate.breathing)
        .collect();
    assert_eq!(
        breathing,
        [Some(false), Some(true), Some(false), Some(false), Some(true)]
    );
    let silent: Vec<Mark> = worked_marks(2)
        .into_iter()
        .filter(|mark| MarkKind::ARM.contains(&mark.kind))
        .collect();
    let plots = plots_of(&analysis_of(&silent), &clock());
    assert!(
        plots.rates.iter().all(|rate| rate.breathing.is_none())
            && plots.gaps.iter().all(|gap| gap.breathing.is_none())
    );
}

#[test]
fn bars_and_rates_are_the_measures_of_their_cycle() {
    let analysis = analysis_of(&worked_marks(3));
    let plots = plots_of(&analysis, &clock());
    assert_eq!((plots.phases.len(), plots.rates.len()), (6, 6));
    for bar in &plots.phases {
        let sum: f64 = bar.shares_percent.iter().map(|share| share.value).sum();
        assert!((sum - 100.0).abs() < 1e-9);
        let pull = single(&analysis, MeasureKind::PhasePull, bar.side, bar.cycle)
            .quantity
            .unwrap();
        assert_eq!(bar.shares_percent[1].value.to_bits(), pull.value.to_bits());
        assert!(!bar.marks.is_empty());
    }
    for rate in &plots.rates {
        // 1.50 s a cycle: 40 cycles/min, 80 strokes/min. Source: derived.
        assert!((rate.strokes_per_min.value - 80.0).abs() < 1e-9);
        assert!((rate.cycles_per_min.value - 40.0).abs() < 1e-9);
        let measure = single(&analysis, MeasureKind::StrokeRate, rate.side, rate.cycle);
        assert_ne!(measure.breathing, BreathingSplit::All);
    }
}
