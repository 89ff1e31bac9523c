//! The program as a shell sees it: output, messages, exit codes.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn wetframe(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetframe"));
    command.args(arguments);
    command
}

fn project(path: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    root.join(path).to_str().unwrap().to_owned()
}

fn sample() -> String {
    project("crates/session/tests/files/flume-morning.wetframe")
}

/// Exit code, standard output, standard error.
#[track_caller]
fn run(arguments: &[&str]) -> (i32, String, String) {
    told(&wetframe(arguments).output().unwrap())
}

fn told(output: &Output) -> (i32, String, String) {
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout.clone()).unwrap(),
        String::from_utf8(output.stderr.clone()).unwrap(),
    )
}

/// The sample with one text replaced, in a folder that is removed at the end.
fn spoilt(from: &str, to: &str) -> (tempfile::TempDir, PathBuf) {
    let text = std::fs::read_to_string(sample()).unwrap();
    assert!(text.contains(from));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lane-4.wetframe");
    std::fs::write(&path, text.replacen(from, to, 1)).unwrap();
    (folder, path)
}

#[test]
fn a_good_session_is_summed_up_in_one_line() {
    let (code, output, messages) = run(&["check", &sample()]);
    assert_eq!(code, 0);
    assert!(
        output.ends_with("flume-morning.wetframe: version 1, 2026-03-14, 2 clips, 4 cycles, 50 marks\n"),
        "{output}"
    );
    assert_eq!(output.lines().count(), 1);
    assert_eq!(messages, "");
}

#[test]
fn everything_wrong_with_a_session_goes_to_standard_error_with_its_file() {
    let (_folder, path) = spoilt("\"time\": 6000,", "\"time\": 6001,");
    let (code, output, messages) = run(&["check", path.to_str().unwrap()]);
    assert_eq!((code, output.as_str()), (1, ""));
    assert!(
        messages.starts_with("error (no_frame_at_time): “") && messages.contains("lane-4.wetframe”"),
        "{messages}"
    );
    assert!(messages.contains("/session/clips/0/marks/1/time"), "{messages}");
    assert!(
        messages.contains("Set this time to 6000, or delete the mark from the file."),
        "{messages}"
    );
}

#[test]
fn several_files_are_all_checked_and_the_worst_gives_the_exit_code() {
    let (_folder, path) = spoilt("\"left\"", "\"elbow\"");
    let bad = path.to_str().unwrap();
    let (code, output, messages) = run(&["check", bad, &sample()]);
    assert_eq!((code, output.lines().count()), (1, 1));
    assert!(messages.contains("elbow"), "{messages}");
    let (code, output, messages) = run(&["check", "no-such.wetframe", bad, &sample()]);
    assert_eq!((code, output.lines().count()), (3, 1));
    assert!(
        messages.contains("“no-such.wetframe” cannot be read: "),
        "{messages}"
    );
}

