//! What must hold for any marks at all, and for any swim.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Marks, mean_of, of_cycle, value};
use proptest::prelude::*;
use time::{Clock, FrameTimes, Ticks, Timescale};
use wetframe_stroke::{
    Analysis, BreathingSplit, DriveArms, Mark, MarkKind, MeasureKind, Passage, Phase, Side, Speed, analyse,
};

const LEFT: Option<Side> = Some(Side::Left);
const RIGHT: Option<Side> = Some(Side::Right);

fn clock_from(first: i64) -> Clock {
    let starts = (0..20_000).map(|frame| Ticks(first + frame)).collect();
    Clock::new(
        Timescale::new(1000).unwrap(),
        FrameTimes::from_starts(starts, 1).unwrap(),
    )
}

fn measured(clock: &Clock, marks: &[Mark]) -> Analysis {
    analyse(&Passage {
        clock,
        marks,
        speed: Some(Speed::Flume {
            m_per_s: 1.2,
            uncertainty_m_per_s: Some(0.01),
        }),
    })
}

/// A swim: marks of both arms in a possible order, every event free to scatter.
fn swim() -> impl Strategy<Value = Vec<Mark>> {
    let stroke = (100..400_i64, 100..300_i64, 100..300_i64, 200..500_i64);
    (
        prop::collection::vec(stroke.clone(), 2..7),
        prop::collection::vec(stroke, 2..7),
        200..900_i64,
    )
        .prop_map(|(left, right, offset)| {
            let mut marks = Marks::default();
            for (side, start, strokes) in [(LEFT, 100, left), (RIGHT, 100 + offset, right)] {
                let mut time = start;
                for (glide, pull, push, recovery) in strokes {
                    for (kind, length) in MarkKind::ARM.into_iter().zip([glide, pull, push, recovery]) {
                        marks.push(kind, side, time);
                        time += length;
                    }
                }
            }
            marks.0
        })
}

/// Anything a coach can press, anywhere.
fn any_marks() -> impl Strategy<Value = Vec<Mark>> {
    let side = prop_oneof![Just(None), Just(LEFT), Just(RIGHT), Just(Some(Side::Both))];
    prop::collection::vec((0..12_usize, side, 0..8000_i64), 0..60).prop_map(|all| {
        let mut marks = Marks::default();
        for (kind, side, time) in all {
            marks.push(MarkKind::ALL[kind], side, time);
        }
        marks.0
    })
}

