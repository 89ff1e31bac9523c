//! The journal: one line of JSON for every command, undo and redo, so that a sitting survives a crash with
//! all its undo steps.
//!
//! ```text
//! {"do":"apply","line":1,"version":1,"command":{"command":"add_mark","clip":1,"kind":"entry","side":"left","time":2002,"proof":"decoded"}}
//! {"do":"undo","line":2,"version":1}
//! {"do":"redo","line":3,"version":1}
//! ```
//!
//! `line` counts from 1 without gaps. A line may be cut off by a crash only if it is the last; what comes
//! before a line that cannot be used is kept. `version` is that of the commands which the writer knew: a program
//! that knows fewer refuses the whole journal, since what it cannot read is not damaged.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::trouble::{Place, Severity, Trouble};
use crate::{Command, Document, Fault, FileFault, FileProblem, History, Unreadable};

/// The version of the journal that is written: raised with every command, and every field of one, that an older
/// program does not know. Lines of the first pages carry none and count as version 0.
pub const JOURNAL_VERSION: u32 = 1;

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", try_from = "Flat")]
#[serde(bound(deserialize = "Entry<C>: TryFrom<Flat, Error = &'static str>"))]
pub(crate) enum Entry<C = Command> {
    Apply { line: u64, version: u64, command: C },
    Undo { line: u64, version: u64 },
    Redo { line: u64, version: u64 },
}

/// All that is asked of a line which cannot be used.
#[derive(Deserialize)]
struct Head {
    #[serde(default)]
    version: u64,
}

/// An entry as it is read: a tag that chooses among shapes would have every line held in memory and read twice, and
/// hundreds of journals are read when an athlete's visits are laid side by side.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Flat {
    #[serde(rename = "do")]
    what: What,
    line: u64,
    #[serde(default)]
    version: u64,
    command: Option<Command>,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum What {
    Apply,
    Undo,
    Redo,
}

impl TryFrom<Flat> for Entry {
    type Error = &'static str;

    fn try_from(flat: Flat) -> Result<Self, Self::Error> {
        let Flat { line, version, .. } = flat;
        match (flat.what, flat.command) {
            (What::Apply, Some(command)) => Ok(Self::Apply {
                line,
                version,
                command,
            }),
            (What::Apply, None) => Err("missing field `command`"),
            (What::Undo, None) => Ok(Self::Undo { line, version }),
            (What::Redo, None) => Ok(Self::Redo { line, version }),
            (What::Undo | What::Redo, Some(_)) => Err("unknown field `command`"),
        }
    }
}

impl<C: Serialize> Entry<C> {
    pub fn apply(line: u64, command: C) -> Self {
        Self::Apply {
            line,
            version: JOURNAL_VERSION.into(),
            command,
        }
    }

    pub fn undo(line: u64) -> Self {
        Self::Undo {
            line,
            version: JOURNAL_VERSION.into(),
        }
    }

    pub fn redo(line: u64) -> Self {
        Self::Redo {
            line,
            version: JOURNAL_VERSION.into(),
        }
    }

    pub fn written(&self) -> Result<String, Fault> {
        serde_json::to_string(self).map_err(|error| Fault::NotWritable {
            reason: error.to_string(),
        })
    }
}

/// A journal played again.
#[derive(Clone, Debug)]
pub struct Replayed {
    /// The document and its steps, up to the last line that could be used.
    pub history: History,
    /// How many lines, from the first, could be used. Cut the journal there before appending to it.
    pub lines_kept: usize,
    /// Why the rest could not; `None` where every line was used.
    pub trouble: Option<JournalTrouble>,
}

/// Why a journal could not be used to its end. Lines are counted from 1.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum JournalTrouble {
    /// The last line is incomplete: the browser was stopped while it was written.
    #[error("the last line of the journal (line {line}) was cut off; everything before it is there")]
    CutOff {
        /// Which line.
        line: usize,
    },
    /// A line before the last is no entry.
    #[error(
        "line {line} of the journal cannot be read ({reason}); it and the {after} lines after it are left out"
    )]
    Unreadable {
        /// Which line.
        line: usize,
        /// The reader's words.
        reason: String,
        /// How many lines come after it.
        after: usize,
    },
    /// A line is missing or stands twice.
    #[error(
        "line {line} of the journal says that it is line {says}; it and the {after} lines after it are left out"
    )]
    OutOfOrder {
        /// Which line.
        line: usize,
        /// The number that it carries.
        says: u64,
        /// How many lines come after it.
        after: usize,
    },
    /// A line that does not fit the document.
    #[error(
        "line {line} of the journal cannot be done again: {fault}; it and the {after} lines after it are left out"
    )]
    Refused {
        /// Which line.
        line: usize,
        /// Why.
        fault: Fault,
        /// How many lines come after it.
        after: usize,
    },
}

