//! The second marking: its commands, its questions, its file, and what the session makes of it.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::{Value, json};
use stroke::{MarkId, MarkKind};
use support::{add_clip, command, flume_session, history};
use wetframe_session::{
    ClipId, CyclePart, CycleSet, Document, History, RemarkingId, Trouble, read_file, remarks_csv,
    repeatability_csv, write_file,
};

/// Ten cycles of the left arm at 60 frames/s, each mark one and a half seconds after the last of its kind.
fn ten_cycles() -> History {
    let mut history = History::new(Document::new("flume-morning", "2026-03-14").unwrap());
    history.apply(command(&add_clip("before.mp4", 1_000))).unwrap();
    for cycle in 0..10_i64 {
        for (kind, frame) in [("entry", 4), ("catch", 30), ("mid_pull", 51), ("exit", 66)] {
            let time = (frame + 90 * cycle) * 1_500;
            history
                .apply(command(&json!({"command": "add_mark", "clip": 1, "kind": kind, "side": "left", "time": time, "proof": "decoded"})))
                .unwrap();
        }
    }
    history
}

fn do_all(history: &mut History, commands: &[Value]) {
    for value in commands {
        history.apply(command(value)).unwrap();
    }
}

fn answer(asked: u32, frame: i64) -> Value {
    json!({"command": "add_remark", "remarking": 1, "asked": asked, "time": frame * 1_500, "proof": "decoded"})
}

/// Answers every question by the earlier mark's frame and an error in frames.
fn whole_pass(history: &mut History, id: u32, error: impl Fn(MarkKind, usize) -> i64) {
    while let Some(step) = history.document().remark_pass(RemarkingId(id)).unwrap().step {
        let earlier = *history
            .document()
            .remarking(RemarkingId(id))
            .unwrap()
            .question(step.asked)
            .unwrap();
        let time = earlier.time.0 + 1_500 * error(step.kind, step.done as usize);
        do_all(
            history,
            &[
                json!({"command": "add_remark", "remarking": id, "asked": step.asked, "time": time, "proof": "decoded"}),
            ],
        );
    }
    do_all(
        history,
        &[json!({"command": "finish_remarking", "remarking": id})],
    );
}

#[track_caller]
fn refused(history: &mut History, value: &Value) -> Trouble {
    let before = history.document().clone();
    let refusal = history.apply(command(value)).unwrap_err();
    assert_eq!(history.document(), &before);
    refusal.trouble()
}

#[test]
fn a_passage_asks_for_the_marks_that_stood_in_it() {
    let mut history = ten_cycles();
    do_all(
        &mut history,
        &[json!({"command": "add_remarking", "clip": 1, "from": 94 * 1_500, "to": 184 * 1_500})],
    );
    let remarking = &history.document().remarkings[0];
    let asked: Vec<u32> = remarking.earlier.iter().map(|mark| mark.mark.0).collect();
    // The second cycle and the entry that ends it, which stands on the last frame of the passage.
    assert_eq!(asked, [5, 6, 7, 8, 9]);
    let pass = history.document().remark_pass(RemarkingId(1)).unwrap();
    assert_eq!((pass.marked, pass.skipped, pass.of, pass.back), (0, 0, 5, None));
    let step = pass.step.unwrap();
    assert_eq!((step.done, step.of, step.cycles), (0, 5, 2));
}

