//! Comparisons in the session: their commands, their file, what they say, and their table.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod support;

use serde_json::{Value, json};
use stroke::compare::{ComparisonAbsenceKind, ConfounderKind, OperatorError, Verdict};
use stroke::{BreathingSplit, MeasureKind};
use support::{add_clip, command, flume_session, history};
use wetframe_session::{
    ClipId, ComparisonId, CyclePart, CycleSet, Document, History, Trouble, comparison_csv, comparisons_csv,
    read_file, replay, write_file,
};

/// Two clips of an invented adult swimmer at 60 frames/s, eight cycles of both arms each; in the second every
/// catch comes `earlier` frames earlier. Frames scatter a little from stroke to stroke.
fn before_and_after(earlier: i64) -> History {
    let mut history = History::new(Document::new("flume-morning", "2026-03-14").unwrap());
    for (clip, name) in [(1, "before.mp4"), (2, "after.mp4")] {
        history.apply(command(&add_clip(name, 1_000))).unwrap();
        let mut commands = Vec::new();
        for (side, offset) in [("left", 10), ("right", 54)] {
            for cycle in 0..=8_i64 {
                for (place, (kind, frame)) in [("entry", 0), ("catch", 30), ("mid_pull", 50), ("exit", 65)]
                    .into_iter()
                    .enumerate()
                {
                    let scatter = (cycle * 7 + place as i64 * 5 + clip * 3 + offset) % 5 - 2;
                    let change = if kind == "catch" && clip == 2 { earlier } else { 0 };
                    let time = (offset + 90 * cycle + frame + scatter - change) * 1_500;
                    commands.push(json!({"command": "add_mark", "clip": clip, "kind": kind, "side": side, "time": time, "proof": "decoded"}));
                }
            }
        }
        history
            .apply(command(
                &json!({"command": "group", "label": "mark all", "commands": commands}),
            ))
            .unwrap();
    }
    history
}

fn whole(clip: u32) -> Value {
    json!({"parts": [{"clip": clip, "from": null, "to": null}], "breathing": "all"})
}

fn apply(history: &mut History, value: &Value) -> String {
    history.apply(command(value)).unwrap().label
}

#[track_caller]
fn refused(history: &mut History, value: &Value) -> Trouble {
    let before = history.document().clone();
    let refusal = history.apply(command(value)).unwrap_err();
    assert_eq!(history.document(), &before);
    refusal.trouble()
}

#[test]
fn a_comparison_is_kept_changed_removed_and_brought_back() {
    let base = before_and_after(4).document().clone();
    let mut history = History::new(base.clone());
    let lines: Vec<String> = [
        json!({"command": "add_comparison", "comparison": {"before": whole(1), "after": whole(2)}}),
        json!({"command": "edit_comparison", "comparison": 1, "change": {"label": "The cue", "kinds": ["stroke_rate", "propulsive_gap", "stroke_rate"]}}),
        json!({"command": "remove_comparison", "comparison": 1}),
    ]
    .iter()
    .map(|value| history.apply(command(value)).unwrap().journal_line)
    .collect();
    assert_eq!(history.undo_label(), Some("remove the comparison “The cue”"));
    assert!(history.document().comparisons.is_empty());
    history.undo().unwrap();
    let record = &history.document().comparisons[0];
    assert_eq!(
        (record.id, record.label.as_str(), record.paired),
        (ComparisonId(1), "The cue", false)
    );
    assert_eq!(
        record.kinds,
        [MeasureKind::StrokeRate, MeasureKind::PropulsiveGap]
    );
    assert_eq!(
        history.undo_label(),
        Some("change the label and the measures of the comparison “before.mp4 / after.mp4”")
    );
    history.undo().unwrap();
    assert_eq!(
        history.undo_label(),
        Some("add the comparison “before.mp4 / after.mp4”")
    );
    history.undo().unwrap();
    assert_eq!(history.document().comparisons, base.comparisons);
    assert_eq!(history.document().next_comparison, ComparisonId(1));

    let replayed = replay(base, &lines).unwrap();
    assert!(replayed.trouble.is_none());
    assert!(replayed.history.document().comparisons.is_empty());
    // An id is never given again.
    assert_eq!(replayed.history.document().next_comparison, ComparisonId(2));
}