impl JournalTrouble {
    /// A stable snake_case name.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::CutOff { .. } => "journal_cut_off",
            Self::Unreadable { .. } => "journal_unreadable",
            Self::OutOfOrder { .. } => "journal_out_of_order",
            Self::Refused { .. } => "journal_refused",
        }
    }

    /// In the shape that the page shows.
    #[must_use]
    pub fn trouble(&self) -> Trouble {
        let (line, hint) = match self {
            Self::CutOff { line } => (
                line,
                "Check the last thing you did, and do it again if it is missing.",
            ),
            Self::Unreadable { line, .. } | Self::OutOfOrder { line, .. } | Self::Refused { line, .. } => (
                line,
                "Save the session to a file now, and compare it with your last saved file.",
            ),
        };
        Trouble {
            kind: self.kind().into(),
            message: self.to_string(),
            hint: hint.into(),
            severity: Severity::Warning,
            place: Place {
                line: Some(*line),
                ..Place::default()
            },
        }
    }
}

/// Plays journal lines on the document they began with: as far as the lines can be used, saying why it stopped.
///
/// # Errors
/// [`FileFault::NewerJournal`] where any line is a newer program's. Nothing is to be cut then, nor appended.
pub fn replay(base: Document, lines: &[impl AsRef<str>]) -> Result<Replayed, Unreadable> {
    let mut history = History::new(base);
    let mut trouble = None;
    let mut lines_kept = 0;
    for (index, text) in lines.iter().enumerate() {
        match play(&mut history, text.as_ref(), index + 1, lines.len() - index - 1) {
            Ok(()) => lines_kept = index + 1,
            Err(stop) => {
                refuse_newer(&lines[index..])?;
                trouble = Some(stop);
                break;
            }
        }
    }
    Ok(Replayed {
        history,
        lines_kept,
        trouble,
    })
}

/// Refuses lines of which any says that a newer program wrote it. A line that is no JSON says nothing.
fn refuse_newer(lines: &[impl AsRef<str>]) -> Result<(), Unreadable> {
    let newest = lines
        .iter()
        .filter_map(|text| serde_json::from_str::<Head>(text.as_ref()).ok())
        .map(|head| head.version)
        .max();
    match newest {
        Some(version) if version > u64::from(JOURNAL_VERSION) => {
            let problem = FileProblem::whole(FileFault::NewerJournal { version });
            Err(Unreadable::new(problem, []))
        }
        _ => Ok(()),
    }
}

fn play(history: &mut History, text: &str, line: usize, after: usize) -> Result<(), JournalTrouble> {
    let unreadable = |reason: String| JournalTrouble::Unreadable { line, reason, after };
    let entry: Entry = serde_json::from_str(text).map_err(|error| match after {
        0 => JournalTrouble::CutOff { line },
        _ => unreadable(error.to_string()),
    })?;
    let (Entry::Apply {
        line: says, version, ..
    }
    | Entry::Undo { line: says, version }
    | Entry::Redo { line: says, version }) = entry;
    // The meaning of what it seems to say may have changed.
    if version > u64::from(JOURNAL_VERSION) {
        return Err(unreadable(format!("it has version {version}")));
    }
    if says != history.journal_lines() + 1 {
        return Err(JournalTrouble::OutOfOrder { line, says, after });
    }
    let outcome = match entry {
        Entry::Apply { command, .. } => history.apply_again(command),
        Entry::Undo { .. } => history.undo().map(drop),
        Entry::Redo { .. } => history.redo().map(drop),
    };
    outcome.map_err(|refusal| JournalTrouble::Refused {
        line,
        fault: refusal.fault,
        after,
    })
}
