//! The worked comparison: a session of both clips as a coach would leave it, marked with a hand that strays, and a
//! stretch of each marked twice. Made by the same commands that the page sends.

use std::error::Error;
use std::path::Path;

use clip::{ByteSource as _, FileSource, fingerprint, read_clip};
use serde_json::{Value, json};
use session::{Command, Document, History, write_file};

use crate::hand::{Hand, is_marked};
use crate::truth::{FRAME_TICKS, TrueClip, TrueEvent, truth};

/// The day on which nobody was filmed.
const DATE: &str = "2026-11-20";
const ID: &str = "demo-worked-comparison";
const WRITTEN_BY: &str = concat!("wetframe-demo ", env!("CARGO_PKG_VERSION"));
/// Seeds of the first marking of each clip.
const FIRST_HANDS: [u64; 2] = [31, 32];
/// Seeds of the second, blind marking of a stretch of each.
const SECOND_HANDS: [u64; 2] = [41, 42];
/// The stretch that is marked twice, frames: about five cycles.
const MARKED_TWICE_FRAMES: i64 = 440;

/// The bytes of `session.wetframe`, without a snapshot of measures, which are computed again when it is
/// opened; `here` is the folder of the clips and of `scenario.json`.
///
/// # Errors
/// When a file cannot be read, or the session refuses a command.
pub fn session_file(here: &Path) -> Result<Vec<u8>, Box<dyn Error>> {
    let scenario: Value = serde_json::from_str(&std::fs::read_to_string(here.join("scenario.json"))?)?;
    let mut history = History::new(Document::new(ID, DATE)?);
    let mut change = json!({});
    for field in ["athlete", "notes", "water"] {
        change[field] = scenario[field].clone();
    }
    apply(
        &mut history,
        &json!({ "command": "edit_session", "change": change }),
    )?;
    for (index, made) in truth().clips.iter().enumerate() {
        let mut record = record_of(here, made)?;
        for (field, said) in scenario["clips"][index]
            .as_object()
            .ok_or("scenario.json lacks a clip")?
        {
            if field != "file" {
                record[field] = said.clone();
            }
        }
        apply(&mut history, &json!({ "command": "add_clip", "clip": record }))?;
        let id = history.document().clips.last().ok_or("no clip was added")?.id.0;
        mark(&mut history, id, made, FIRST_HANDS[index])?;
        mark_again(&mut history, id, made, SECOND_HANDS[index])?;
    }
    Ok(write_file(history.document(), WRITTEN_BY, None)?)
}

fn apply(history: &mut History, command: &Value) -> Result<(), Box<dyn Error>> {
    history.apply(Command::from_json(&command.to_string())?)?;
    Ok(())
}

/// The clip as the page would add it.
fn record_of(here: &Path, made: &TrueClip) -> Result<Value, Box<dyn Error>> {
    let mut source = FileSource::open(&here.join(&made.file))?;
    let clip = read_clip(&mut source)?;
    let fingerprint = fingerprint(&mut source, &clip)?;
    Ok(json!({
        "name": made.file,
        "size_bytes": source.size(),
        "fingerprint": fingerprint.to_string(),
        "container": clip.container.name(),
        "codec": clip.codec.string,
        "width": clip.upright_width(),
        "height": clip.upright_height(),
        "rotation_deg": clip.rotation_deg,
        "timescale": clip.table.timescale(),
        "frame_times": clip.table.frame_times(),
        "capture_rate_fps": clip.capture_rate_fps,
    }))
}

fn mark(history: &mut History, clip: u32, made: &TrueClip, seed: u64) -> Result<(), Box<dyn Error>> {
    let mut hand = Hand::new(seed);
    let commands: Vec<Value> = made
        .events
        .iter()
        .filter(|event| is_marked(event))
        .map(|event| {
            json!({
                "command": "add_mark",
                "clip": clip,
                "kind": event.kind,
                "side": event.side,
                "time": ticks_of(hand.frame_of(event, made.frame_count)),
                "proof": "decoded",
            })
        })
        .collect();
    apply(
        history,
        &json!({ "command": "group", "label": "mark the clip", "commands": commands }),
    )
}

/// A second marking of the first cycles, by the same rule and another seed.
fn mark_again(history: &mut History, clip: u32, made: &TrueClip, seed: u64) -> Result<(), Box<dyn Error>> {
    let mut hand = Hand::new(seed);
    apply(
        history,
        &json!({ "command": "add_remarking", "clip": clip, "from": null, "to": MARKED_TWICE_FRAMES * FRAME_TICKS }),
    )?;
    let remarking = history
        .document()
        .remarkings
        .last()
        .ok_or("no second marking was begun")?;
    let id = remarking.id.0;
    let answers: Vec<Value> = remarking
        .earlier
        .iter()
        .map(|earlier| {
            let event =
                nearest(made, earlier.kind, earlier.side, earlier.time.0).ok_or("a mark without an event")?;
            Ok(json!({
                "command": "add_remark",
                "remarking": id,
                "asked": earlier.mark,
                "time": ticks_of(hand.frame_of(event, made.frame_count)),
                "proof": "decoded",
            }))
        })
        .collect::<Result<_, &str>>()?;
    for answer in answers {
        apply(history, &answer)?;
    }
    apply(
        history,
        &json!({ "command": "finish_remarking", "remarking": id }),
    )
}

/// The event that a mark was made for.
fn nearest(
    made: &TrueClip,
    kind: stroke::MarkKind,
    side: Option<stroke::Side>,
    ticks: i64,
) -> Option<&TrueEvent> {
    made.events
        .iter()
        .filter(|event| event.kind == kind && Some(event.side) == side)
        .min_by_key(|event| (event.presentation - ticks).abs())
}

fn ticks_of(frame: u32) -> i64 {
    i64::from(frame) * FRAME_TICKS
}
