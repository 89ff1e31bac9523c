//! One shape for everything that goes wrong, so that the page can show it without knowing its type.

use serde::Serialize;

/// How much it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Worth telling; nothing is wrong.
    Notice,
    /// Something was left out or is doubtful; the rest stands.
    Warning,
    /// What was asked for was not done.
    Error,
}

/// Where it is. Only what is known is written.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Place {
    /// The file's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The place inside a JSON document, as a JSON Pointer (RFC 6901).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path: Option<String>,
    /// Line of a text, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Column of a text in bytes, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
    /// Position in the file in bytes, from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub byte: Option<u64>,
    /// A clip of the session.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clip: Option<u32>,
    /// A mark of the session.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mark: Option<u32>,
    /// A frame of that clip, from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub frame: Option<usize>,
    /// Position in a group of commands, from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub command: Option<usize>,
}

/// Something that went wrong: what (`kind`, stable, for programs; `message`, for people), what to do about
/// it, how much it matters, and where it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Trouble {
    /// A stable snake_case name.
    pub kind: String,
    /// One sentence that says what is wrong.
    pub message: String,
    /// One sentence that says what to do.
    pub hint: String,
    /// How much it matters.
    pub severity: Severity,
    /// Where it is.
    pub place: Place,
}
