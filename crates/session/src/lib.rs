//! The session document: what people stated and marked, and the only ways to change it.
//!
//! A [`Document`] holds facts about clips and the marks on them; everything else (cycles, measures) is
//! derived again by `stroke`. It changes only through a [`Command`] given to a [`History`], which checks it,
//! can take it back, and hands out one journal line for each change, so that a sitting can be replayed.
//!
//! Not for: reading video, storing anything, or clocks. Nothing here does input or output.
//!
//! ```
//! use wetframe_session::{Command, Document, History};
//!
//! let mut history = History::new(Document::new("session-1", "2026-03-14")?);
//! let rename = Command::from_json(r#"{"command":"edit_session","change":{"athlete":{"label":"Mara"}}}"#)?;
//! let applied = history.apply(rename)?;
//! assert_eq!(applied.label, "change the athlete's label");
//! history.undo()?;
//!
//! let journal = [applied.journal_line, r#"{"line":2,"do":"undo"}"#.to_owned()];
//! let replayed = wetframe_session::replay(Document::new("session-1", "2026-03-14")?, &journal)?;
//! assert_eq!(replayed.history.document(), history.document());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod change;
mod check;
mod clip_record;
mod command;
mod command_text;
mod comparison_commands;
mod comparison_record;
mod cycle_set;
mod date;
mod document;
mod edit;
mod fault;
mod file;
mod history;
mod journal;
pub mod limits;
mod perform;
mod relink;
mod remarking;
mod remarking_check;
mod remarking_commands;
#[cfg(feature = "schema")]
mod schema;
mod summary;
mod table;
mod trouble;
mod visits;
mod words;

pub use change::{AthleteChange, ClipChange, ComparisonChange, SessionChange, SettingsChange};
pub use clip_record::{Aid, ClipId, ClipRecord, Kick, MarkRecord, NewClip, Proof, View};
pub use command::Command;
pub use comparison_record::{ComparisonId, ComparisonRecord, NewComparison};
pub use cycle_set::{CyclePart, CycleSet};
pub use date::Date;
pub use document::{Athlete, Document, Settings, Water};
pub use fault::{Fault, Refusal};
pub use file::{
    ClipMeasures, FORMAT, FileFault, FileProblem, MeasuresSnapshot, Opened, Unreadable, VERSION, read_file,
    read_kept, write_file, write_kept,
};
pub use history::{Applied, History};
pub use journal::{JOURNAL_VERSION, JournalTrouble, Replayed, replay};
pub use relink::{ClipFacts, Difference, Relink, find_clip, match_clip};
pub use remarking::{EarlierMark, Remark, RemarkPass, Remarking, RemarkingId};
#[cfg(feature = "schema")]
pub use schema::session_file_schema;
pub use summary::{ClipSummary, Summary};
pub use table::{
    AnswerGiven, ComparisonRow, FreeText, MarkRow, MeasureRow, RemarkRow, RepeatabilityRow, Repeated,
    TableTrouble, VisitRow, comparison_csv, comparison_rows, comparisons_csv, marks_csv, measures_csv,
    read_marks_csv, remarks_csv, repeatability_csv, visits_csv,
};
pub use trouble::{Place, Severity, Trouble};
pub use visits::{
    AlreadyHere, ClipOfVisit, ConditionWords, HistoryEntry, HistoryValue, MeasureHistory, SideBySide, Visit,
    VisitClip, Visits, another_swimmer, same_swimmer,
};
