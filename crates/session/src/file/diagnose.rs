//! Which fields of a file are missing, unknown or of the wrong form: all of them, each with its place.
//!
//! The typed reader stops at the first; this one looks at a file that it refused, field by field.

use serde::de::DeserializeOwned;
use serde_json::Value;
use stroke::{BreathingSplit, MarkId, MarkKind, MeasureKind, Side, Speed};
use time::{FrameTimes, Ticks, Timescale};

use super::problem::{FileFault, FileProblem};
use crate::{Aid, ClipId, ComparisonId, Date, Kick, Proof, RemarkingId, View, Water};

/// How to look at a field.
enum Look {
    /// A value of a type: the function says what is wrong with it.
    At(fn(&Value) -> Result<(), String>),
    /// An object with these fields.
    Into(&'static [Field]),
    /// A list of objects with these fields.
    IntoEach(&'static [Field]),
    /// Anything.
    Past,
}

struct Field {
    name: &'static str,
    required: bool,
    look: Look,
}

const fn field(name: &'static str, look: Look) -> Field {
    Field {
        name,
        required: true,
        look,
    }
}

/// Reads the value's text once more, as the typed reader did: a reader for trees would be as large as that for texts,
/// and the page is downloaded.
fn is<T: DeserializeOwned>(value: &Value) -> Result<(), String> {
    serde_json::from_str::<T>(&value.to_string())
        .map(drop)
        .map_err(|error| {
            // The place within this text is no place in the file.
            let place = format!(" at line {} column {}", error.line(), error.column());
            error.to_string().replace(&place, "")
        })
}

static FILE: &[Field] = &[
    field("format", Look::At(is::<String>)),
    field("version", Look::At(is::<u32>)),
    field("written_by", Look::At(is::<String>)),
    field("session", Look::Into(SESSION)),
    Field {
        name: "measures",
        required: false,
        look: Look::Past,
    },
];

static SESSION: &[Field] = &[
    field("id", Look::At(is::<String>)),
    field("athlete", Look::Into(ATHLETE)),
    field("date", Look::At(is::<Date>)),
    field("notes", Look::At(is::<String>)),
    optional("water", Look::At(is::<Option<Water>>)),
    field("clips", Look::IntoEach(CLIP)),
    field("settings", Look::Into(SETTINGS)),
    field("next_clip", Look::At(is::<ClipId>)),
    field("next_mark", Look::At(is::<MarkId>)),
    optional("remarkings", Look::IntoEach(REMARKING)),
    optional("next_remarking", Look::At(is::<RemarkingId>)),
    optional("comparisons", Look::IntoEach(COMPARISON)),
    optional("next_comparison", Look::At(is::<ComparisonId>)),
];

static ATHLETE: &[Field] = &[
    field("label", Look::At(is::<String>)),
    optional("under_18", Look::At(is::<Option<bool>>)),
    field("consent", Look::At(is::<String>)),
];

static SETTINGS: &[Field] = &[
    field("keys", Look::At(is::<std::collections::BTreeMap<String, String>>)),
    optional("tap_reaction_ms", Look::At(is::<Option<f64>>)),
];

static CLIP: &[Field] = &[
    field("id", Look::At(is::<ClipId>)),
    field("name", Look::At(is::<String>)),
    field("label", Look::At(is::<String>)),
    field("size_bytes", Look::At(is::<u64>)),
    field("fingerprint", Look::At(is::<String>)),
    field("container", Look::At(is::<String>)),
    field("codec", Look::At(is::<String>)),
    field("width", Look::At(is::<u32>)),
    field("height", Look::At(is::<u32>)),
    field("rotation_deg", Look::At(is::<u16>)),
    field("timescale", Look::At(is::<Timescale>)),
    field("frame_times", Look::At(is::<FrameTimes>)),
    optional("capture_rate_fps", Look::At(is::<Option<f64>>)),
    optional("filmed_rate_fps", Look::At(is::<Option<f64>>)),
    optional("view", Look::At(is::<Option<View>>)),
    optional("kick", Look::At(is::<Option<Kick>>)),
    field("aids", Look::At(is::<Vec<Aid>>)),
    optional("speed", Look::At(is::<Option<Speed>>)),
    field("notes", Look::At(is::<String>)),
    optional("duplicated_frames", Look::At(is::<Option<Vec<u32>>>)),
    field("marks", Look::IntoEach(MARK)),
];

static REMARKING: &[Field] = &[
    field("id", Look::At(is::<RemarkingId>)),
    field("clip", Look::At(is::<ClipId>)),
    optional("from", Look::At(is::<Option<Ticks>>)),
    optional("to", Look::At(is::<Option<Ticks>>)),
    field("finished", Look::At(is::<bool>)),
    field("earlier", Look::IntoEach(EARLIER_MARK)),
    field("marks", Look::IntoEach(REMARK)),
    field("skipped", Look::At(is::<Vec<MarkId>>)),
];

static COMPARISON: &[Field] = &[
    field("id", Look::At(is::<ComparisonId>)),
    field("label", Look::At(is::<String>)),
    field("before", Look::Into(CYCLE_SET)),
    field("after", Look::Into(CYCLE_SET)),
    field("paired", Look::At(is::<bool>)),
    field("kinds", Look::At(is::<Vec<MeasureKind>>)),
];

static CYCLE_SET: &[Field] = &[
    field("parts", Look::IntoEach(CYCLE_PART)),
    optional("breathing", Look::At(is::<BreathingSplit>)),
];

static CYCLE_PART: &[Field] = &[
    field("clip", Look::At(is::<ClipId>)),
    optional("from", Look::At(is::<Option<Ticks>>)),
    optional("to", Look::At(is::<Option<Ticks>>)),
];

static EARLIER_MARK: &[Field] = &[
    field("mark", Look::At(is::<MarkId>)),
    field("kind", Look::At(is::<MarkKind>)),
    optional("side", Look::At(is::<Option<Side>>)),
    field("time", Look::At(is::<Ticks>)),
];

static REMARK: &[Field] = &[
    field("asked", Look::At(is::<MarkId>)),
    field("kind", Look::At(is::<MarkKind>)),
    optional("side", Look::At(is::<Option<Side>>)),
    field("time", Look::At(is::<Ticks>)),
    field("proof", Look::At(is::<Proof>)),
];

static MARK: &[Field] = &[
    field("id", Look::At(is::<MarkId>)),
    field("kind", Look::At(is::<MarkKind>)),
    optional("side", Look::At(is::<Option<Side>>)),
    field("time", Look::At(is::<Ticks>)),
    field("proof", Look::At(is::<Proof>)),
];

/// A field that may be left out: serde then takes it as `null`, or as the default that its type states.
const fn optional(name: &'static str, look: Look) -> Field {
    Field {
        name,
        required: false,
        look,
    }
}

/// Every field of the wrong form, in the order of the file.
pub(super) fn forms(file: &Value) -> Vec<FileProblem> {
    let mut problems = Vec::new();
    object(file, "", FILE, &mut problems);
    problems
}

fn object(value: &Value, path: &str, fields: &[Field], problems: &mut Vec<FileProblem>) {
    let Value::Object(map) = value else {
        problems.push(wrong_form(path, format!("{} instead of an object", words(value))));
        return;
    };
    for field in fields {
        let at = format!("{path}/{}", field.name);
        match (map.get(field.name), &field.look) {
            (None, _) if !field.required => {}
            (None, _) => {
                let field = field.name.to_owned();
                problems.push(FileProblem::at(path, FileFault::MissingField { field }));
            }
            (Some(value), Look::At(check)) => {
                if let Err(reason) = check(value) {
                    problems.push(wrong_form(&at, reason));
                }
            }
            (Some(value), Look::Into(fields)) => object(value, &at, fields, problems),
            (Some(value), Look::IntoEach(fields)) => match value {
                Value::Array(items) => {
                    for (index, item) in items.iter().enumerate() {
                        object(item, &format!("{at}/{index}"), fields, problems);
                    }
                }
                other => problems.push(wrong_form(&at, format!("{} instead of a list", words(other)))),
            },
            (Some(_), Look::Past) => {}
        }
    }
    for name in map.keys() {
        if !fields.iter().any(|field| field.name == name) {
            let field: String = name.chars().take(80).collect();
            problems.push(FileProblem::at(path, FileFault::UnknownField { field }));
        }
    }
}

fn wrong_form(path: &str, reason: String) -> FileProblem {
    // Deserializers quote the value they met, however long it is.
    let mut reason = reason;
    if reason.len() > 300 {
        reason.truncate(reason.floor_char_boundary(300));
        reason.push('…');
    }
    FileProblem::at(path, FileFault::WrongForm { reason })
}

fn words(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::json;

    use super::*;

    fn names(fields: &[Field]) -> BTreeSet<&str> {
        fields.iter().map(|field| field.name).collect()
    }

    fn keys(value: &Value) -> BTreeSet<&str> {
        value.as_object().unwrap().keys().map(String::as_str).collect()
    }

    /// The tables above must not drift from the types.
    #[test]
    fn the_tables_name_the_fields_that_are_written() {
        let mut history = crate::History::new(crate::Document::new("a", "2026-03-14").unwrap());
        for command in [
            json!({"command": "add_clip", "clip": {
                "name": "a.mp4", "size_bytes": 1, "fingerprint": "f", "container": "mp4", "codec": "avc1",
                "width": 1, "height": 1, "rotation_deg": 0, "timescale": 30, "capture_rate_fps": null,
                "frame_times": {"first": 0, "runs": [[2, 1]]},
            }}),
            json!({"command": "add_mark", "clip": 1, "kind": "pass", "time": 0, "proof": "decoded"}),
            json!({"command": "add_comparison", "comparison": {"before": {"parts": [{"clip": 1}]}, "after": {"parts": [{"clip": 1}]}}}),
            json!({"command": "add_remarking", "clip": 1}),
            json!({"command": "add_remark", "remarking": 1, "asked": 1, "time": 1, "proof": "decoded"}),
        ] {
            history
                .apply(crate::Command::from_json(&command.to_string()).unwrap())
                .unwrap();
        }
        let file = crate::write_file(history.document(), "test", None).unwrap();
        let mut file: Value = serde_json::from_slice(&file).unwrap();
        let session = &file["session"];
        let clip = &session["clips"][0];
        let remarking = &session["remarkings"][0];
        let comparison = &session["comparisons"][0];
        for (value, fields) in [
            (session, SESSION),
            (&session["athlete"], ATHLETE),
            (&session["settings"], SETTINGS),
            (clip, CLIP),
            (&clip["marks"][0], MARK),
            (comparison, COMPARISON),
            (&comparison["before"], CYCLE_SET),
            (&comparison["before"]["parts"][0], CYCLE_PART),
            (remarking, REMARKING),
            (&remarking["earlier"][0], EARLIER_MARK),
            (&remarking["marks"][0], REMARK),
        ] {
            assert_eq!(keys(value), names(fields));
        }
        file["measures"] = Value::Null;
        assert_eq!(keys(&file), names(FILE));
        assert_eq!(forms(&file), vec![]);
    }
}
