//! The marks of a session as a table.

use csv::ReaderBuilder;
use serde::{Deserialize, Serialize};
use stroke::{MarkId, MarkKind, Side};
use time::{Ticks, Timescale};

use super::{FreeText, TableTrouble, clip_titles, written};
use crate::{ClipId, Document, Fault, Proof, Refusal};

/// One mark. The fields are the columns, in this order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MarkRow {
    /// What the clip is called: its label, or its file's name while it has none; with ` #` and its id where
    /// another clip is called the same.
    pub clip: FreeText,
    /// The mark's id.
    pub mark: MarkId,
    /// What happened.
    pub kind: MarkKind,
    /// Of which side; empty for a pass.
    pub side: Option<Side>,
    /// On which frame, from 0 in presentation order.
    pub frame: usize,
    /// The frame's presentation time in ticks.
    pub presentation_ticks: Ticks,
    /// Ticks per second of playback.
    pub timescale: Timescale,
    /// The frame's presentation time in true seconds: those of the swimmer, also in slow motion.
    pub true_time_s: f64,
    /// How sure it is that this was the frame shown.
    pub proof: Proof,
    /// The clip's id within the session.
    pub clip_id: ClipId,
    /// The clip's file name.
    pub clip_name: FreeText,
}

const COLUMNS: [&str; 11] = [
    "clip",
    "mark",
    "kind",
    "side",
    "frame",
    "presentation_ticks",
    "timescale",
    "true_time_s",
    "proof",
    "clip_id",
    "clip_name",
];

impl Document {
    /// The marks as rows: clip by clip, in order of time.
    ///
    /// # Errors
    /// A [`Fault`] where the document breaks a rule; none that was checked does.
    pub fn mark_rows(&self) -> Result<Vec<MarkRow>, Fault> {
        let mut rows = Vec::with_capacity(self.mark_count());
        for (clip, title) in self.clips.iter().zip(clip_titles(self)) {
            let clock = clip.checked_clock()?;
            for mark in &clip.marks {
                crate::check::mark(clip, mark)?;
                rows.push(MarkRow {
                    clip: FreeText(title.clone()),
                    mark: mark.id,
                    kind: mark.kind,
                    side: mark.side,
                    frame: clip.frame_of(mark).unwrap_or_default(),
                    presentation_ticks: mark.time,
                    timescale: clip.timescale,
                    true_time_s: clock.seconds(mark.time.0),
                    proof: mark.proof,
                    clip_id: clip.id,
                    clip_name: FreeText(clip.name.clone()),
                });
            }
        }
        Ok(rows)
    }
}

/// The marks as CSV.
///
/// # Errors
/// As [`Document::mark_rows`].
pub fn marks_csv(document: &Document) -> Result<String, Refusal> {
    written(&COLUMNS, document.mark_rows()?.iter())
}

/// Reads what [`marks_csv`] wrote; columns may stand in another order, and others are ignored.
///
/// # Errors
/// [`TableTrouble`] for the first line that is none.
pub fn read_marks_csv(text: &str) -> Result<Vec<MarkRow>, TableTrouble> {
    ReaderBuilder::new()
        .from_reader(text.as_bytes())
        .into_deserialize()
        .map(|row| {
            row.map_err(|error: csv::Error| TableTrouble {
                line: line_of(text, error.position()),
                reason: reason(&error),
            })
        })
        .collect()
}

/// The line that a row starts on, from 1. The reader's own count is one short after CR LF: it takes the row
/// to start before the line feed.
fn line_of(text: &str, position: Option<&csv::Position>) -> u64 {
    let at = position.map_or(0, |position| {
        usize::try_from(position.byte()).unwrap_or(usize::MAX)
    });
    let (before, from) = text.as_bytes().split_at(at.min(text.len()));
    let ends = from.iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
    let lines = before.iter().chain(ends).filter(|byte| **byte == b'\n').count();
    lines as u64 + 1
}

/// The reader's words without the place, which it counts in its own way.
fn reason(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::Deserialize { err, .. } => {
            let column = err.field().and_then(|field| usize::try_from(field).ok());
            match column {
                Some(column) => format!("column {}: {}", column + 1, err.kind()),
                None => err.kind().to_string(),
            }
        }
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => {
            format!("it has {len} cells, not {expected_len}")
        }
        _ => error.to_string(),
    }
}