#[test]
fn a_removed_clip_takes_its_comparisons_along_and_brings_them_back() {
    let mut history = before_and_after(4);
    apply(
        &mut history,
        &json!({"command": "add_comparison", "comparison": {"before": whole(1), "after": whole(2)}}),
    );
    let kept = history.document().clone();
    apply(&mut history, &json!({"command": "remove_clip", "clip": 2}));
    assert!(history.document().comparisons.is_empty());
    assert_eq!(history.document().faults(), []);
    history.undo().unwrap();
    assert_eq!(history.document(), &kept);
}

#[test]
fn sets_that_cannot_be_are_refused_with_their_place() {
    let mut history = history();
    let add = |before: Value| json!({"command": "add_comparison", "comparison": {"before": before, "after": whole(2)}});
    let trouble = refused(&mut history, &add(json!({"parts": []})));
    assert_eq!(
        (trouble.kind.as_str(), trouble.place.path.as_deref()),
        ("cycle_set_empty", Some("/before"))
    );
    let trouble = refused(&mut history, &add(whole(9)));
    assert_eq!(
        (trouble.kind.as_str(), trouble.place.clip),
        ("unknown_clip", Some(9))
    );
    let trouble = refused(
        &mut history,
        &add(json!({"parts": [{"clip": 1, "from": 9_000, "to": 9_000}]})),
    );
    assert_eq!(trouble.kind, "stretch_empty");
    let many: Vec<Value> = (0..201).map(|_| json!({"clip": 1})).collect();
    assert_eq!(
        refused(&mut history, &add(json!({"parts": many}))).kind,
        "too_many"
    );
    let trouble = refused(
        &mut history,
        &json!({"command": "add_comparison", "comparison": {"label": "two\nlines", "before": whole(1), "after": whole(2)}}),
    );
    assert_eq!(
        (trouble.kind.as_str(), trouble.place.path.as_deref()),
        ("control_character", Some("/label"))
    );
    for value in [
        json!({"command": "remove_comparison", "comparison": 1}),
        json!({"command": "edit_comparison", "comparison": 7, "change": {"paired": true}}),
    ] {
        assert_eq!(refused(&mut history, &value).kind, "unknown_comparison");
    }
    apply(&mut history, &add(whole(1)));
    let same = json!({"command": "edit_comparison", "comparison": 1, "change": {"paired": false}});
    assert_eq!(refused(&mut history, &same).kind, "nothing_changes");
}

#[test]
fn a_file_without_comparisons_reads_as_before_and_a_wrong_one_is_named() {
    let document = flume_session();
    let bytes = write_file(&document, "a test", None).unwrap();
    assert_eq!(read_file(&bytes).unwrap().document, document);
    let mut file: Value = serde_json::from_slice(&bytes).unwrap();
    let session = file["session"].as_object_mut().unwrap();
    session.remove("comparisons");
    session.remove("next_comparison");
    let opened = read_file(file.to_string().as_bytes()).unwrap();
    assert!(opened.document.comparisons.is_empty());

    let mut file: Value = serde_json::from_slice(&bytes).unwrap();
    file["session"]["comparisons"][0]["after"]["parts"][0]["clip"] = json!(8);
    let unreadable = read_file(file.to_string().as_bytes()).unwrap_err();
    let trouble = unreadable.troubles("lane-4.wetframe").remove(0);
    assert_eq!(
        trouble.place.path.as_deref(),
        Some("/session/comparisons/0/after")
    );
    let mut file: Value = serde_json::from_slice(&bytes).unwrap();
    file["session"]["comparisons"][0]["after"]["parts"][0]["until"] = json!(8);
    let unreadable = read_file(file.to_string().as_bytes()).unwrap_err();
    let trouble = unreadable.troubles("lane-4.wetframe").remove(0);
    assert_eq!(
        trouble.place.path.as_deref(),
        Some("/session/comparisons/0/after/parts/0")
    );
}