#[test]
fn each_refusal_says_what_is_wrong_and_what_to_do() {
    let mut history = history();
    do_all(
        &mut history,
        &[
            answer(1, 2),
            json!({"command": "skip_remark", "remarking": 1, "asked": 2}),
        ],
    );
    for (value, kind, message) in [
        (
            answer(9, 2),
            "unknown_question",
            "this second marking does not ask for mark 9",
        ),
        (
            answer(1, 3),
            "answered_twice",
            "mark 1 is answered twice in this second marking",
        ),
        (
            json!({"command": "skip_remark", "remarking": 1, "asked": 1}),
            "answered_twice",
            "mark 1 is answered twice in this second marking",
        ),
        (
            json!({"command": "move_remark", "remarking": 1, "asked": 2, "time": 0, "proof": "decoded"}),
            "unknown_remark",
            "mark 2 is not yet answered in this second marking",
        ),
        (
            json!({"command": "move_remark", "remarking": 1, "asked": 1, "time": 3_001, "proof": "decoded"}),
            "no_frame_at_time",
            "no frame of “before.mp4” starts at 3001 ticks; the nearest is frame 2 at 3000",
        ),
        (
            json!({"command": "move_remark", "remarking": 1, "asked": 1, "time": 3_000, "proof": "decoded"}),
            "nothing_changes",
            "this changes nothing",
        ),
        (
            json!({"command": "delete_remark", "remarking": 7, "asked": 1}),
            "unknown_remarking",
            "this session has no second marking 7",
        ),
        (
            json!({"command": "add_remarking", "clip": 1, "from": 30_000}),
            "nothing_to_mark_again",
            "this passage of “before.mp4” has no marks that could be made again",
        ),
        (
            json!({"command": "add_remarking", "clip": 1, "from": 3_000, "to": 3_000}),
            "stretch_empty",
            "the stretch from 3000 to 3000 ticks holds nothing",
        ),
        (
            json!({"command": "add_remarking", "clip": 5}),
            "unknown_clip",
            "this session has no clip 5",
        ),
    ] {
        let trouble = refused(&mut history, &value);
        assert_eq!(
            (trouble.kind.as_str(), trouble.message.as_str()),
            (kind, message),
            "{value}"
        );
        assert!(!trouble.hint.is_empty());
    }
    do_all(
        &mut history,
        &[json!({"command": "delete_remark", "remarking": 1, "asked": 1})],
    );
    assert_eq!(
        refused(
            &mut history,
            &json!({"command": "finish_remarking", "remarking": 1})
        )
        .kind,
        "nothing_marked_again"
    );
    do_all(
        &mut history,
        &[
            answer(1, 2),
            json!({"command": "finish_remarking", "remarking": 1}),
        ],
    );
    for value in [
        json!({"command": "delete_remark", "remarking": 1, "asked": 1}),
        json!({"command": "move_remark", "remarking": 1, "asked": 1, "time": 0, "proof": "decoded"}),
    ] {
        assert_eq!(refused(&mut history, &value).kind, "remarking_finished");
    }
}

#[test]
fn labels_are_in_the_coachs_words_and_each_step_can_be_taken_back() {
    let mut history = history();
    for (value, label) in [
        (answer(1, 2), "mark left entry again on frame 2"),
        (
            json!({"command": "move_remark", "remarking": 1, "asked": 1, "time": 4_500, "proof": "decoded"}),
            "mark left entry again on frame 3",
        ),
        (
            json!({"command": "skip_remark", "remarking": 1, "asked": 2}),
            "pass over left catch",
        ),
        (
            json!({"command": "delete_remark", "remarking": 1, "asked": 2}),
            "take back left catch of the second marking",
        ),
        (
            json!({"command": "finish_remarking", "remarking": 1}),
            "finish the second marking of “before.mp4”",
        ),
        (
            json!({"command": "remove_remarking", "remarking": 1}),
            "discard the second marking of “before.mp4”",
        ),
        (
            json!({"command": "add_remarking", "clip": 2}),
            "begin to mark “after.mp4” again",
        ),
    ] {
        let before = history.document().clone();
        assert_eq!(history.apply(command(&value)).unwrap().label, label);
        history.undo().unwrap();
        assert_eq!(history.document(), &before);
        history.redo().unwrap();
    }
    // The discarded one's id is not given again.
    assert_eq!(history.document().remarkings[0].id, RemarkingId(2));
}

#[test]
fn mending_an_earlier_mark_afterwards_does_not_steady_the_hand() {
    let mut history = ten_cycles();
    do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
    whole_pass(&mut history, 1, |_, place| [1, -1][place % 2]);
    let before = history.document().repeatability().unwrap();
    assert!(before.is_known());
    let marks: Vec<Value> = history
        .document()
        .remarking(RemarkingId(1))
        .unwrap()
        .marks
        .iter()
        .map(
            |mark| json!({"command": "move_mark", "mark": mark.asked, "time": mark.time, "proof": "decoded"}),
        )
        .collect();
    do_all(&mut history, &marks);
    do_all(&mut history, &[json!({"command": "delete_marks", "marks": [1]})]);
    assert_eq!(history.document().repeatability().unwrap(), before);
}

#[test]
fn only_finished_passes_count_and_several_pool() {
    let mut history = ten_cycles();
    assert!(!history.document().repeatability().unwrap().is_known());
    do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
    assert_eq!(history.document().repeatability().unwrap().passes, 0);
    whole_pass(&mut history, 1, |_, _| 1);
    let once = history.document().repeatability().unwrap();
    let entry = once.of_mark(MarkKind::Entry).unwrap();
    assert_eq!((once.passes, entry.n, entry.sem_ms), (1, 10, Some(0.0)));
    assert!((entry.shift_ms.unwrap() - 1_000.0 / 60.0).abs() < 1e-9);

    do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
    whole_pass(&mut history, 2, |_, _| -1);
    let twice = history.document().repeatability().unwrap();
    let entry = twice.of_mark(MarkKind::Entry).unwrap();
    assert_eq!((twice.passes, entry.n), (2, 20));
    assert!(entry.shift_ms.unwrap().abs() < 1e-12);
    // Ten at +1 frame and ten at −1: SD = √(20/19) frames.
    let sem_frames = (20.0_f64 / 19.0).sqrt() / 2.0_f64.sqrt();
    assert!((entry.sem_frames.unwrap() - sem_frames).abs() < 1e-9);
}

