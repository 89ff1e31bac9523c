//! What can be wrong with a session file.

use std::fmt;

use thiserror::Error;

use crate::trouble::{Place, Severity, Trouble};
use crate::{Fault, limits};

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FileFault {
    /// Larger than any session.
    #[error("it is larger than {} MiB, the most that a session file can have", limits::MOST_FILE_BYTES >> 20)]
    TooLarge,
    /// No bytes at all.
    #[error("it is empty")]
    Empty,
    /// Bytes that are no UTF-8 text.
    #[error("it is not text: byte {offset} is not UTF-8")]
    NotText {
        /// Where, from 0.
        offset: usize,
    },
    /// Text that is no JSON.
    #[error("it is not JSON: {reason}")]
    NotJson {
        /// The parser's words, with line and column.
        reason: String,
    },
    /// JSON, but of another kind of file.
    #[error("it is JSON but no wetframe session: “format” is not “wetframe”")]
    NotASession,
    /// No usable version.
    #[error("it does not say which version of the session format it has")]
    NoVersion,
    /// Written by a newer program.
    #[error(
        "it has version {version} of the session format; this program reads up to version {}",
        super::VERSION
    )]
    NewerVersion {
        /// Its version.
        version: u64,
    },
    /// Kept beside a journal that a newer program went on writing.
    #[error(
        "its journal has version {version}; this program reads journals up to version {}",
        crate::JOURNAL_VERSION
    )]
    NewerJournal {
        /// The journal's version.
        version: u64,
    },
    /// A field is missing.
    #[error("“{field}” is missing")]
    MissingField {
        /// The field's name.
        field: String,
    },
    /// A field that this version does not have.
    #[error("“{field}” is not a field of this version")]
    UnknownField {
        /// The field's name.
        field: String,
    },
    /// A value of the wrong type.
    #[error("this has the wrong form: {reason}")]
    WrongForm {
        /// The reader's words.
        reason: String,
    },
    /// A value that breaks a rule.
    #[error("{0}")]
    Rule(#[from] Fault),
    /// The list was cut.
    #[error("{count} more problems are not listed")]
    More {
        /// How many.
        count: usize,
    },
}

impl FileFault {
    /// A stable snake_case name.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::TooLarge => "file_too_large",
            Self::Empty => "file_empty",
            Self::NotText { .. } => "file_not_text",
            Self::NotJson { .. } => "file_not_json",
            Self::NotASession => "file_not_a_session",
            Self::NoVersion => "file_no_version",
            Self::NewerVersion { .. } | Self::NewerJournal { .. } => "file_newer_version",
            Self::MissingField { .. } => "file_missing_field",
            Self::UnknownField { .. } => "file_unknown_field",
            Self::WrongForm { .. } => "file_wrong_form",
            Self::Rule(fault) => fault.kind(),
            Self::More { .. } => "file_more_problems",
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::TooLarge => "Check that this is a session file and not a clip.".into(),
            Self::Empty => "The copy was interrupted; copy or export the session again.".into(),
            Self::NotText { .. } | Self::NotASession => {
                "Choose a file that wetframe saved; its name ends in .wetframe.".into()
            }
            Self::NotJson { .. } => {
                "If it is a session file, it was cut off or changed; use your last good copy.".into()
            }
            Self::NoVersion => "Use a copy that was not changed by hand.".into(),
            Self::NewerVersion { .. } | Self::NewerJournal { .. } => {
                "Reload the page to get the newest wetframe, then open it again.".into()
            }
            Self::MissingField { .. } | Self::UnknownField { .. } | Self::WrongForm { .. } => {
                "The fields are described in FORMAT.md; mend the file there or use your last good copy."
                    .into()
            }
            Self::Rule(fault) => match fault {
                Fault::NoFrameAtTime { nearest_time, .. } => {
                    format!("Set this time to {nearest_time}, or delete the mark from the file.")
                }
                Fault::MarkExists { .. } => "Delete one of the two from the file.".into(),
                fault => fault.hint(),
            },
            Self::More { .. } => "Mend those that are listed first.".into(),
        }
    }
}

