//! How long a session of 5,000 marks takes to open, save, replay and change: `cargo bench -p wetframe-session`.
//!
//! One run gives all of them, so that they can be compared with each other.

#![allow(clippy::unwrap_used, reason = "a benchmark fails by panicking")]

use serde_json::json;
use wetframe_session::{Command, Document, History, marks_csv, measures_csv, read_file, replay, write_file};

const MARKS: usize = 5_000;

fn main() {
    divan::main();
}

fn command(value: &serde_json::Value) -> Command {
    Command::from_json(&value.to_string()).unwrap()
}

/// Two arms in turn, 625 cycles of 90 frames each, in one clip of variable spacing.
fn commands() -> Vec<Command> {
    let runs: Vec<[i64; 2]> = (0..30_000).map(|index| [2, 1_400 + index % 2 * 200]).collect();
    let mut starts = vec![0_i64];
    for [count, spacing] in &runs {
        for _ in 0..*count {
            starts.push(starts[starts.len() - 1] + spacing);
        }
    }
    let mut commands = vec![command(&json!({"command": "add_clip", "clip": {
        "name": "long.mp4", "size_bytes": 1, "fingerprint": "f", "container": "mp4", "codec": "avc1.64001F",
        "width": 1920, "height": 1080, "rotation_deg": 0, "timescale": 90_000, "capture_rate_fps": null,
        "frame_times": {"first": 0, "runs": runs},
    }}))];
    for cycle in 0_usize.. {
        for (side, offset) in [("left", 0), ("right", 45)] {
            for (kind, frame) in [("entry", 0), ("catch", 26), ("mid_pull", 47), ("exit", 62)] {
                if commands.len() > MARKS {
                    return commands;
                }
                let time = starts[cycle * 90 + offset + frame];
                commands.push(command(&json!({"command": "add_mark", "clip": 1, "kind": kind, "side": side, "time": time, "proof": "decoded"})));
            }
        }
    }
    commands
}

fn base() -> Document {
    Document::new("long", "2026-03-14").unwrap()
}

fn sitting() -> (History, Vec<String>) {
    let mut history = History::new(base());
    let lines = commands()
        .into_iter()
        .map(|command| history.apply(command).unwrap().journal_line)
        .collect();
    (history, lines)
}

#[divan::bench]
fn open_the_file(bencher: divan::Bencher) {
    let bytes = write_file(sitting().0.document(), "bench", None).unwrap();
    bencher.bench_local(|| read_file(&bytes).unwrap());
}

#[divan::bench]
fn write_the_file(bencher: divan::Bencher) {
    let (history, _) = sitting();
    bencher.bench_local(|| write_file(history.document(), "bench", None).unwrap());
}

#[divan::bench]
fn replay_the_journal(bencher: divan::Bencher) {
    let (_, lines) = sitting();
    bencher.bench_local(|| replay(base(), &lines).unwrap());
}

#[divan::bench]
fn move_one_mark_and_undo(bencher: divan::Bencher) {
    let (mut history, _) = sitting();
    let other_frame = json!({"command": "move_mark", "mark": 2_500, "time": 0, "proof": "decoded"});
    let other_frame = command(&other_frame);
    bencher.bench_local(|| {
        history.apply(other_frame.clone()).unwrap();
        history.undo().unwrap()
    });
}

#[divan::bench]
fn marks_as_csv(bencher: divan::Bencher) {
    let (history, _) = sitting();
    bencher.bench_local(|| marks_csv(history.document()).unwrap());
}

#[divan::bench]
fn measures_as_csv(bencher: divan::Bencher) {
    let (history, _) = sitting();
    bencher.bench_local(|| measures_csv(history.document()).unwrap());
}
