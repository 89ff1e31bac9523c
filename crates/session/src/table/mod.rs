//! CSV tables: RFC 4180, UTF-8, lines end in CR LF, the first line names the columns. The columns are
//! described in `FORMAT.md`.

mod comparisons;
mod free_text;
mod marks;
mod measures;
mod remarks;
mod visits;

use csv::{Terminator, WriterBuilder};
use serde::Serialize;
use thiserror::Error;

use crate::trouble::{Place, Severity, Trouble};
use crate::{Document, Fault, Refusal};

pub use comparisons::{ComparisonRow, comparison_csv, comparison_rows, comparisons_csv};
pub use free_text::FreeText;
pub use marks::{MarkRow, marks_csv, read_marks_csv};
pub use measures::{MeasureRow, measures_csv};
pub use remarks::{AnswerGiven, RemarkRow, RepeatabilityRow, Repeated, remarks_csv, repeatability_csv};
pub use visits::{VisitRow, visits_csv};

/// Why a table cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("line {line}: {reason}")]
pub struct TableTrouble {
    /// Which line, from 1.
    pub line: u64,
    /// The reader's words.
    pub reason: String,
}

impl TableTrouble {
    /// In the shape that the page shows.
    #[must_use]
    pub fn trouble(&self, file_name: &str) -> Trouble {
        Trouble {
            kind: "table_unreadable".into(),
            message: format!("“{file_name}”, {self}"),
            hint: "The columns are described in FORMAT.md; save the table as CSV with commas.".into(),
            severity: Severity::Error,
            place: Place {
                file: Some(file_name.to_owned()),
                line: usize::try_from(self.line).ok(),
                ..Place::default()
            },
        }
    }
}

/// What each clip is called in a table: its label, or its file's name while it has none, with ` #` and its
/// id where another clip is called the same.
pub(crate) fn clip_titles(document: &Document) -> Vec<String> {
    let title_of = |clip: &crate::ClipRecord| {
        let same = document
            .clips
            .iter()
            .filter(|other| other.title() == clip.title());
        if same.count() > 1 {
            format!("{} #{}", clip.title(), clip.id.0)
        } else {
            clip.title().to_owned()
        }
    };
    document.clips.iter().map(title_of).collect()
}

/// The name that serde writes.
fn name(kind: &impl Serialize) -> String {
    match serde_json::to_value(kind) {
        Ok(serde_json::Value::String(name)) => name,
        _ => String::new(),
    }
}

/// The rows with their columns' names above; the names alone where there are no rows.
fn written<R: Serialize>(columns: &[&str], rows: impl Iterator<Item = R>) -> Result<String, Refusal> {
    let not_writable = |reason: String| Refusal::from(Fault::NotWritable { reason });
    let mut writer = WriterBuilder::new()
        .has_headers(false)
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    writer
        .write_record(columns)
        .map_err(|error| not_writable(error.to_string()))?;
    for row in rows {
        writer
            .serialize(row)
            .map_err(|error| not_writable(error.to_string()))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| not_writable(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| not_writable(error.to_string()))
}
