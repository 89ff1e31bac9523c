//! Two sets of cycles compared: what is said, what is withheld, and why.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Chance, Marks, Swimmer, constant_clock, marks_on_frames, mean_of, millisecond_clock};
use proptest::prelude::*;
use time::{Clock, Ticks};
use wetframe_stroke::compare::{
    ComparisonAbsenceKind, Conditions, ConfounderKind, MeasureComparison, OperatorError, Selection, Verdict,
};
use wetframe_stroke::{
    BreathingSplit, CompareOptions, Comparison, Mark, MarkKind, MeasureKind, MeasureRepeatability, Passage,
    Repeatability, SelectedCycles, Side, Unit, analyse, compare,
};

const ALL: Selection = Selection {
    from: None,
    to: None,
    breathing: BreathingSplit::All,
};
const LEFT: Option<Side> = Some(Side::Left);

fn clock(rate_fps: i64) -> Clock {
    constant_clock(rate_fps as u32 * 1000, 1000, 30 * rate_fps)
}

fn chosen(clip: u32, clock: &Clock, marks: &[Mark], selection: Selection) -> SelectedCycles {
    let passage = Passage {
        clock,
        marks,
        speed: None,
    };
    SelectedCycles::of(clip, &passage, selection, Conditions::default())
}

fn swum(clip: u32, swimmer: Swimmer, cycles: usize, rate_fps: i64, seed: u64) -> SelectedCycles {
    let clock = clock(rate_fps);
    let events = swimmer.swim(cycles, &mut Chance(seed));
    chosen(clip, &clock, &marks_on_frames(&clock, &events), ALL)
}

fn with_catch_earlier(seconds: f64) -> Swimmer {
    Swimmer {
        catch_later_s: -seconds,
        ..Swimmer::USUAL
    }
}

#[track_caller]
fn of(comparison: &Comparison, kind: MeasureKind, side: Option<Side>) -> &MeasureComparison {
    comparison
        .measures
        .iter()
        .find(|measure| measure.kind == kind && measure.side == side)
        .unwrap_or_else(|| panic!("no {kind:?} {side:?}"))
}

#[track_caller]
fn why_not(measure: &MeasureComparison) -> ComparisonAbsenceKind {
    assert_eq!(measure.verdict, Verdict::NotComparable);
    assert!(measure.welch.is_none() && measure.permutation.is_none());
    assert_eq!(measure.gates.strokes.passed, None);
    measure.absence.as_ref().unwrap().kind
}

#[test]
fn a_large_change_of_the_gap_is_called_so_with_its_interval() {
    let before = [swum(1, Swimmer::USUAL, 10, 60, 1)];
    let after = [swum(2, with_catch_earlier(0.08), 10, 60, 2)];
    let comparison = compare(&before, &after, &CompareOptions::default());
    // 16 kinds of which three repeat the cycle's duration, one the gap and one the index: 13 for both arms and each
    // arm, and six differences between the arms.
    assert_eq!(comparison.questions, 3 * 13 + 6);
    assert_eq!(comparison.operator_error, OperatorError::NotKnown);
    let gap = of(&comparison, MeasureKind::PropulsiveGap, None);
    assert_eq!(gap.verdict, Verdict::Changed);
    let difference = gap.difference.as_ref().unwrap();
    let [low, high] = difference.interval.unwrap();
    assert!(low < -0.08 && -0.08 < high && high < 0.0, "{difference:?}");
    assert_eq!(
        gap.sentence,
        "Propulsive gap: 71 ms lower after (95 % interval of after − before: −84 to −58 ms), more than the frames and \
         the strokes' variation explain; your own marking error is not known yet."
    );
    assert_eq!(gap.gates.operator.passed, None);
    assert!(
        gap.permutation
            .is_some_and(|test| !test.exact && test.arrangements == 19_999)
    );
    let rate = of(&comparison, MeasureKind::StrokeRate, None);
    assert_eq!(rate.verdict, Verdict::WithinStrokeVariation);
    assert!(rate.settle.as_ref().unwrap().contains("not even 200 cycles"));
}