fn mirrored(marks: &[Mark]) -> Vec<Mark> {
    marks
        .iter()
        .map(|mark| Mark {
            side: mark.side.map(Side::other),
            ..*mark
        })
        .collect()
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * (1.0 + one.abs())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn phases_sum_to_the_whole_cycle(marks in swim()) {
        let analysis = measured(&clock_from(0), &marks);
        for arm in &analysis.arms {
            for cycle in &arm.cycles {
                let ticks: i64 = cycle.phases.iter().map(|phase| phase.end.0 - phase.start.0).sum();
                prop_assert_eq!(ticks, cycle.end.0 - cycle.start.0);
                prop_assert_eq!(cycle.phases.iter().map(|phase| phase.phase).collect::<Vec<_>>(),
                    vec![Phase::EntryAndCatch, Phase::Pull, Phase::Push, Phase::Recovery]);
                let percent: f64 = [MeasureKind::PhaseEntryAndCatch, MeasureKind::PhasePull, MeasureKind::PhasePush, MeasureKind::PhaseRecovery]
                    .map(|kind| value(of_cycle(&analysis, kind, Some(arm.side), cycle.index))).iter().sum();
                prop_assert!(close(percent, 100.0), "{}", percent);
            }
        }
    }

    /// Derived: with d = pull + push, `IdC₁` + `IdC₂` = 100·(`d_A` + `d_B` − T)/T where the arms share T. Agrees
    /// with a published pair: 54 % propulsive, `IdC` 3.8 % (Seifert, Chollet & Chatard 2007).
    #[test]
    fn the_index_is_the_propulsive_share_less_half_at_any_offset(
        events in (100..400_i64, 100..400_i64, 100..400_i64, 100..500_i64),
        offset in 0.2..0.8_f64,
        cycles in 2..6_i64,
    ) {
        let (glide, pull, push, recovery) = events;
        let period = glide + pull + push + recovery;
        let events = [0, glide, glide + pull, glide + pull + push];
        let mut marks = Marks::default();
        marks.arm(Side::Left, 0, events, period, cycles);
        marks.arm(Side::Right, (offset * period as f64) as i64, events, period, cycles);
        let analysis = measured(&clock_from(0), &marks.0);
        let index = value(mean_of(&analysis, MeasureKind::IndexOfCoordination, None));
        let share = value(mean_of(&analysis, MeasureKind::PropulsiveShare, None));
        prop_assert!(close(index, share - 50.0), "{} against {}", index, share - 50.0);
    }

    #[test]
    fn the_gap_is_the_index_turned_into_seconds(marks in swim()) {
        let analysis = measured(&clock_from(0), &marks);
        let lines = |kind| analysis.measures.iter().filter(move |measure| measure.kind == kind && measure.cycle.is_some() && measure.side.is_some() && measure.quantity.is_some());
        let mut compared = 0;
        for index in lines(MeasureKind::IndexOfCoordination) {
            let cycle = analysis.arms.iter().find(|arm| Some(arm.side) == index.side)
                .and_then(|arm| arm.cycles.iter().find(|cycle| Some(cycle.index) == index.cycle)).unwrap();
            let gap = lines(MeasureKind::PropulsiveGap)
                .find(|gap| gap.side != index.side && gap.marks.iter().all(|mark| index.marks.contains(mark))).unwrap();
            let period_s = (cycle.end.0 - cycle.start.0) as f64 / 1000.0;
            prop_assert!(close(value(gap), -value(index) * period_s / 100.0));
            prop_assert_eq!(gap.breathing, index.breathing);
            compared += 1;
        }
        prop_assert_eq!(compared, lines(MeasureKind::PropulsiveGap).count());
    }

    #[test]
    fn a_later_start_changes_nothing(marks in swim(), shift in -100_000..100_000_i64) {
        let here = measured(&clock_from(0), &marks);
        let later: Vec<Mark> = marks.iter().map(|mark| Mark { time: Ticks(mark.time.0 + shift), ..*mark }).collect();
        let there = measured(&clock_from(shift), &later);
        for (here, there) in here.measures.iter().zip(&there.measures) {
            prop_assert_eq!((here.quantity, here.sd, here.interval, &here.marks), (there.quantity, there.sd, there.interval, &there.marks));
        }
        prop_assert_eq!(here.drive.len(), there.drive.len());
    }

    #[test]
    fn the_order_in_which_marks_are_given_changes_nothing(marks in any_marks(), seed in any::<u64>()) {
        let mut shuffled = marks.clone();
        let mut chance = common::Chance(seed);
        for place in (1..shuffled.len()).rev() {
            shuffled.swap(place, (chance.uniform() * (place + 1) as f64) as usize);
        }
        let clock = clock_from(0);
        prop_assert_eq!(measured(&clock, &marks), measured(&clock, &shuffled));
    }

    #[test]
    fn left_and_right_are_treated_alike(marks in swim()) {
        let clock = clock_from(0);
        // On a tie of the two arms' entries left goes first, so there the mirror does not hold.
        let entries: Vec<i64> = marks.iter().filter(|mark| mark.kind == MarkKind::Entry).map(|mark| mark.time.0).collect();
        prop_assume!(entries.iter().collect::<std::collections::BTreeSet<_>>().len() == entries.len());
        let (here, there) = (measured(&clock, &marks), measured(&clock, &mirrored(&marks)));
        for measure in &here.measures {
            let side = measure.side.map(Side::other);
            let twin = there.measures.iter()
                .find(|twin| (twin.kind, twin.side, twin.cycle, twin.breathing) == (measure.kind, side, measure.cycle, measure.breathing)).unwrap();
            let turned = measure.kind == MeasureKind::IndexOfCoordinationDifference || measure.kind.name().starts_with("symmetry");
            match (measure.quantity, twin.quantity) {
                (Some(one), Some(other)) => {
                    prop_assert!(close(one.value, if turned { -other.value } else { other.value }), "{:?} {:?}", measure, twin);
                    prop_assert!(close(one.uncertainty, other.uncertainty));
                }
                (one, other) => prop_assert!(one.is_none() && other.is_none()),
            }
            prop_assert_eq!(measure.absence, twin.absence);
        }
    }

    #[test]
    fn a_slowed_clip_says_what_the_swimmer_did(marks in swim(), slower in 2..9_i64) {
        let plain = measured(&clock_from(0), &marks);
        let starts = (0..20_000).map(|frame| Ticks(frame * slower)).collect();
        let slowed = Clock::new(Timescale::new(1000).unwrap(), FrameTimes::from_starts(starts, slower).unwrap()).filmed_at(1000.0).unwrap();
        let stretched: Vec<Mark> = marks.iter().map(|mark| Mark { time: Ticks(mark.time.0 * slower), ..*mark }).collect();
        let slowed = measured(&slowed, &stretched);
        for (one, other) in plain.measures.iter().zip(&slowed.measures) {
            match (one.quantity, other.quantity) {
                (Some(one), Some(other)) => prop_assert!(close(one.value, other.value) && close(one.uncertainty, other.uncertainty), "{:?} {:?}", one, other),
                (one, other) => prop_assert_eq!(one.is_some(), other.is_some()),
            }
        }
    }

    /// Whatever is pressed: no panic, a number or a reason for every measure, no number that is none, drive
    /// stretches in order and apart, and a text form that reads back the same.
    #[test]
    fn any_marks_give_numbers_or_reasons(marks in any_marks()) {
        let analysis = measured(&clock_from(0), &marks);
        for measure in &analysis.measures {
            prop_assert_eq!(measure.quantity.is_some(), measure.absence.is_none(), "{:?}", measure);
            prop_assert_eq!(measure.quantity.is_some(), measure.n > 0, "{:?}", measure);
            if let Some(quantity) = measure.quantity {
                prop_assert!(quantity.value.is_finite() && quantity.uncertainty.is_finite() && quantity.uncertainty >= 0.0, "{:?}", measure);
            }
            prop_assert!(measure.flags.iter().all(|flag| (*flag as usize) < analysis.flags.len()));
            let of_arms = !measure.kind.uses().iter().any(|used| used.body() != wetframe_stroke::Body::Arm);
            if of_arms && measure.absence.is_some_and(|absence| absence.kind == wetframe_stroke::AbsenceKind::ImpossibleOrder) {
                prop_assert!(!measure.flags.is_empty(), "withheld, but no flag says why: {:?}", measure);
            }
            prop_assert!(measure.span.is_none_or(|span| span.start <= span.end));
        }
        for pair in analysis.drive.windows(2) {
            prop_assert!(pair[0].start < pair[0].end && pair[0].end <= pair[1].start, "{:?}", pair);
            prop_assert!(pair[0].end < pair[1].start || pair[0].arms != pair[1].arms, "{:?}", pair);
        }
        let sideless = marks.iter().filter(|mark| !mark.kind.allows(mark.side)).count();
        let flagged = analysis.flags.iter().filter(|flag| flag.kind == wetframe_stroke::FlagKind::ImpossibleSide).count();
        prop_assert_eq!(sideless, flagged);
        let text = serde_json::to_string(&analysis).unwrap();
        let read: Analysis = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(read.measures.len(), analysis.measures.len());
        prop_assert_eq!(read.flags, analysis.flags);
        prop_assert_eq!(read.arms, analysis.arms);
    }

    /// The gaps drawn are the gaps measured: every positive gap is an empty stretch of the drive.
    #[test]
    fn the_drive_shows_the_gaps_that_are_measured(marks in swim()) {
        let analysis = measured(&clock_from(0), &marks);
        for gap in analysis.measures.iter().filter(|measure| measure.kind == MeasureKind::PropulsiveGap && measure.cycle.is_some() && measure.side.is_some()) {
            let (Some(quantity), Some(span)) = (gap.quantity, gap.span) else { continue };
            let expected = if quantity.value > 0.0 { DriveArms::None } else { DriveArms::Both };
            if quantity.value == 0.0 { continue; }
            let drawn = analysis.drive.iter().find(|stretch| stretch.start >= span.start && stretch.end <= span.end && stretch.arms == expected);
            // An overlap can be cut short where the arm that caught leaves the water before the other.
            prop_assert!(drawn.is_some() || expected == DriveArms::Both, "{:?} {:?}", gap, analysis.drive);
            if let Some(drawn) = drawn.filter(|drawn| drawn.start == span.start && drawn.end == span.end) {
                prop_assert!(close(drawn.length_ms, 1000.0 * quantity.value.abs()));
                prop_assert_eq!(i64::from(drawn.length_frames), span.end.0 - span.start.0);
            }
        }
    }
}

