//! A journal that a newer program went on writing is refused whole; a damaged line is cut off as ever.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::{Value, json};
use support::{command, history};
use wetframe_session::{
    Command, FileFault, History, JOURNAL_VERSION, JournalTrouble, Unreadable, VERSION, read_kept, replay,
    write_kept,
};

/// Three lines of this program, on `support::history()`.
fn lines() -> Vec<String> {
    let mut history = History::new(history().document().clone());
    [0, 1_500, 3_000]
        .map(|time| {
            let mark = json!({"command": "add_mark", "clip": 1, "kind": "exit", "side": "right", "time": time, "proof": "decoded"});
            history.apply(command(&mark)).unwrap().journal_line
        })
        .into()
}

/// The line with fields changed; `null` takes a field out.
fn changed(line: &str, fields: &Value) -> String {
    let mut entry: Value = serde_json::from_str(line).unwrap();
    for (name, value) in fields.as_object().unwrap() {
        match value {
            Value::Null => drop(entry.as_object_mut().unwrap().remove(name)),
            value => entry[name] = value.clone(),
        }
    }
    entry.to_string()
}

fn newer() -> u64 {
    u64::from(JOURNAL_VERSION) + 1
}

fn refused(lines: &[String]) -> Unreadable {
    replay(history().document().clone(), lines).unwrap_err()
}

#[test]
fn every_line_carries_the_version() {
    let mut history = history();
    let written = [
        history
            .apply(command(
                &json!({"command": "edit_session", "change": {"notes": "a"}}),
            ))
            .unwrap(),
        history.undo().unwrap(),
        history.redo().unwrap(),
    ];
    for applied in written {
        let entry: Value = serde_json::from_str(&applied.journal_line).unwrap();
        assert_eq!(entry["version"], JOURNAL_VERSION);
    }
}

#[test]
fn a_newer_line_refuses_the_whole_journal_wherever_it_stands() {
    let of_this = lines();
    for place in 0..of_this.len() {
        let unknown = json!({"version": newer(), "command": {"command": "add_something_new"}});
        let known_by_name = json!({"version": newer()});
        let other_shape = json!({"version": newer(), "do": "branch", "command": null, "line": null});
        for fields in [unknown, known_by_name, other_shape] {
            let mut lines = of_this.clone();
            lines[place] = changed(&lines[place], &fields);
            let problem = refused(&lines).problems()[0].clone();
            assert_eq!(problem.fault, FileFault::NewerJournal { version: newer() });
        }
    }
}

#[test]
fn it_is_refused_in_the_words_for_a_newer_file() {
    let mut lines = lines();
    lines[1] = changed(&lines[1], &json!({"version": newer()}));
    let of_journal = refused(&lines).trouble("lane 4").unwrap();
    let mut kept: Value = serde_json::from_str(&write_kept(history().document(), "a test").unwrap()).unwrap();
    kept["version"] = (VERSION + 1).into();
    let of_file = read_kept(&kept.to_string())
        .unwrap_err()
        .trouble("lane 4")
        .unwrap();
    assert_eq!((of_journal.kind, of_journal.hint), (of_file.kind, of_file.hint));
    assert!(
        of_journal
            .message
            .starts_with("“lane 4” cannot be opened: its journal has version")
    );
}

/// A newer page's lines behind a damaged one would go with it.
#[test]
fn a_damaged_line_before_a_newer_one_is_not_cut() {
    let mut lines = lines();
    lines[0].truncate(20);
    lines[2] = changed(&lines[2], &json!({"version": newer()}));
    assert_eq!(
        refused(&lines).problems()[0].fault,
        FileFault::NewerJournal { version: newer() }
    );
}

#[test]
fn damaged_lines_of_this_version_are_cut_as_ever() {
    let base = history().document().clone();
    let mut damaged = lines();
    damaged[1] = changed(&damaged[1], &json!({"command": {"command": "add_something_new"}}));
    let replayed = replay(base.clone(), &damaged).unwrap();
    assert_eq!(replayed.lines_kept, 1);
    assert_eq!(replayed.trouble.unwrap().kind(), "journal_unreadable");

    let mut cut_off = lines();
    cut_off[2].truncate(20);
    let replayed = replay(base, &cut_off).unwrap();
    assert_eq!(replayed.lines_kept, 2);
    assert_eq!(replayed.trouble, Some(JournalTrouble::CutOff { line: 3 }));
}

#[test]
fn lines_of_the_first_pages_carry_no_version_and_are_read() {
    let lines: Vec<String> = lines()
        .iter()
        .map(|line| changed(line, &json!({"version": null})))
        .collect();
    let replayed = replay(history().document().clone(), &lines).unwrap();
    assert_eq!((replayed.lines_kept, replayed.trouble), (3, None));
}

/// What this version of the journal knows. Whoever adds a command raises `JOURNAL_VERSION` and adds a row to FORMAT.md.
const COMMANDS_OF_VERSION_1: [&str; 19] = [
    "add_clip",
    "remove_clip",
    "edit_clip",
    "add_mark",
    "move_mark",
    "retype_mark",
    "delete_marks",
    "edit_session",
    "add_remarking",
    "add_remark",
    "move_remark",
    "skip_remark",
    "delete_remark",
    "finish_remarking",
    "remove_remarking",
    "add_comparison",
    "edit_comparison",
    "remove_comparison",
    "group",
];

#[test]
fn a_command_is_added_only_with_a_new_version_of_the_journal() {
    let refusal = Command::from_json(r#"{"command":"add_something_new"}"#).unwrap_err();
    let told = refusal.to_string();
    let named: Vec<&str> = told.split('`').skip(3).step_by(2).collect();
    assert_eq!(
        (JOURNAL_VERSION, named.as_slice()),
        (1, &COMMANDS_OF_VERSION_1[..]),
        "{told}"
    );
}