/// One thing that is wrong, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct FileProblem {
    /// What.
    pub fault: FileFault,
    /// Where in the JSON, as a JSON Pointer (RFC 6901); `None` for the file as a whole.
    pub path: Option<String>,
    /// Line and column in the text, from 1, where the parser knows them.
    pub line_column: Option<(usize, usize)>,
}

impl FileProblem {
    pub(crate) fn whole(fault: FileFault) -> Self {
        Self {
            fault,
            path: None,
            line_column: None,
        }
    }

    pub(crate) fn at(path: impl Into<String>, fault: impl Into<FileFault>) -> Self {
        Self {
            path: Some(path.into()),
            ..Self::whole(fault.into())
        }
    }

    pub(crate) fn json(error: &serde_json::Error) -> Self {
        let reason = error.to_string();
        let fault = if error.is_data() {
            FileFault::WrongForm { reason }
        } else {
            FileFault::NotJson { reason }
        };
        Self {
            line_column: Some((error.line(), error.column())),
            ..Self::whole(fault)
        }
    }

    fn trouble(&self, file_name: &str) -> Trouble {
        let message = match &self.path {
            Some(path) => format!("“{file_name}”, {path}: {}", self.fault),
            None => format!("“{file_name}” cannot be opened: {}", self.fault),
        };
        Trouble {
            kind: self.fault.kind().into(),
            message,
            hint: self.fault.hint(),
            severity: Severity::Error,
            place: Place {
                file: Some(file_name.to_owned()),
                path: self.path.clone(),
                line: self.line_column.map(|(line, _)| line),
                column: self.line_column.map(|(_, column)| column),
                ..Place::default()
            },
        }
    }
}

/// Why a file gives no session: everything that is wrong with it, at least one thing, at most a hundred and
/// a count of the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Unreadable {
    problems: Vec<FileProblem>,
}

const MOST_PROBLEMS: usize = 100;

impl Unreadable {
    /// Keeps at least the problem `first` and as many of the others as anyone would read.
    pub(crate) fn new(first: FileProblem, others: impl IntoIterator<Item = FileProblem>) -> Self {
        let mut problems: Vec<_> = std::iter::once(first).chain(others).collect();
        if problems.len() > MOST_PROBLEMS {
            let count = problems.len() - MOST_PROBLEMS;
            problems.truncate(MOST_PROBLEMS);
            problems.push(FileProblem::whole(FileFault::More { count }));
        }
        Self { problems }
    }

    /// What is wrong, in the order of the file.
    #[must_use]
    pub fn problems(&self) -> &[FileProblem] {
        &self.problems
    }

    /// Each problem in the shape that the page shows.
    #[must_use]
    pub fn troubles(&self, file_name: &str) -> Vec<Trouble> {
        self.problems
            .iter()
            .map(|problem| problem.trouble(file_name))
            .collect()
    }

    /// All of it as one: the first problem, and how many more there are.
    #[must_use]
    pub fn trouble(&self, file_name: &str) -> Option<Trouble> {
        let mut first = self.problems.first()?.trouble(file_name);
        if self.problems.len() > 1 {
            first.message = format!("{} ({})", first.message, self.others());
        }
        Some(first)
    }

    fn others(&self) -> String {
        let listed = self.problems.len() - 1;
        let count = match self.problems.last().map(|problem| &problem.fault) {
            Some(FileFault::More { count }) => listed - 1 + count,
            _ => listed,
        };
        format!(
            "and {count} more {}",
            if count == 1 { "problem" } else { "problems" }
        )
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.problems.iter().enumerate() {
            if index > 0 {
                writeln!(formatter)?;
            }
            if let Some(path) = &problem.path {
                write!(formatter, "{path}: ")?;
            }
            write!(formatter, "{}", problem.fault)?;
        }
        Ok(())
    }
}

impl std::error::Error for Unreadable {}