#[test]
fn named_kinds_are_the_only_questions() {
    let before = [swum(1, Swimmer::USUAL, 8, 60, 1)];
    let after = [swum(2, with_catch_earlier(0.04), 8, 60, 2)];
    let kinds = [MeasureKind::PropulsiveGap, MeasureKind::PropulsiveGapFrames];
    let comparison = compare(
        &before,
        &after,
        &CompareOptions {
            kinds: &kinds,
            ..CompareOptions::default()
        },
    );
    assert_eq!((comparison.questions, comparison.measures.len()), (3, 6));
    let everything = compare(&before, &after, &CompareOptions::default());
    let p_holm = |comparison| {
        of(comparison, MeasureKind::PropulsiveGap, None)
            .welch
            .unwrap()
            .p_holm
    };
    assert!(p_holm(&comparison) < p_holm(&everything));
    // The same question in other words has the same answer.
    let frames = of(&comparison, MeasureKind::PropulsiveGapFrames, None);
    assert!((frames.welch.unwrap().p_holm - p_holm(&comparison)).abs() < 1e-12);
}

#[test]
fn both_arms_together_count_two_arm_cycles_and_rates_have_the_usual_mean() {
    let clock = clock(60);
    let events = Swimmer::USUAL.swim(8, &mut Chance(5));
    let marks = marks_on_frames(&clock, &events);
    let set = [chosen(1, &clock, &marks, ALL)];
    let comparison = compare(&set, &[], &CompareOptions::default());
    assert_eq!(comparison.before.cycles, 8);
    let rate = of(&comparison, MeasureKind::StrokeRate, LEFT)
        .before
        .as_ref()
        .unwrap();
    let analysis = analyse(&Passage {
        clock: &clock,
        marks: &marks,
        speed: None,
    });
    let usual = mean_of(&analysis, MeasureKind::StrokeRate, LEFT);
    assert!((rate.mean - usual.quantity.unwrap().value).abs() < 1e-9);
    assert!((rate.frame_uncertainty - usual.quantity.unwrap().uncertainty).abs() < 1e-12);
    assert!((rate.sd.unwrap() - usual.sd.unwrap()).abs() < 1e-9);
    let pooled = of(&comparison, MeasureKind::CycleDuration, None)
        .before
        .as_ref()
        .unwrap();
    assert_eq!(pooled.n, 8);
    let [left, right] = [Side::Left, Side::Right].map(|side| {
        let of_arm = of(&comparison, MeasureKind::CycleDuration, Some(side))
            .before
            .as_ref()
            .unwrap();
        of_arm.values[2].value
    });
    assert!((pooled.values[2].value - f64::midpoint(left, right)).abs() < 1e-12);
    // Neighbours share their entries: the mean of eight is surer than √8 single ones.
    assert!(pooled.frame_uncertainty < 0.7 * pooled.values[0].uncertainty / 8.0_f64.sqrt());
    assert_eq!(
        why_not(of(&comparison, MeasureKind::CycleDuration, None)),
        ComparisonAbsenceKind::NoValues
    );
}

#[test]
fn too_few_cycles_say_how_many_are_needed() {
    let before = [swum(1, Swimmer::USUAL, 2, 60, 1)];
    let after = [swum(2, Swimmer::USUAL, 8, 60, 2)];
    let comparison = compare(&before, &after, &CompareOptions::default());
    let duration = of(&comparison, MeasureKind::CycleDuration, None);
    assert_eq!(why_not(duration), ComparisonAbsenceKind::TooFewCycles);
    let absence = duration.absence.as_ref().unwrap();
    assert_eq!(absence.message, "Only 2 cycles before and 8 cycles after.");
    assert!(absence.hint.contains("At least 3 in each set") && absence.hint.contains("4 before any change"));
    // What there is is still shown.
    assert!(
        duration
            .difference
            .as_ref()
            .is_some_and(|difference| difference.interval.is_none())
    );
}

/// The rarest of 20 arrangements of three against three has p = 0.1: however large the difference, it may be chance.
#[test]
fn three_against_three_can_never_be_called_a_change() {
    let before = [swum(1, Swimmer::USUAL, 3, 240, 1)];
    let after = [swum(2, with_catch_earlier(0.3), 3, 240, 2)];
    let kinds = [MeasureKind::PropulsiveGap];
    let options = CompareOptions {
        kinds: &kinds,
        ..CompareOptions::default()
    };
    let comparison = compare(&before, &after, &options);
    let gap = of(&comparison, MeasureKind::PropulsiveGap, None);
    assert!((gap.permutation.unwrap().p - 0.1).abs() < 1e-12);
    assert!(gap.welch.unwrap().p_holm < 0.05);
    assert_eq!(gap.verdict, Verdict::WithinStrokeVariation);
    assert!(
        gap.settle.as_ref().unwrap().contains("5 cycles in each set"),
        "{:?}",
        gap.settle
    );
}

