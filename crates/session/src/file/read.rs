//! Reading a session file: a valid document, or everything that is wrong with it.

use serde::Deserialize;
use serde::de::IgnoredAny;
use serde_json::Value;

use super::migrations::migrate;
use super::problem::{FileFault, FileProblem, Unreadable};
use super::{FORMAT, VERSION, diagnose};
use crate::clip_record::each_once;
use crate::trouble::{Place, Severity, Trouble};
use crate::{Document, EarlierMark, Fault, MarkRecord, Remark, limits};

/// A file that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The session; it keeps every rule.
    pub document: Document,
    /// The version the file had.
    pub version: u32,
    /// The program that wrote it, in its own words.
    pub written_by: String,
}

impl Opened {
    /// Worth telling the coach: that an older file was brought up to this version, and what was assumed.
    #[must_use]
    pub fn notices(&self, file_name: &str) -> Vec<Trouble> {
        if self.version == VERSION {
            return Vec::new();
        }
        vec![Trouble {
            kind: "file_older_version".into(),
            message: format!(
                "“{file_name}” has version {} of the session format and was brought to version {VERSION}: no filmed \
                 rate was stated in it, and how its frames were shown was not kept, so its marks count as not proven",
                self.version
            ),
            hint: "Check the filmed rate of each clip, then save the session.".into(),
            severity: Severity::Notice,
            place: Place {
                file: Some(file_name.to_owned()),
                ..Place::default()
            },
        }]
    }
}

/// What has to be known before the rest is read: whose file it is, and whether the frames it claims would
/// fill the memory.
#[derive(Deserialize)]
struct Head {
    #[serde(default)]
    format: Option<Value>,
    #[serde(default)]
    version: Option<Value>,
    #[serde(default)]
    session: Option<HeadSession>,
}

#[derive(Deserialize)]
struct HeadSession {
    #[serde(default)]
    clips: Vec<HeadClip>,
}

#[derive(Deserialize)]
struct HeadClip {
    #[serde(default)]
    frame_times: HeadFrameTimes,
}

#[derive(Default, Deserialize)]
struct HeadFrameTimes {
    #[serde(default)]
    runs: Vec<(u32, IgnoredAny)>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Whole {
    #[serde(rename = "format")]
    _format: IgnoredAny,
    #[serde(rename = "version")]
    _version: IgnoredAny,
    written_by: String,
    session: Document,
    /// Derived values are never read back.
    #[serde(default, rename = "measures")]
    _measures: IgnoredAny,
}

/// Reads a `.wetframe` file.
///
/// # Errors
/// [`Unreadable`] lists everything that is wrong: size, text, JSON, format and version first, each alone;
/// then all fields that are missing, unknown or of the wrong form; then all values that break a rule.
pub fn read_file(bytes: &[u8]) -> Result<Opened, Unreadable> {
    let one = |problem| Unreadable::new(problem, []);
    let whole = |fault| one(FileProblem::whole(fault));
    if bytes.len() > limits::MOST_FILE_BYTES {
        return Err(whole(FileFault::TooLarge));
    }
    let text = str::from_utf8(bytes).map_err(|error| {
        whole(FileFault::NotText {
            offset: error.valid_up_to(),
        })
    })?;
    // Some editors put a byte order mark in front; RFC 8259, section 8.1, lets a reader ignore it.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(whole(FileFault::Empty));
    }

    let head: Head = match serde_json::from_str(text) {
        Ok(head) => head,
        Err(error) if error.is_data() => return Err(explain(text, &error)),
        Err(error) => return Err(one(FileProblem::json(&error))),
    };
    let version = version_of(&head).map_err(whole)?;
    if frames_of(&head) > limits::MOST_FRAMES as u64 {
        let fault = Fault::TooMany {
            what: "frames",
            most: limits::MOST_FRAMES,
        };
        return Err(one(FileProblem::at("/session/clips", fault)));
    }

    let file: Whole = if version == VERSION {
        serde_json::from_str(text).map_err(|error| explain(text, &error))?
    } else {
        let mut value: Value = serde_json::from_str(text).map_err(|error| one(FileProblem::json(&error)))?;
        migrate(&mut value, version);
        serde_json::from_str(&value.to_string()).map_err(|error| explain_value(&value, &error))?
    };
    let mut document = file.session;
    for clip in &mut document.clips {
        tiny_sort::stable::sort_by_key(&mut clip.marks, MarkRecord::order);
        tiny_sort::unstable::sort(&mut clip.aids);
    }
    for remarking in &mut document.remarkings {
        tiny_sort::stable::sort_by_key(&mut remarking.earlier, EarlierMark::order);
        tiny_sort::stable::sort_by_key(&mut remarking.marks, Remark::order);
        tiny_sort::unstable::sort(&mut remarking.skipped);
    }
    for comparison in &mut document.comparisons {
        comparison.kinds = each_once(std::mem::take(&mut comparison.kinds));
    }
    let mut problems = document
        .faults()
        .into_iter()
        .map(|(path, fault)| FileProblem::at(format!("/session{path}"), fault));
    match problems.next() {
        Some(first) => Err(Unreadable::new(first, problems)),
        None => Ok(Opened {
            document,
            version,
            written_by: file.written_by,
        }),
    }
}

fn version_of(head: &Head) -> Result<u32, FileFault> {
    if head.format.as_ref().and_then(Value::as_str) != Some(FORMAT) {
        return Err(FileFault::NotASession);
    }
    let version = head.version.as_ref().and_then(Value::as_u64);
    let version = version.ok_or(FileFault::NoVersion)?;
    match u32::try_from(version) {
        Ok(version) if version <= VERSION => Ok(version),
        _ => Err(FileFault::NewerVersion { version }),
    }
}

fn frames_of(head: &Head) -> u64 {
    let clips = head.session.iter().flat_map(|session| &session.clips);
    clips
        .flat_map(|clip| &clip.frame_times.runs)
        .map(|(count, _)| u64::from(*count))
        .sum()
}

/// Every field of the wrong form, where the file is small enough to be read a second time as a tree.
fn explain(text: &str, error: &serde_json::Error) -> Unreadable {
    if text.len() <= limits::MOST_BYTES_TO_DIAGNOSE
        && let Ok(value) = serde_json::from_str::<Value>(text)
    {
        return explain_value(&value, error);
    }
    Unreadable::new(FileProblem::json(error), [])
}

fn explain_value(value: &Value, error: &serde_json::Error) -> Unreadable {
    let mut problems = diagnose::forms(value).into_iter();
    match problems.next() {
        Some(first) => Unreadable::new(first, problems),
        // A field that stands twice is lost in the tree.
        None => Unreadable::new(FileProblem::json(error), []),
    }
}
