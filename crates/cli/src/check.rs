//! `wetframe check`: is each of these a good session file, and how far is it?

use std::fmt::Write;
use std::path::PathBuf;

use crate::outcome::Stop;
use crate::{flags, print, session_file};

pub(crate) fn run(sessions: &[PathBuf]) -> Result<(), Stop> {
    let mut worst = Ok(());
    for path in sessions {
        let outcome = check(path);
        match outcome {
            Err(Stop::ReaderGone | Stop::CannotWrite) => return outcome,
            Err(Stop::CannotRead) => worst = outcome,
            Err(Stop::Problems) => worst = worst.and(outcome),
            Ok(()) => {}
        }
    }
    worst
}

fn check(path: &std::path::Path) -> Result<(), Stop> {
    let (document, version) = session_file::read(path)?;
    flags::warn(&session_file::name(path), &document);
    let summary = document.summary();
    let mut line = format!(
        "{}: version {version}, {}",
        session_file::name(path),
        summary.date
    );
    for (count, one, many) in [
        (summary.clips.len(), "clip", "clips"),
        (summary.cycles_marked, "cycle", "cycles"),
        (summary.marks, "mark", "marks"),
    ] {
        // Writing to a String cannot fail.
        let _infallible = write!(line, ", {count} {}", if count == 1 { one } else { many });
    }
    line.push('\n');
    print(&line)
}