/// Entries and catches with no exit between them: every cycle is in doubt.
#[test]
fn a_set_whose_every_cycle_is_flagged_says_so_and_shows_them() {
    let clock = millisecond_clock(20.0);
    let mut marks = Marks::default();
    for entry in 0..8 {
        marks.push(MarkKind::Entry, LEFT, 1000 + 1500 * entry);
        marks.push(MarkKind::Catch, LEFT, 1450 + 1500 * entry);
    }
    let before = [chosen(1, &clock, &marks.0, ALL)];
    let after = [swum(2, Swimmer::USUAL, 8, 60, 2)];
    let comparison = compare(&before, &after, &CompareOptions::default());
    let duration = of(&comparison, MeasureKind::CycleDuration, LEFT);
    assert_eq!(why_not(duration), ComparisonAbsenceKind::AllFlagged);
    let shown = duration.before.as_ref().unwrap();
    assert_eq!((shown.n, shown.values.len()), (0, 7));
    assert!(shown.values.iter().all(|value| value.flagged));
    assert_eq!(
        duration.sentence,
        "Cycle duration, left: Every value before is flagged (7)."
    );
}

/// A stretch that is not marked puts no cycle beside it in doubt.
#[test]
fn an_unmarked_stretch_is_no_doubt() {
    let clock = millisecond_clock(60.0);
    let mut marks = Marks::default();
    for start in [1_000, 20_000] {
        marks.arm(Side::Left, start, [0, 450, 800, 1050], 1500, 4);
    }
    let comparison = compare(
        &[chosen(1, &clock, &marks.0, ALL)],
        &[],
        &CompareOptions::default(),
    );
    let duration = of(&comparison, MeasureKind::CycleDuration, LEFT)
        .before
        .as_ref()
        .unwrap();
    assert_eq!(duration.n, 8);
}

/// Six beats in every cycle against four: counts have no frame error and no spread to compare with.
#[test]
fn counts_without_spread_are_not_taken_for_certain() {
    let clock = millisecond_clock(40.0);
    let with_beats = |clip, beats: i64| {
        let mut marks = Marks::default();
        marks.arm(Side::Left, 1_000, [0, 450, 800, 1050], 1500, 8);
        for beat in 0..9 * beats {
            marks.push(MarkKind::Downbeat, Some(Side::Right), 900 + beat * 1500 / beats);
        }
        [chosen(clip, &clock, &marks.0, ALL)]
    };
    let comparison = compare(&with_beats(1, 6), &with_beats(2, 4), &CompareOptions::default());
    let beats = of(&comparison, MeasureKind::KickBeatsPerCycle, LEFT);
    assert_eq!(why_not(beats), ComparisonAbsenceKind::NoSpread);
    assert!((beats.difference.as_ref().unwrap().value + 2.0).abs() < 1e-12);
}

/// All values of each clip are equal, one frame apart: strokes in step with the frames would look the same.
#[test]
fn one_frame_between_values_without_spread_is_within_the_frames() {
    let clock = constant_clock(30, 1, 900);
    let swim = |clip, catch: i64| {
        let mut marks = Marks::default();
        for (side, start) in [(Side::Left, 30), (Side::Right, 53)] {
            marks.arm(side, start, [0, catch, 24, 32], 45, 8);
        }
        [chosen(clip, &clock, &marks.0, ALL)]
    };
    let kinds = [MeasureKind::PropulsiveGap];
    let options = CompareOptions {
        kinds: &kinds,
        ..CompareOptions::default()
    };
    let verdict = |frames: i64| {
        let comparison = compare(&swim(1, 14), &swim(2, 14 - frames), &options);
        let gap = of(&comparison, MeasureKind::PropulsiveGap, LEFT).clone();
        assert!(gap.before.as_ref().unwrap().sd.unwrap() < 1e-12);
        (gap.verdict, gap.gates.frame)
    };
    let (one_frame, gate) = verdict(1);
    assert_eq!(one_frame, Verdict::WithinFrameError);
    // Two frames: half a frame for each of the four marks of two gaps.
    assert!((gate.threshold.unwrap() - 2.0 / 30.0).abs() < 1e-9, "{gate:?}");
    assert!(gate.reason.contains("keep step with the frames"));
    assert_eq!(verdict(3).0, Verdict::Changed);
}

