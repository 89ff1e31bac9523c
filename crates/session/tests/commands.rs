//! Commands, undo, redo and the journal.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use proptest::prelude::*;
use serde_json::{Value, json};
use support::{any_command, command, history};
use wetframe_session::{Command, Document, JournalTrouble, replay};

/// What a coach does.
#[derive(Clone, Debug)]
enum Act {
    Apply(Value),
    Undo,
    Redo,
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    prop::collection::vec(
        prop_oneof![5 => any_command().prop_map(Act::Apply), 2 => Just(Act::Undo), 2 => Just(Act::Redo)],
        0..50,
    )
}

/// Any JSON of some depth, with the names that commands use.
fn any_json() -> impl Strategy<Value = Value> {
    let word = prop::sample::select(vec![
        "command",
        "clip",
        "change",
        "kind",
        "side",
        "time",
        "proof",
        "mark",
        "marks",
        "label",
        "commands",
        "add_mark",
        "add_clip",
        "edit_clip",
        "edit_session",
        "group",
        "delete_marks",
        "move_mark",
        "left",
        "entry",
        "frame_times",
        "runs",
        "first",
        "filmed_rate_fps",
        "speed",
        "decoded",
        "athlete",
        "settings",
        "keys",
    ]);
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        word.clone().prop_map(Value::from),
        ".{0,10}".prop_map(Value::from),
    ];
    leaf.prop_recursive(5, 60, 8, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::btree_map(word.clone().prop_map(str::to_owned), inner, 0..6)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

proptest! {
    #[test]
    fn undo_brings_back_exactly_the_document_before_and_redo_the_one_after(commands in prop::collection::vec(any_command(), 1..40)) {
        let mut history = history();
        for value in &commands {
            let before = history.document().clone();
            match history.apply(command(value)) {
                Err(_) => prop_assert_eq!(history.document(), &before),
                Ok(applied) => {
                    let after = history.document().clone();
                    prop_assert_ne!(&after, &before);
                    prop_assert_eq!(after.faults(), vec![]);
                    let undone = history.undo().unwrap();
                    prop_assert_eq!(history.document(), &before);
                    let redone = history.redo().unwrap();
                    prop_assert_eq!(history.document(), &after);
                    prop_assert_eq!(&undone.clips_touched, &applied.clips_touched);
                    prop_assert_eq!(&redone.new_marks, &applied.new_marks);
                    prop_assert_eq!(redone.new_clips, applied.new_clips);
                    for mark in applied.new_marks {
                        prop_assert!(after.mark(mark).is_some() && before.mark(mark).is_none());
                    }
                }
            }
        }
    }

    #[test]
    fn all_steps_can_be_undone_and_redone(commands in prop::collection::vec(any_command(), 0..40)) {
        let mut history = history();
        for value in &commands {
            let _refused_or_not = history.apply(command(value));
        }
        let last = history.document().clone();
        while history.undo_label().is_some() {
            history.undo().unwrap();
        }
        prop_assert_eq!(history.document(), &Document::new("flume-morning", "2026-03-14").unwrap());
        while history.redo_label().is_some() {
            history.redo().unwrap();
        }
        prop_assert_eq!(history.document(), &last);
    }

    #[test]
    fn the_journal_gives_the_same_document_and_the_same_undo_steps(acts in acts(), cut in any::<prop::sample::Index>()) {
        let base = history().document().clone();
        let mut history = wetframe_session::History::new(base.clone());
        let mut lines = Vec::new();
        let mut documents = vec![base.clone()];
        for act in acts {
            let outcome = match act {
                Act::Apply(value) => history.apply(command(&value)),
                Act::Undo => history.undo(),
                Act::Redo => history.redo(),
            };
            if let Ok(applied) = outcome {
                prop_assert!(!applied.journal_line.contains(['\n', '\r']));
                lines.push(applied.journal_line);
                documents.push(history.document().clone());
            }
        }
        let mut replayed = replay(base.clone(), &lines).unwrap();
        prop_assert_eq!(&replayed.trouble, &None);
        prop_assert_eq!(replayed.lines_kept, lines.len());
        prop_assert_eq!(replayed.history.document(), history.document());
        prop_assert_eq!(replayed.history.undo_label(), history.undo_label());
        prop_assert_eq!(replayed.history.redo_label(), history.redo_label());
        while history.undo_label().is_some() {
            prop_assert_eq!(history.undo().unwrap(), replayed.history.undo().unwrap());
        }
        prop_assert_eq!(replayed.history.document(), &base);

        // The browser was killed while the last line was written.
        if let Some(last) = lines.pop() {
            let kept = last[..last.floor_char_boundary(cut.index(last.len()))].to_owned();
            lines.push(kept);
            let replayed = replay(base, &lines).unwrap();
            prop_assert_eq!(replayed.trouble, Some(JournalTrouble::CutOff { line: lines.len() }));
            prop_assert_eq!(replayed.lines_kept, lines.len() - 1);
            prop_assert_eq!(replayed.history.document(), &documents[lines.len() - 1]);
        }
    }

    #[test]
    fn no_json_breaks_the_commands(value in any_json()) {
        let mut history = history();
        if let Ok(command) = Command::from_json(&value.to_string()) {
            let _refused_or_not = history.apply(command);
        }
        let _refused_or_not = replay(history.document().clone(), &[value.to_string()]);
        prop_assert_eq!(history.document().faults(), vec![]);
    }

    #[test]
    fn a_spoilt_field_never_breaks_a_command(value in any_command(), field in any::<prop::sample::Index>(), other in any_json()) {
        let mut value = value;
        let fields = value.as_object_mut().unwrap();
        let name = fields.keys().nth(field.index(fields.len())).unwrap().clone();
        fields.insert(name, other);
        let mut history = history();
        if let Ok(command) = Command::from_json(&value.to_string()) {
            let _refused_or_not = history.apply(command);
        }
        prop_assert_eq!(history.document().faults(), vec![]);
    }
}

#[track_caller]
fn refused(value: &Value) -> wetframe_session::Trouble {
    let mut history = history();
    let before = history.document().clone();
    let refusal = history.apply(command(value)).unwrap_err();
    assert_eq!(history.document(), &before, "a refused command changes nothing");
    refusal.trouble()
}

#[test]
fn each_refusal_says_what_is_wrong_and_what_to_do() {
    let cases = [
        (
            json!({"command": "add_mark", "clip": 1, "kind": "entry", "side": "left", "time": 1_501, "proof": "decoded"}),
            "no_frame_at_time",
            "no frame of “before.mp4” starts at 1501 ticks; the nearest is frame 1 at 1500",
            "Step to frame 1 and mark there.",
        ),
        (
            json!({"command": "add_mark", "clip": 1, "kind": "entry", "side": "both", "time": 0, "proof": "decoded"}),
            "side_not_possible",
            "a mark “entry” cannot be of side both",
            "Say left or right.",
        ),
        (
            json!({"command": "add_mark", "clip": 1, "kind": "pass", "side": "left", "time": 0, "proof": "decoded"}),
            "side_not_possible",
            "a mark “pass” cannot be of side left",
            "A pass has no side: leave it out.",
        ),
        (
            json!({"command": "add_mark", "clip": 1, "kind": "entry", "side": "left", "time": 1_500, "proof": "decoded"}),
            "mark_exists",
            "frame 1 already has a mark left entry",
            "Step to another frame, or move or delete the mark that is there.",
        ),
        (
            json!({"command": "retype_mark", "mark": 2, "kind": "downbeat"}),
            "side_not_possible",
            "a mark “downbeat” cannot be of side none",
            "Say left, right or both.",
        ),
        (
            json!({"command": "move_mark", "mark": 77, "time": 0, "proof": "decoded"}),
            "unknown_mark",
            "this session has no mark 77",
            "It may have been deleted; undo brings it back.",
        ),
        (
            json!({"command": "remove_clip", "clip": 9}),
            "unknown_clip",
            "this session has no clip 9",
            "It may have been removed; undo brings it back.",
        ),
        (
            json!({"command": "edit_clip", "clip": 1, "change": {"filmed_rate_fps": 0.0}}),
            "out_of_range",
            "the filmed rate is 0 frames/s; it has to be above 0 and at most 100000",
            "Give a number above 0 and at most 100000 frames/s.",
        ),
        (
            json!({"command": "edit_clip", "clip": 1, "change": {"speed": {"kind": "flume", "m_per_s": 130.0}}}),
            "out_of_range",
            "the flume's speed is 130 m/s; it has to be above 0 and at most 10",
            "Give a number above 0 and at most 10 m/s.",
        ),
        (
            json!({"command": "edit_clip", "clip": 1, "change": {"duplicated_frames": [4, 40]}}),
            "duplicated_frame",
            "duplicated frame 40 is out of order or beyond the clip's 40 frames",
            "Look for duplicated frames again with the clip open.",
        ),
        (
            json!({"command": "edit_clip", "clip": 1, "change": {"label": "x".repeat(201)}}),
            "text_too_long",
            "the clip's label has 201 characters; 200 are possible",
            "Shorten it to 200 characters.",
        ),
        (
            json!({"command": "edit_session", "change": {"date": "2026-02-30"}}),
            "not_a_date",
            "“2026-02-30” is no day of the calendar, written YYYY-MM-DD, from 1900 to 2999",
            "Write the day as YYYY-MM-DD, such as 2026-03-14.",
        ),
        (
            json!({"command": "edit_session", "change": {"athlete": {"label": "two\nlines"}}}),
            "control_character",
            "the athlete's label holds a line break or another control character",
            "Write it on one line.",
        ),
        (
            json!({"command": "edit_session", "change": {}}),
            "nothing_changes",
            "this changes nothing",
            "Nothing to do.",
        ),
        (
            json!({"command": "group", "label": "none", "commands": []}),
            "group_empty",
            "the group “none” holds no commands",
            "List the commands themselves in the group.",
        ),
    ];
    for (value, kind, message, hint) in cases {
        let trouble = refused(&value);
        assert_eq!(
            (
                trouble.kind.as_str(),
                trouble.message.as_str(),
                trouble.hint.as_str()
            ),
            (kind, message, hint)
        );
    }
}

#[test]
fn a_group_is_done_as_a_whole_or_not_at_all() {
    let mark = |time: i64| json!({"command": "add_mark", "clip": 1, "kind": "exit", "side": "right", "time": time, "proof": "decoded"});
    let trouble = refused(
        &json!({"command": "group", "label": "two exits", "commands": [mark(0), mark(3_000), mark(0)]}),
    );
    assert_eq!(
        (trouble.kind.as_str(), trouble.place.command, trouble.place.clip),
        ("mark_exists", Some(2), Some(1))
    );

    let mut history = history();
    let before = history.document().clone();
    let applied = history
        .apply(command(
            &json!({"command": "group", "label": "two exits", "commands": [mark(0), mark(3_000)]}),
        ))
        .unwrap();
    assert_eq!(applied.new_marks.len(), 2);
    assert_eq!(history.undo_label(), Some("two exits"));
    history.undo().unwrap();
    assert_eq!(history.document(), &before);
}

#[test]
fn labels_are_in_the_coachs_words() {
    let mut history = history();
    for (value, label) in [
        (
            json!({"command": "add_mark", "clip": 2, "kind": "kick_out_start", "side": "both", "time": 15_000, "proof": "decoded"}),
            "mark kick-out start of both legs on frame 10",
        ),
        (
            json!({"command": "move_mark", "mark": 1, "time": 3_000, "proof": "decoded"}),
            "move left entry from frame 1 to 2",
        ),
        (
            json!({"command": "retype_mark", "mark": 1, "kind": "catch", "side": "right"}),
            "make left entry on frame 2 right catch",
        ),
        (
            json!({"command": "delete_marks", "marks": [1]}),
            "delete right catch on frame 2",
        ),
        (
            json!({"command": "delete_marks", "marks": [2, 3, 2]}),
            "delete 2 marks",
        ),
        (
            json!({"command": "edit_clip", "clip": 1, "change": {"label": "before", "view": "side", "notes": ""}}),
            "change the label and the view of “before.mp4”",
        ),
        (
            json!({"command": "edit_session", "change": {"date": "2026-03-15", "notes": "calm", "water": {"kind": "flume", "speed_m_per_s": 1.3}}}),
            "change the date, the session's notes and the water",
        ),
        (
            json!({"command": "remove_clip", "clip": 1}),
            "remove the clip “before”",
        ),
    ] {
        assert_eq!(history.apply(command(&value)).unwrap().label, label);
        assert_eq!(history.undo_label(), Some(label));
    }
}

#[test]
fn an_id_is_never_given_twice_while_its_mark_was_deleted() {
    let mut history = history();
    history
        .apply(command(&json!({"command": "delete_marks", "marks": [3]})))
        .unwrap();
    let again = json!({"command": "add_mark", "clip": 2, "kind": "pass", "time": 0, "proof": "decoded"});
    assert_eq!(
        history.apply(command(&again)).unwrap().new_marks,
        [stroke::MarkId(4)]
    );
}

#[test]
fn a_journal_with_a_hole_keeps_what_stands_before_it() {
    let base = history().document().clone();
    let mark = |time: i64| {
        command(
            &json!({"command": "add_mark", "clip": 1, "kind": "exit", "side": "right", "time": time, "proof": "decoded"}),
        )
    };
    let mut history = wetframe_session::History::new(base.clone());
    let lines: Vec<String> = [0, 1_500, 3_000]
        .map(|time| history.apply(mark(time)).unwrap().journal_line)
        .into();

    let replayed = replay(base.clone(), &[&lines[0], &lines[2]]).unwrap();
    assert_eq!(
        replayed.trouble,
        Some(JournalTrouble::OutOfOrder {
            line: 2,
            says: 3,
            after: 0
        })
    );
    assert_eq!(replayed.history.document().mark_count(), base.mark_count() + 1);

    let spoilt = lines[1].replace("decoded", "guessed");
    let replayed = replay(base.clone(), &[&lines[0], &spoilt, &lines[2]]).unwrap();
    assert!(
        matches!(&replayed.trouble, Some(JournalTrouble::Unreadable { line: 2, reason, after: 1 }) if reason.contains("guessed"))
    );
    assert_eq!(replayed.lines_kept, 1);

    let twice = lines[0].replace("\"line\":1", "\"line\":2");
    let replayed = replay(base, &[&lines[0], &twice]).unwrap();
    let trouble = replayed.trouble.unwrap();
    assert_eq!(trouble.kind(), "journal_refused");
    assert!(
        trouble
            .trouble()
            .message
            .contains("frame 0 already has a mark right exit")
    );
}
