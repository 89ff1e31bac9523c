//! Bringing older files up to the version that is read: one function for each step, on the JSON tree, so
//! that the types of old versions need not be kept.
//!
//! A step fills in what its version did not have and leaves everything else, wrong things too, to the
//! reader, which then names them. To add version n + 1: raise `VERSION`, append a function here, add a file
//! of version n to `tests/files`, and describe the change in `FORMAT.md`.

use serde_json::{Map, Value, json};

/// `STEPS[n]` brings version n to n + 1.
const STEPS: [fn(&mut Value); super::VERSION as usize] = [from_0_to_1];

/// Brings a file of version `from` up to the version that is read.
pub(super) fn migrate(file: &mut Value, from: u32) {
    for step in STEPS.iter().skip(from as usize) {
        step(file);
    }
    if let Some(file) = file.as_object_mut() {
        file.insert("version".into(), super::VERSION.into());
    }
}

/// Version 0, an early draft, took every clip for filmed at the rate it plays at, did not keep how a frame
/// was shown, and gave out ids by counting the marks there were.
fn from_0_to_1(file: &mut Value) {
    let Some(session) = file.get_mut("session").and_then(Value::as_object_mut) else {
        return;
    };
    let mut highest_clip = 0;
    let mut highest_mark = 0;
    for clip in objects(session.get_mut("clips")) {
        highest_clip = highest_clip.max(id(clip));
        clip.entry("filmed_rate_fps").or_insert(Value::Null);
        for mark in objects(clip.get_mut("marks")) {
            highest_mark = highest_mark.max(id(mark));
            mark.entry("proof").or_insert_with(|| json!("not_proven"));
        }
    }
    session
        .entry("next_clip")
        .or_insert_with(|| json!(highest_clip.saturating_add(1)));
    session
        .entry("next_mark")
        .or_insert_with(|| json!(highest_mark.saturating_add(1)));
}

fn objects(list: Option<&mut Value>) -> impl Iterator<Item = &mut Map<String, Value>> {
    list.and_then(Value::as_array_mut)
        .into_iter()
        .flatten()
        .filter_map(Value::as_object_mut)
}

fn id(object: &Map<String, Value>) -> u64 {
    object.get("id").and_then(Value::as_u64).unwrap_or(0)
}