#[test]
fn the_coachs_own_hand_is_the_second_gate_and_the_sentence_names_it() {
    let before = [swum(1, Swimmer::USUAL, 8, 60, 1)];
    let after = [swum(2, with_catch_earlier(0.06), 8, 60, 2)];
    let kinds = [MeasureKind::PropulsiveGap];
    let with_sem = |sem: f64| {
        let repeatability = Repeatability {
            passes: 1,
            per_mark: Vec::new(),
            per_measure: vec![MeasureRepeatability {
                kind: MeasureKind::PropulsiveGap,
                unit: Unit::Seconds,
                n: 20,
                sem: Some(sem),
                sem_interval: None,
                mdc: None,
                own_sem: None,
                shift: None,
                shift_interval: None,
                too_few: None,
            }],
        };
        let options = CompareOptions {
            kinds: &kinds,
            repeatability: Some(&repeatability),
            ..CompareOptions::default()
        };
        let comparison = compare(&before, &after, &options);
        assert_eq!(comparison.operator_error, OperatorError::Known);
        of(&comparison, MeasureKind::PropulsiveGap, None).clone()
    };
    let steady = with_sem(0.010);
    assert_eq!(
        (steady.verdict, steady.gates.operator.passed),
        (Verdict::Changed, Some(true))
    );
    assert!(
        steady
            .sentence
            .ends_with("more than the frames, your own marking and the strokes' variation explain.")
    );
    assert_eq!(steady.settle, None);
    // Sixteen readings in each set: 1.96 · SEM · √(2/16).
    let expected = 1.96 * 0.010 * (2.0_f64 / 16.0).sqrt();
    assert!((steady.gates.operator.threshold.unwrap() - expected).abs() < 1e-12);
    let unsteady = with_sem(0.150);
    assert_eq!(unsteady.verdict, Verdict::WithinOperatorError);
    assert!(
        unsteady.sentence.contains("your own marking can make 104 ms"),
        "{}",
        unsteady.sentence
    );
    assert!(
        unsteady
            .settle
            .as_ref()
            .unwrap()
            .contains("cycles in each set would show it")
    );
}

#[test]
fn paired_sets_compare_stretch_by_stretch_or_cycle_by_cycle() {
    let length = |clip: u32, later_s: f64, seed| {
        let swimmer = Swimmer {
            // Each swimmer, or each length, has a gap of its own.
            catch_later_s: later_s + 0.05 * f64::from(clip % 10),
            ..Swimmer::USUAL
        };
        swum(clip, swimmer, 6, 120, seed)
    };
    let before: Vec<SelectedCycles> = (1..=6).map(|clip| length(clip, 0.0, u64::from(clip))).collect();
    let after: Vec<SelectedCycles> = (11..=16)
        .map(|clip| length(clip, -0.03, u64::from(clip)))
        .collect();
    let kinds = [MeasureKind::PropulsiveGap];
    let compared = |paired| {
        let options = CompareOptions {
            kinds: &kinds,
            paired,
            ..CompareOptions::default()
        };
        compare(&before, &after, &options)
    };
    let paired = compared(true);
    let gap = of(&paired, MeasureKind::PropulsiveGap, None);
    assert!((gap.welch.unwrap().degrees_of_freedom - 5.0).abs() < 1e-12);
    assert!(
        gap.permutation
            .is_some_and(|test| test.exact && test.arrangements == 64)
    );
    // Six pairs, all of one sign: the rarest there is.
    assert!((gap.permutation.unwrap().p - 2.0 / 64.0).abs() < 1e-12);
    let unpaired = compared(false);
    let p = |comparison| of(comparison, MeasureKind::PropulsiveGap, None).welch.unwrap().p;
    assert!(p(&paired) < p(&unpaired));

    let single = compare(
        &before[..1],
        &after[..1],
        &CompareOptions {
            paired: true,
            ..CompareOptions::default()
        },
    );
    let gap = of(&single, MeasureKind::PropulsiveGap, LEFT);
    assert_eq!(
        gap.welch.unwrap().degrees_of_freedom.round() as u32 + 1,
        gap.before.as_ref().unwrap().n
    );
    let unequal = [swum(9, Swimmer::USUAL, 5, 120, 9)];
    let options = CompareOptions {
        paired: true,
        ..CompareOptions::default()
    };
    let comparison = compare(&before[..1], &unequal, &options);
    let why = why_not(of(&comparison, MeasureKind::CycleDuration, LEFT));
    assert_eq!(why, ComparisonAbsenceKind::UnequalPairs);
}

