//! A session as a browser keeps it, beside the journal of what was done since: a session file like any other, so
//! that a newer program's is refused and an older one's is brought up to date.
//!
//! The first pages kept the bare document, without a format or a version; it is still read.

use serde::Deserialize;
use serde::de::IgnoredAny;

use super::problem::FileFault;
use super::{FORMAT, Opened, Unreadable, read_file, write_file};
use crate::{Document, Fault, Refusal};

/// The version of the format when bare documents were kept.
const VERSION_OF_BARE: u32 = 1;

/// What tells a bare document from a session file.
#[derive(Deserialize)]
struct Look {
    format: Option<IgnoredAny>,
    clips: Option<IgnoredAny>,
}

/// The text to keep for `document`; [`read_kept`] reads it.
///
/// # Errors
/// [`Fault::NotWritable`] where a value has no JSON form; no document that kept the rules has one.
pub fn write_kept(document: &Document, written_by: &str) -> Result<String, Refusal> {
    String::from_utf8(write_file(document, written_by, None)?).map_err(|error| {
        Refusal::from(Fault::NotWritable {
            reason: error.to_string(),
        })
    })
}

/// Reads what a browser kept: a session file, or the bare document of the first pages.
///
/// # Errors
/// As [`read_file`].
pub fn read_kept(text: &str) -> Result<Opened, Unreadable> {
    let outcome = read_file(text.as_bytes());
    // Only what is no session file is looked at again: hundreds are read at once where visits lie side by side.
    let is_no_file = |unreadable: &Unreadable| matches!(unreadable.problems(), [problem] if problem.fault == FileFault::NotASession);
    if outcome.as_ref().is_err_and(is_no_file) && is_bare(text) {
        let file = format!(
            r#"{{"format":"{FORMAT}","version":{VERSION_OF_BARE},"written_by":"{FORMAT}","session":{text}}}"#
        );
        return read_file(file.as_bytes());
    }
    outcome
}

fn is_bare(text: &str) -> bool {
    serde_json::from_str::<Look>(text).is_ok_and(|look| look.format.is_none() && look.clips.is_some())
}