#[test]
fn a_second_marking_goes_with_its_clip_and_comes_back_with_it() {
    let mut history = history();
    do_all(&mut history, &[answer(1, 2)]);
    let before = history.document().clone();
    do_all(&mut history, &[json!({"command": "remove_clip", "clip": 1})]);
    assert_eq!(history.document().remarkings, []);
    assert_eq!(history.document().faults(), []);
    history.undo().unwrap();
    assert_eq!(history.document(), &before);
}

#[test]
fn a_reload_goes_on_with_the_same_question_and_another_session_asks_in_another_order() {
    let mut history = ten_cycles();
    do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
    for _ in 0..7 {
        let pass = history.document().remark_pass(RemarkingId(1)).unwrap();
        let asked = pass.step.unwrap().asked.0;
        do_all(
            &mut history,
            &[json!({"command": "skip_remark", "remarking": 1, "asked": asked})],
        );
        let pass = history.document().remark_pass(RemarkingId(1)).unwrap();
        assert_eq!(pass.back, Some(MarkId(asked)));
    }
    let file = write_file(history.document(), "test", None).unwrap();
    let read = read_file(&file).unwrap().document;
    assert_eq!(&read, history.document());
    let pass = history.document().remark_pass(RemarkingId(1)).unwrap();
    assert_eq!(
        (pass.skipped, read.remark_pass(RemarkingId(1)).unwrap()),
        (7, pass)
    );

    let order = |document: &Document| -> Vec<u32> {
        let mut history = History::new(document.clone());
        do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
        let id = history.document().remarkings.last().unwrap().id;
        let mut asked = Vec::new();
        while let Some(step) = history.document().remark_pass(id).unwrap().step {
            do_all(
                &mut history,
                &[json!({"command": "skip_remark", "remarking": id, "asked": step.asked})],
            );
            asked.push(step.asked.0);
        }
        asked
    };
    let document = ten_cycles().document().clone();
    assert_ne!(
        order(&document),
        order(&document.clone().with_id("another").unwrap())
    );
}

#[test]
fn a_file_without_second_markings_is_read_as_having_none() {
    let file = write_file(ten_cycles().document(), "test", None).unwrap();
    let mut tree: Value = serde_json::from_slice(&file).unwrap();
    for field in ["remarkings", "next_remarking"] {
        assert!(tree["session"].as_object_mut().unwrap().remove(field).is_some());
    }
    let read = read_file(tree.to_string().as_bytes()).unwrap().document;
    assert_eq!(&read, ten_cycles().document());
}

#[test]
fn everything_wrong_with_a_second_marking_is_named_with_its_place() {
    let file = write_file(&flume_session(), "test", None).unwrap();
    let good: Value = serde_json::from_slice(&file).unwrap();
    for (place, value, kind, path) in [
        (
            "/remarkings/0/clip",
            json!(9),
            "unknown_clip",
            "/session/remarkings/0/clip",
        ),
        (
            "/remarkings/0/id",
            json!(0),
            "id_not_below_next",
            "/session/remarkings/0/id",
        ),
        (
            "/remarkings/1/id",
            json!(1),
            "id_used_twice",
            "/session/remarkings/1/id",
        ),
        (
            "/remarkings/0/to",
            json!(0),
            "stretch_empty",
            "/session/remarkings/0/to",
        ),
        (
            "/remarkings/0/marks/0/asked",
            json!(77),
            "unknown_question",
            "/session/remarkings/0/marks/0/asked",
        ),
        (
            "/remarkings/0/marks/1/asked",
            json!(3),
            "answered_twice",
            "/session/remarkings/0/marks/1/asked",
        ),
        (
            "/remarkings/0/marks/0/kind",
            json!("exit"),
            "answer_differs",
            "/session/remarkings/0/marks/0/kind",
        ),
        (
            "/remarkings/0/marks/0/time",
            json!(1),
            "no_frame_at_time",
            "/session/remarkings/0/marks/0/time",
        ),
        (
            "/remarkings/0/earlier/0/time",
            json!(1),
            "no_frame_at_time",
            "/session/remarkings/0/earlier/0/time",
        ),
        (
            "/remarkings/0/earlier/0/side",
            json!("both"),
            "side_not_possible",
            "/session/remarkings/0/earlier/0/side",
        ),
        (
            "/remarkings/0/skipped/0",
            json!(3),
            "answered_twice",
            "/session/remarkings/0/skipped/0",
        ),
        (
            "/remarkings/1/finished",
            json!(true),
            "nothing_marked_again",
            "/session/remarkings/1/finished",
        ),
        (
            "/remarkings/1/earlier",
            json!([]),
            "nothing_to_mark_again",
            "/session/remarkings/1/earlier",
        ),
        (
            "/remarkings/1/marks",
            json!("none"),
            "file_wrong_form",
            "/session/remarkings/1/marks",
        ),
    ] {
        let mut tree = good.clone();
        *tree["session"].pointer_mut(place).unwrap() = value;
        let unreadable = read_file(tree.to_string().as_bytes()).unwrap_err();
        let trouble = unreadable.trouble("spoilt.wetframe").unwrap();
        let said = serde_json::to_string(&trouble).unwrap();
        assert!(said.contains(kind) && said.contains(path), "{place}: {said}");
    }
}