/// A cycle in doubt takes its pair along, and no other: the next pair is still that of the next cycles.
#[test]
fn a_flagged_value_takes_its_pair_out_and_shifts_no_other() {
    let clock = millisecond_clock(30.0);
    let clip = |clip: u32, longer: i64, without_exit: i64| {
        let mut marks = Marks::default();
        let mut entry = 1_000;
        for cycle in 0..12_i64 {
            for (kind, after) in MarkKind::ARM.into_iter().zip([0, 450, 800, 1050]) {
                if kind != MarkKind::Exit || cycle != without_exit {
                    marks.push(kind, LEFT, entry + after);
                }
            }
            entry += 1_400 + 30 * cycle + longer + (cycle * 7) % 3;
        }
        [chosen(clip, &clock, &marks.0, ALL)]
    };
    let options = CompareOptions {
        paired: true,
        kinds: &[MeasureKind::CycleDuration],
        ..CompareOptions::default()
    };
    let comparison = compare(&clip(1, 0, 2), &clip(2, 20, 7), &options);
    let duration = of(&comparison, MeasureKind::CycleDuration, LEFT);
    let values = |set: &Option<wetframe_stroke::compare::SetValues>| set.as_ref().unwrap().values.clone();
    let pairs: Vec<f64> = values(&duration.before)
        .iter()
        .zip(&values(&duration.after))
        .filter(|(before, after)| !before.flagged && !after.flagged)
        .map(|(before, after)| after.value - before.value)
        .collect();
    assert!(pairs.len() < 10, "a cycle of each is in doubt");
    let welch = duration.welch.unwrap();
    assert!((welch.degrees_of_freedom - (pairs.len() - 1) as f64).abs() < 1e-12);
    // Every cycle is 20 ms longer than its own partner; held against its neighbour it would be off by 30 ms.
    let difference = duration.difference.as_ref().unwrap().value;
    assert!((difference - 0.02).abs() < 1e-9, "{difference}");
}

#[test]
fn stretches_of_one_clip_and_breathing_strokes_are_sets_too() {
    let clock = millisecond_clock(40.0);
    let mut marks = Marks::default();
    for (side, start) in [(Side::Left, 1_000), (Side::Right, 1_760)] {
        for cycle in 0..=12_i64 {
            let entry = start + 1500 * cycle + (cycle * 37) % 50;
            for (kind, after) in MarkKind::ARM.into_iter().zip([0, 450, 800, 1050]) {
                marks.push(kind, Some(side), entry + after + (cycle * 53 + after) % 40);
            }
        }
    }
    for cycle in [1, 3, 5, 7, 9, 11] {
        marks.push(
            MarkKind::MouthClear,
            Some(Side::Right),
            1_000 + 1500 * cycle + 200,
        );
    }
    let part = |from: Option<i64>, to: Option<i64>, breathing| Selection {
        from: from.map(Ticks),
        to: to.map(Ticks),
        breathing,
    };
    let set = |selection| [chosen(1, &clock, &marks.0, selection)];
    let all = BreathingSplit::All;
    let halves = compare(
        &set(part(None, Some(10_500), all)),
        &set(part(Some(10_500), None, all)),
        &CompareOptions::default(),
    );
    // The left arm has six and five, the right arm five and six.
    assert_eq!((halves.before.cycles, halves.after.cycles), (6, 6));
    assert!(halves.confounders.is_empty());
    let duration = of(&halves, MeasureKind::CycleDuration, LEFT);
    let spans = |set: &Option<wetframe_stroke::compare::SetValues>| -> Vec<_> {
        set.as_ref()
            .unwrap()
            .values
            .iter()
            .map(|value| value.span.unwrap())
            .collect()
    };
    assert!(
        spans(&duration.before)
            .iter()
            .all(|span| span.end <= Ticks(10_500))
    );
    assert!(
        spans(&duration.after)
            .iter()
            .all(|span| span.start >= Ticks(10_500))
    );

    let breaths = compare(
        &set(part(None, None, BreathingSplit::Breathing)),
        &set(part(None, None, BreathingSplit::NonBreathing)),
        &CompareOptions::default(),
    );
    assert_eq!(breaths.confounders[0].kind, ConfounderKind::DifferentBreathing);
    let duration = of(&breaths, MeasureKind::CycleDuration, LEFT);
    let told = |set: &Option<wetframe_stroke::compare::SetValues>| -> Vec<_> {
        set.as_ref()
            .unwrap()
            .values
            .iter()
            .map(|value| value.breathing)
            .collect()
    };
    assert_eq!(told(&duration.before), [Some(true); 6]);
    assert_eq!(told(&duration.after), [Some(false); 6]);
}