/// Everything that is split says so in both halves, and the halves add up.
#[test]
fn breathing_and_non_breathing_strokes_add_up() {
    let mut marks = Marks::default();
    marks.arm(Side::Left, 0, [0, 450, 800, 1050], 1500, 6).arm(
        Side::Right,
        750,
        [0, 450, 800, 1050],
        1500,
        6,
    );
    // Every second cycle, to the right, while the right arm leaves the water.
    for breath in [750 + 1000, 750 + 4000, 750 + 7000] {
        marks.push(MarkKind::MouthClear, RIGHT, breath);
    }
    let analysis = measured(&clock_from(0), &marks.0);
    let n = |kind, side, split| common::split_of(&analysis, kind, side, split).n;
    for side in [LEFT, RIGHT, None] {
        for kind in [
            MeasureKind::CycleDuration,
            MeasureKind::PhasePull,
            MeasureKind::PropulsiveShare,
        ] {
            let [all, with, without] = [
                BreathingSplit::All,
                BreathingSplit::Breathing,
                BreathingSplit::NonBreathing,
            ]
            .map(|split| n(kind, side, split));
            assert_eq!(all, with + without, "{kind:?} {side:?}");
            assert_eq!(with, if side.is_none() { 6 } else { 3 }, "{kind:?} {side:?}");
        }
    }
    // A breath lies in one hand-over: the right arm ends, the left one waits.
    assert_eq!(n(MeasureKind::PropulsiveGap, LEFT, BreathingSplit::Breathing), 3);
    assert_eq!(n(MeasureKind::PropulsiveGap, RIGHT, BreathingSplit::Breathing), 0);
    assert_eq!(
        analysis.arms[1]
            .cycles
            .iter()
            .map(|cycle| cycle.breathing)
            .collect::<Vec<_>>(),
        [true, false, true, false, true, false].map(Some)
    );
    assert_eq!(
        value(common::mean_of(&analysis, MeasureKind::StrokesPerBreath, None)),
        4.0
    );
}