#[test]
fn a_change_of_the_gap_is_seen_and_what_was_not_changed_is_not() {
    let mut history = before_and_after(4);
    apply(
        &mut history,
        &json!({"command": "add_comparison", "comparison": {"before": whole(1), "after": whole(2)}}),
    );
    let comparison = history.document().kept_comparison(ComparisonId(1)).unwrap();
    assert_eq!((comparison.before.cycles, comparison.after.cycles), (8, 8));
    assert_eq!(comparison.before.frame_rate_fps, [60.0]);
    assert_eq!(comparison.operator_error, OperatorError::NotKnown);
    assert_eq!(comparison.confounders, []);
    let of = |kind| {
        comparison
            .measures
            .iter()
            .find(|measure| measure.kind == kind && measure.side.is_none())
            .unwrap()
    };
    let gap = of(MeasureKind::PropulsiveGap);
    assert_eq!(gap.verdict, Verdict::Changed);
    assert!((gap.difference.as_ref().unwrap().value + 4.0 / 60.0).abs() < 0.01);
    assert_ne!(of(MeasureKind::StrokeRate).verdict, Verdict::Changed);
}

#[test]
fn a_set_is_a_clip_a_stretch_or_several_and_a_cycle_lies_wholly_inside() {
    let history = before_and_after(0);
    let document = history.document();
    let cycles = |parts: &[(u32, Option<i64>, Option<i64>)]| -> u32 {
        let set = CycleSet {
            parts: parts
                .iter()
                .map(|(clip, from, to)| CyclePart {
                    clip: ClipId(*clip),
                    from: from.map(|frame| time::Ticks(frame * 1_500)),
                    to: to.map(|frame| time::Ticks(frame * 1_500)),
                })
                .collect(),
            breathing: BreathingSplit::All,
        };
        let other = CycleSet::of_clip(ClipId(2));
        document
            .comparison(&set, &other, false, &[])
            .unwrap()
            .before
            .cycles
    };
    assert_eq!(cycles(&[(1, None, None)]), 8);
    assert_eq!(cycles(&[(1, Some(90), Some(400))]), 3);
    assert_eq!(cycles(&[(1, None, Some(400)), (1, Some(450), None)]), 7);
    assert_eq!(cycles(&[(1, Some(20), Some(40))]), 0);
}

#[test]
fn the_same_cycles_in_both_sets_are_no_comparison() {
    let history = before_and_after(0);
    let set = CycleSet::of_clip(ClipId(1));
    let comparison = history.document().comparison(&set, &set, false, &[]).unwrap();
    assert_eq!(comparison.confounders[0].kind, ConfounderKind::SharedCycles);
    assert!(!comparison.measures.is_empty());
    for measure in &comparison.measures {
        assert_eq!(
            measure.absence.as_ref().unwrap().kind,
            ComparisonAbsenceKind::SharedCycles
        );
        assert_eq!(measure.verdict, Verdict::NotComparable);
    }
}

#[test]
fn what_else_differs_is_named_beside_the_result() {
    let mut history = before_and_after(4);
    for (clip, change) in [
        (
            1,
            json!({"view": "side", "kick": "kick", "speed": {"kind": "flume", "m_per_s": 1.3, "uncertainty_m_per_s": null}}),
        ),
        (
            2,
            json!({"view": "front", "kick": "no_kick", "aids": ["buoy"], "filmed_rate_fps": 120.0, "speed": {"kind": "pace", "s_per_100_m": 70.0}}),
        ),
    ] {
        apply(
            &mut history,
            &json!({"command": "edit_clip", "clip": clip, "change": change}),
        );
    }
    let sets = [1, 2].map(|clip| CycleSet::of_clip(ClipId(clip)));
    let comparison = history
        .document()
        .comparison(&sets[0], &sets[1], false, &[])
        .unwrap();
    let kinds: Vec<ConfounderKind> = comparison
        .confounders
        .iter()
        .map(|confounder| confounder.kind)
        .collect();
    assert_eq!(
        kinds,
        [
            ConfounderKind::DifferentViews,
            ConfounderKind::DifferentKick,
            ConfounderKind::DifferentAids,
            ConfounderKind::DifferentSpeeds,
            ConfounderKind::DifferentFrameRates
        ]
    );
    assert_eq!(
        comparison.confounders[1].message,
        "The kick differs: with kick before, without kick after."
    );
    assert_eq!(
        comparison.confounders[3].message,
        "The speed differs: 1.30 m/s before, 1.43 m/s after."
    );
    let frames = comparison
        .measures
        .iter()
        .find(|measure| measure.kind == MeasureKind::PropulsiveGapFrames)
        .unwrap();
    assert_eq!(
        frames.absence.as_ref().unwrap().kind,
        ComparisonAbsenceKind::DifferentFrameRates
    );
}