#[test]
fn different_swimmers_are_named_first() {
    let mut sets = [1, 2].map(|clip| {
        let clock = clock(60);
        let events = Swimmer::USUAL.swim(6, &mut Chance(u64::from(clip)));
        let passage = Passage {
            clock: &clock,
            marks: &marks_on_frames(&clock, &events),
            speed: None,
        };
        let conditions = Conditions {
            athlete: if clip == 1 { "Mara".into() } else { "Jona".into() },
            ..Conditions::default()
        };
        SelectedCycles::of(clip, &passage, ALL, conditions)
    });
    let [before, after] = &mut sets;
    let comparison = compare(
        std::slice::from_ref(before),
        std::slice::from_ref(after),
        &CompareOptions::default(),
    );
    assert_eq!(comparison.confounders[0].kind, ConfounderKind::DifferentAthletes);
    assert_eq!(
        comparison.confounders[0].message,
        "The sets are of different swimmers: Mara before, Jona after."
    );
    assert_eq!(
        (comparison.before.athletes, comparison.after.athletes),
        (vec!["Mara".into()], vec!["Jona".into()])
    );
}

proptest! {
    // Each case compares everything twice.
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn verdicts_follow_the_gates_and_swapped_sets_turn_the_difference_round(
        seed in any::<u64>(),
        rate in prop::sample::select(vec![25_i64, 30, 60, 120]),
        cycles in 2..7_usize,
        change_ms in -80..80_i32,
    ) {
        let before = [swum(1, Swimmer::USUAL, cycles, rate, seed)];
        let after = [swum(2, with_catch_earlier(f64::from(change_ms) / 1000.0), 6, rate, seed ^ 99)];
        let there = compare(&before, &after, &CompareOptions::default());
        let back = compare(&after, &before, &CompareOptions::default());
        prop_assert_eq!(there.questions, back.questions);
        for (one, other) in there.measures.iter().zip(&back.measures) {
            let gates = [&one.gates.frame, &one.gates.operator, &one.gates.strokes].map(|gate| gate.passed);
            let passed = gates[0] == Some(true) && gates[1] != Some(false) && gates[2] == Some(true);
            prop_assert_eq!(one.verdict == Verdict::Changed, passed, "{:?}", one);
            prop_assert_eq!(one.verdict == Verdict::NotComparable, one.absence.is_some());
            prop_assert_eq!(one.verdict, other.verdict);
            let words = one.sentence.to_lowercase();
            for never in ["significan", "better", "worse", "improve", "nan", "inf "] {
                prop_assert!(!words.contains(never), "{}", one.sentence);
            }
            if let (Some(one), Some(other)) = (&one.difference, &other.difference) {
                prop_assert!((one.value + other.value).abs() < 1e-9);
                prop_assert!((one.frame_uncertainty - other.frame_uncertainty).abs() < 1e-9);
            }
            if let (Some(one), Some(other)) = (one.welch, other.welch) {
                prop_assert!((one.p - other.p).abs() < 1e-9 && one.p_holm >= one.p && one.p_holm <= 1.0);
            }
            if let (Some(one), Some(other)) = (one.permutation, other.permutation) {
                prop_assert!((one.p - other.p).abs() < 1e-12 && one.p > 0.0);
            }
        }
    }
}