#[test]
fn the_tables_hold_every_answer_and_every_figure() {
    let document = flume_session();
    let remarks = remarks_csv(&document).unwrap();
    let lines: Vec<&str> = remarks.lines().collect();
    assert_eq!(
        lines[0],
        "clip,remarking,mark,kind,side,earlier_frame,earlier_true_time_s,answer,frame,presentation_ticks,timescale,true_time_s,proof,clip_id,clip_name"
    );
    assert_eq!(
        lines[1],
        "before,1,3,entry,left,4,0.06666666666666667,marked,5,7500,90000,0.08333333333333333,decoded,1,IMG_0411.MOV"
    );
    assert_eq!(
        lines[6],
        "before,1,6,exit,left,66,1.1,skipped,,,90000,,,1,IMG_0411.MOV"
    );
    // An unfinished one tells nothing: its coach must not read where the earlier marks stand.
    assert_eq!(lines.len(), 7);

    let mut history = ten_cycles();
    do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
    whole_pass(&mut history, 1, |_, place| [0, 1, -1][place % 3]);
    let table = repeatability_csv(history.document()).unwrap();
    assert!(table.starts_with(
        "of,what,n,unit,sem,sem_low,sem_high,mdc,own_sem,shift,shift_low,shift_high,unpaired_earlier,unpaired_again,reason\r\n"
    ));
    let repeatability = history.document().repeatability().unwrap();
    let rows: Vec<Vec<&str>> = table
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect();
    assert_eq!(
        rows.len(),
        repeatability.per_mark.len() + repeatability.per_measure.len()
    );
    let entry = repeatability.of_mark(MarkKind::Entry).unwrap();
    assert_eq!(&rows[0][..4], ["mark", "entry", "10", "ms"]);
    assert_eq!(rows[0][4].parse::<f64>().unwrap(), entry.sem_ms.unwrap());
    assert_eq!(rows[0][7].parse::<f64>().unwrap(), entry.mdc_ms.unwrap());
}

#[test]
fn a_finished_second_marking_is_what_the_comparison_judges_the_hand_by() {
    let mut history = ten_cycles();
    // No two strokes alike: the entries vary by up to two frames.
    for cycle in 0..10_u32 {
        let frame = 4 + 90 * i64::from(cycle) + [0, 2, -1, 1, -2, 3, 0, -3, 1, 2][cycle as usize];
        if frame != 4 + 90 * i64::from(cycle) {
            do_all(
                &mut history,
                &[
                    json!({"command": "move_mark", "mark": 1 + 4 * cycle, "time": frame * 1_500, "proof": "decoded"}),
                ],
            );
        }
    }
    let operator_error = |history: &History| {
        let middle = Some(time::Ticks(90 * 5 * 1_500));
        let [before, after] = [(None, middle), (middle, None)].map(|(from, to)| CycleSet {
            parts: vec![CyclePart {
                clip: ClipId(1),
                from,
                to,
            }],
            breathing: stroke::BreathingSplit::All,
        });
        let comparison = history
            .document()
            .comparison(&before, &after, false, &[])
            .unwrap();
        serde_json::to_value(comparison.operator_error).unwrap()
    };
    assert_eq!(operator_error(&history), "not_known");
    do_all(&mut history, &[json!({"command": "add_remarking", "clip": 1})]);
    assert_eq!(operator_error(&history), "not_known");
    whole_pass(&mut history, 1, |_, place| [0, 1, -1][place % 3]);
    assert_eq!(operator_error(&history), "known");
    history.undo().unwrap();
    assert_eq!(operator_error(&history), "not_known");
}