#[test]
fn what_was_marked_again_is_the_second_gate() {
    let mut history = before_and_after(4);
    apply(&mut history, &json!({"command": "add_remarking", "clip": 1}));
    while let Some(step) = history
        .document()
        .remark_pass(wetframe_session::RemarkingId(1))
        .unwrap()
        .step
    {
        let remarking = history
            .document()
            .remarking(wetframe_session::RemarkingId(1))
            .unwrap();
        let earlier = remarking.question(step.asked).unwrap();
        let time = earlier.time.0 + 1_500 * (i64::from(step.asked.0 * 5 % 3) - 1);
        apply(
            &mut history,
            &json!({"command": "add_remark", "remarking": 1, "asked": step.asked, "time": time, "proof": "decoded"}),
        );
    }
    apply(
        &mut history,
        &json!({"command": "finish_remarking", "remarking": 1}),
    );
    let sets = [1, 2].map(|clip| CycleSet::of_clip(ClipId(clip)));
    let comparison = history
        .document()
        .comparison(&sets[0], &sets[1], false, &[MeasureKind::PropulsiveGap])
        .unwrap();
    assert_eq!(comparison.operator_error, OperatorError::Known);
    let sem = history
        .document()
        .repeatability()
        .unwrap()
        .of_measure(MeasureKind::PropulsiveGap)
        .unwrap()
        .sem
        .unwrap();
    let gate = &comparison.measures[0].gates.operator;
    // The mean of both arms over eight cycles: sixteen readings in each set, but for those at the ends.
    let n = f64::from(comparison.measures[0].before.as_ref().unwrap().n);
    let expected = 1.96 * sem * (2.0 / (2.0 * n)).sqrt();
    assert!((gate.threshold.unwrap() - expected).abs() < 1e-12);
    assert_eq!(gate.passed, Some(true));
    assert!(comparison.measures[0].sentence.contains("your own marking"));
}

#[test]
fn the_table_has_a_line_for_each_measure_with_its_unit() {
    let mut history = before_and_after(4);
    apply(
        &mut history,
        &json!({"command": "add_comparison", "comparison": {"label": "=cue", "before": whole(1), "after": whole(2), "kinds": ["propulsive_gap", "stroke_rate"]}}),
    );
    let document = history.document();
    let table = comparisons_csv(document).unwrap();
    let comparison = document.kept_comparison(ComparisonId(1)).unwrap();
    assert_eq!(table, comparison_csv("=cue", &comparison).unwrap());
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let headers = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!((headers.len(), rows.len()), (41, 6));
    let cell = |row: usize, column: &str| {
        let place = headers.iter().position(|name| name == column).unwrap();
        rows[row][place].to_owned()
    };
    assert_eq!(cell(0, "comparison"), "'=cue");
    assert_eq!(
        (
            cell(0, "measure").as_str(),
            cell(0, "unit").as_str(),
            cell(0, "side").as_str()
        ),
        ("stroke_rate", "strokes/min", "")
    );
    assert_eq!(
        (
            cell(4, "measure").as_str(),
            cell(4, "unit").as_str(),
            cell(4, "side").as_str()
        ),
        ("propulsive_gap", "s", "left")
    );
    assert_eq!(cell(3, "verdict"), "changed");
    assert_eq!(cell(3, "questions"), "6");
    let difference: f64 = cell(3, "difference").parse().unwrap();
    assert!((difference - comparison.measures[3].difference.as_ref().unwrap().value).abs() < 1e-15);
}