#[test]
fn a_session_comes_from_standard_input_too() {
    let mut child = wetframe(&["check", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    input.write_all(&std::fs::read(sample()).unwrap()).unwrap();
    drop(input);
    let (code, output, _) = told(&child.wait_with_output().unwrap());
    assert_eq!(code, 0);
    assert!(output.starts_with("standard input: version 1"), "{output}");
}

#[test]
fn an_older_session_is_read_with_a_notice() {
    let (code, output, messages) = run(&["check", &project("crates/session/tests/files/version-0.wetframe")]);
    assert_eq!(code, 0);
    assert!(output.contains("version 0"), "{output}");
    assert!(
        messages.starts_with("notice (file_older_version): "),
        "{messages}"
    );
}

#[test]
fn a_file_of_200_mb_is_refused_by_name_and_not_read_to_its_end() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge.wetframe");
    std::fs::File::create(&path)
        .unwrap()
        .set_len(200_000_000)
        .unwrap();
    let (code, output, messages) = run(&["check", path.to_str().unwrap()]);
    assert_eq!((code, output.as_str()), (1, ""));
    assert!(
        messages.contains("huge.wetframe” cannot be opened: it is larger than 64 MiB"),
        "{messages}"
    );
}

#[test]
fn the_marks_are_a_table() {
    let (code, output, messages) = run(&["marks", &sample()]);
    assert_eq!((code, messages.as_str()), (0, ""));
    let mut table = csv::Reader::from_reader(output.as_bytes());
    assert_eq!(table.headers().unwrap().len(), 11);
    assert_eq!(table.records().map(Result::unwrap).count(), 50);
}

#[test]
fn what_was_marked_again_and_what_follows_are_tables() {
    let document = session::read_file(&std::fs::read(sample()).unwrap())
        .unwrap()
        .document;
    let (code, output, _) = run(&["remarks", &sample()]);
    assert_eq!((code, output), (0, session::remarks_csv(&document).unwrap()));
    let (code, output, _) = run(&["repeatability", &sample()]);
    assert_eq!(code, 0);
    assert_eq!(output, session::repeatability_csv(&document).unwrap());
    assert!(output.contains("mark,entry,1,ms,,,,,,"), "{output}");
    assert!(
        output.contains("too_few_pairs: 1 marked again; 6 are needed."),
        "{output}"
    );
}

#[test]
fn the_measures_are_a_table_and_equal_what_the_session_computes() {
    let (code, output, messages) = run(&["measure", &sample()]);
    assert_eq!((code, messages.as_str()), (0, ""));
    let document = session::read_file(&std::fs::read(sample()).unwrap())
        .unwrap()
        .document;
    assert_eq!(output, session::measures_csv(&document).unwrap());
    assert!(output.starts_with("clip,side,cycle,breathing,measure,value,unit,uncertainty,n,reason\r\n"));
    assert!(
        output.contains("\r\nbefore,left,1,all,cycle_duration,1.5,s,"),
        "{output}"
    );
}

#[test]
fn marks_in_an_impossible_order_are_warnings_on_standard_error() {
    // The left exit on frame 66 becomes a second left catch of that stroke.
    let (_folder, path) = spoilt(
        "{\"id\": 6, \"kind\": \"exit\"",
        "{\"id\": 6, \"kind\": \"catch\"",
    );
    for command in ["measure", "check"] {
        let (code, output, messages) = run(&[command, path.to_str().unwrap()]);
        assert_eq!(code, 0);
        assert!(!output.contains("warning"));
        assert!(
            messages.contains("lane-4.wetframe”, clip “before”, frames ")
                && messages.starts_with("warning: "),
            "{messages}"
        );
    }
}

#[test]
fn the_frames_of_a_clip_are_a_table() {
    let (code, output, messages) = run(&["frames", &project("tests/clips/constant_30.mp4")]);
    assert_eq!((code, messages.as_str()), (0, ""));
    assert!(
        output.starts_with("frame,presentation_ticks,timescale,presentation_s,duration_s,keyframe\r\n0,0,"),
        "{output}"
    );
}

#[test]
fn a_clip_with_warnings_keeps_them_off_standard_output() {
    let (code, output, messages) = run(&["frames", &project("tests/clips/truncated.mp4")]);
    assert_eq!(code, 0);
    assert!(
        messages.contains("truncated.mp4”: the file is cut off"),
        "{messages}"
    );
    assert!(!output.contains("cut off"));
}

#[test]
fn each_way_to_fail_has_its_exit_code() {
    for (arguments, code, words) in [
        (vec!["frames", "no-such.mp4"], 3, "no-such.mp4"),
        (vec!["frames", "/"], 3, "/"),
        (vec!["check", "/"], 3, "“/” cannot be read"),
        (
            vec!["frames", &project("tests/clips/audio_only.m4a")],
            1,
            "audio_only.m4a",
        ),
        (vec!["frames", &project("tests/clips/empty.mp4")], 1, "empty.mp4"),
        (
            vec!["marks", &project("tests/clips/constant_30.mp4")],
            1,
            "it is not text",
        ),
        (vec![], 2, "Usage"),
        (vec!["swim"], 2, "swim"),
        (vec!["check"], 2, "required"),
    ] {
        let (got, output, messages) = run(&arguments);
        assert_eq!((got, output.as_str()), (code, ""), "{arguments:?}: {messages}");
        assert!(messages.contains(words), "{arguments:?}: {messages}");
    }
}

#[test]
fn help_documents_the_exit_codes() {
    for arguments in [
        vec!["--help"],
        vec!["check", "--help"],
        vec!["frames", "--help"],
        vec!["marks", "--help"],
    ] {
        let (code, output, messages) = run(&arguments);
        assert_eq!((code, messages.as_str()), (0, ""));
        assert!(output.contains("3  the file cannot be read"), "{output}");
    }
}

/// `wetframe … | head -1`: the reader goes away in the middle, and that is no error.
#[test]
fn a_reader_that_goes_away_is_no_error() {
    // More than a pipe holds (64 KiB on Linux), so that the program is still writing when the pipe closes.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("long.wetframe");
    let text = std::fs::read_to_string(sample()).unwrap();
    let marks: Vec<String> = (0..5_000)
        .map(|frame| {
            format!(
                r#"{{"id": {}, "kind": "pass", "side": null, "time": {}, "proof": "decoded"}}"#,
                frame + 100,
                frame * 1_500
            )
        })
        .collect();
    let start = text.find("\"marks\": [").unwrap();
    let end = start + text[start..].find("]").unwrap();
    let long = format!(
        "{}\"marks\": [{}{}",
        &text[..start],
        marks.join(","),
        &text[end..]
    );
    let long = long
        .replacen("[[295, 1500], [1, 3000], [4, 1500]]", "[[6000, 1500]]", 1)
        .replace("\"next_mark\": 51", "\"next_mark\": 9000");
    std::fs::write(&path, long).unwrap();

    let mut child = wetframe(&["marks", path.to_str().unwrap()])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = [0; 4];
    let mut output = child.stdout.take().unwrap();
    output.read_exact(&mut first).unwrap();
    assert_eq!(&first, b"clip");
    drop(output);
    let (code, _, messages) = told(&child.wait_with_output().unwrap());
    assert_eq!((code, messages.as_str()), (0, ""));
}

/// `/dev/full` takes nothing: every write fails as on a full disk.
#[cfg(target_os = "linux")]
#[test]
fn output_that_cannot_be_written_is_said() {
    for arguments in [
        vec!["marks", &sample()],
        vec!["frames", &project("tests/clips/constant_30.mp4")],
    ] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = wetframe(&arguments).stdout(full).output().unwrap();
        let (code, _, messages) = told(&output);
        assert_eq!(code, 4, "{messages}");
        assert!(messages.contains("the output cannot be written"), "{messages}");
    }
}

#[test]
fn two_sets_are_compared_as_the_comparison_kept_in_the_session() {
    let (code, kept, _) = run(&["compare", &sample(), "--comparison", "1"]);
    assert_eq!(code, 0);
    let lines: Vec<&str> = kept.split("\r\n").collect();
    assert!(
        lines[0].starts_with("comparison,measure,side,unit,before_n,before_mean,"),
        "{}",
        lines[0]
    );
    assert!(
        lines[1].starts_with("The cue,stroke_rate,,strokes/min,"),
        "{}",
        lines[1]
    );
    let (code, given, messages) = run(&[
        "compare",
        &sample(),
        "--a",
        "1:0.0666-",
        "--b",
        "after",
        "--measure",
        "propulsive_gap",
        "--measure",
        "stroke_rate",
    ]);
    assert_eq!(code, 0);
    assert_eq!(given.replace("\nbefore / after,", "\nThe cue,"), kept);
    assert!(
        messages.contains("The frame rate differs: 60 before, 240 after frames/s."),
        "{messages}"
    );
    assert!(
        messages.contains("The aids differ: none before, buoy, snorkel after."),
        "{messages}"
    );
}

#[test]
fn a_set_that_cannot_be_read_or_found_says_so() {
    let (code, output, messages) = run(&["compare", &sample(), "--a", "1:9-4", "--b", "2"]);
    assert_eq!((code, output.as_str()), (2, ""));
    assert!(
        messages.contains("the stretch from 9 to 4 s holds nothing"),
        "{messages}"
    );
    let (code, _, messages) = run(&["compare", &sample(), "--a", "1"]);
    assert_eq!(code, 2);
    assert!(messages.contains("--b"), "{messages}");
    let (code, _, messages) = run(&[
        "compare",
        &sample(),
        "--a",
        "1",
        "--b",
        "2",
        "--measure",
        "swagger",
    ]);
    assert_eq!(code, 2);
    assert!(messages.contains("no such measure"), "{messages}");
    let (code, output, messages) = run(&["compare", &sample(), "--a", "1", "--b", "later"]);
    assert_eq!((code, output.as_str()), (1, ""));
    assert!(
        messages.contains("has no clip “later”; it has 1 (“before”), 2 (“after”)"),
        "{messages}"
    );
    let (code, _, messages) = run(&["compare", &sample(), "--comparison", "7"]);
    assert_eq!(code, 1);
    assert!(
        messages.contains("this session has no comparison 7"),
        "{messages}"
    );
    let (code, _, _) = run(&["compare", "no-such-file.wetframe", "--a", "1", "--b", "2"]);
    assert_eq!(code, 3);
}

#[test]
fn a_history_takes_what_can_be_read_and_tells_the_rest() {
    let (_keep_later, later) = spoilt("\"date\": \"2026-03-14\"", "\"date\": \"2026-05-02\"");
    let text = std::fs::read_to_string(&later).unwrap();
    std::fs::write(
        &later,
        text.replacen("\"id\": \"flume-morning\"", "\"id\": \"may\"", 1),
    )
    .unwrap();
    let (_keep_broken, broken) = spoilt("\"format\": \"wetframe\"", "\"format\": \"recipe\"");
    let [later, broken] = [&later, &broken].map(|path| path.to_str().unwrap());
    let asked = [
        "history",
        "--measure",
        "stroke_rate",
        later,
        &sample(),
        broken,
        &sample(),
    ];
    let (code, output, messages) = run(&asked);
    assert_eq!(code, 1, "{messages}");
    assert!(messages.contains("“format” is not “wetframe”"), "{messages}");
    assert!(messages.contains("here already"), "{messages}");
    let mut lines = output.lines();
    assert!(
        lines
            .next()
            .unwrap()
            .starts_with("date,swimmer,session,clip_id,clip,of_day,measure,side,value,unit")
    );
    let dates: Vec<&str> = lines.map(|line| line.split(',').next().unwrap()).collect();
    assert_eq!(
        dates.len(),
        12,
        "two clips of two sessions, each left, right and together"
    );
    assert!(dates.is_sorted() && dates[0] == "2026-03-14" && dates[11] == "2026-05-02");

    let (code, _, messages) = run(&["history", "--measure", "beauty", &sample()]);
    assert_eq!(code, 2);
    assert!(messages.contains("no such measure"), "{messages}");
}
