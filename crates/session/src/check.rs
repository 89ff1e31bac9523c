//! The rules that every document keeps: one function for each field, used by commands and by the reader of
//! files alike.

use std::collections::{BTreeMap, HashSet};

use stroke::{MarkKind, Side, Speed};
use time::{FrameTimes, Ticks};

use crate::limits::{self, Range};
use crate::{
    ClipRecord, ComparisonRecord, CycleSet, Document, Fault, MarkRecord, Settings, Water, remarking_check,
};

/// A text that may have several lines.
pub(crate) fn text(field: &'static str, text: &str, most: usize) -> Result<(), Fault> {
    // Characters are at most bytes, so that counting can wait until it matters.
    if text.len() > most {
        let length = text.chars().count();
        if length > most {
            return Err(Fault::TextTooLong { field, length, most });
        }
    }
    Ok(())
}

/// A text of one line.
pub(crate) fn line(field: &'static str, line: &str, most: usize) -> Result<(), Fault> {
    text(field, line, most)?;
    if line.chars().any(char::is_control) {
        return Err(Fault::ControlCharacter { field });
    }
    Ok(())
}

fn written_line(field: &'static str, text: &str, most: usize) -> Result<(), Fault> {
    if text.is_empty() {
        return Err(Fault::TextEmpty { field });
    }
    line(field, text, most)
}

pub(crate) fn number(field: &'static str, value: f64, range: Range) -> Result<(), Fault> {
    if range.holds(value) {
        Ok(())
    } else {
        Err(Fault::OutOfRange { field, value, range })
    }
}

pub(crate) fn session_id(id: &str) -> Result<(), Fault> {
    let written = (1..=64).contains(&id.len())
        && id
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_');
    if written {
        Ok(())
    } else {
        Err(Fault::SessionId {
            text: id.chars().take(80).collect(),
        })
    }
}

pub(crate) fn athlete_label(label: &str) -> Result<(), Fault> {
    line("the athlete's label", label, limits::MOST_LABEL_CHARACTERS)
}

pub(crate) fn consent(consent: &str) -> Result<(), Fault> {
    text("the words on consent", consent, limits::MOST_NOTES_CHARACTERS)
}

pub(crate) fn notes(notes: &str) -> Result<(), Fault> {
    text("the notes", notes, limits::MOST_NOTES_CHARACTERS)
}

pub(crate) fn water(water: &Water) -> Result<(), Fault> {
    match *water {
        Water::Pool { length_m } => number("the pool's length", length_m, limits::POOL_LENGTH_M),
        Water::Flume { speed_m_per_s } => number("the flume's speed", speed_m_per_s, limits::SPEED_M_PER_S),
    }
}

pub(crate) fn keys(keys: &BTreeMap<String, String>) -> Result<(), Fault> {
    if keys.len() > limits::MOST_KEYS {
        return Err(Fault::TooMany {
            what: "keys",
            most: limits::MOST_KEYS,
        });
    }
    for (action, key) in keys {
        written_line("the name of an action", action, limits::MOST_LABEL_CHARACTERS)?;
        written_line("a key", key, limits::MOST_LABEL_CHARACTERS)?;
    }
    Ok(())
}

pub(crate) fn tap_reaction(tap_reaction_ms: Option<f64>) -> Result<(), Fault> {
    optional("the tap reaction time", tap_reaction_ms, limits::TAP_REACTION_MS)
}

fn optional(field: &'static str, value: Option<f64>, range: Range) -> Result<(), Fault> {
    value.map_or(Ok(()), |value| number(field, value, range))
}

pub(crate) fn clip_name(name: &str) -> Result<(), Fault> {
    written_line("the file's name", name, limits::MOST_NAME_CHARACTERS)
}

pub(crate) fn clip_label(label: &str) -> Result<(), Fault> {
    line("the clip's label", label, limits::MOST_LABEL_CHARACTERS)
}

pub(crate) fn filmed_rate(filmed_rate_fps: Option<f64>) -> Result<(), Fault> {
    optional("the filmed rate", filmed_rate_fps, limits::RATE_FPS)
}

pub(crate) fn speed(speed: &Speed) -> Result<(), Fault> {
    match *speed {
        Speed::Flume {
            m_per_s,
            uncertainty_m_per_s,
        } => {
            number("the flume's speed", m_per_s, limits::SPEED_M_PER_S)?;
            optional(
                "the speed's uncertainty",
                uncertainty_m_per_s,
                limits::SPEED_UNCERTAINTY_M_PER_S,
            )
        }
        Speed::Pace { s_per_100_m } => number("the pace", s_per_100_m, limits::PACE_S_PER_100_M),
        Speed::Passes { distance_m } => {
            number("the distance between passes", distance_m, limits::PASS_DISTANCE_M)
        }
    }
}

pub(crate) fn duplicated_frames(frames: &[u32], frame_times: &FrameTimes) -> Result<(), Fault> {
    let mut least = 0;
    for &frame in frames {
        if u64::from(frame) < least || frame as usize >= frame_times.len() {
            return Err(Fault::DuplicatedFrame {
                frame,
                frames: frame_times.len(),
            });
        }
        least = u64::from(frame) + 1;
    }
    Ok(())
}

/// A mark's own rules: its time is a frame's start and its side is possible.
pub(crate) fn mark(clip: &ClipRecord, mark: &MarkRecord) -> Result<(), Fault> {
    side(mark.kind, mark.side)?;
    on_a_frame(clip, mark.time)
}

pub(crate) fn side(kind: MarkKind, side: Option<Side>) -> Result<(), Fault> {
    if kind.allows(side) {
        Ok(())
    } else {
        Err(Fault::SideNotPossible { kind, side })
    }
}

pub(crate) fn on_a_frame(clip: &ClipRecord, time: Ticks) -> Result<(), Fault> {
    if clip.frame_times.frame_at(time).is_some() {
        return Ok(());
    }
    let nearest_frame = clip.frame_times.nearest_frame(time);
    Err(Fault::NoFrameAtTime {
        clip: clip.title().to_owned(),
        time: time.0,
        nearest_frame,
        nearest_time: clip.frame_times.start(nearest_frame).unwrap_or_default().0,
    })
}

/// A stretch of a clip: it starts before it ends.
pub(crate) fn stretch(from: Option<Ticks>, to: Option<Ticks>) -> Result<(), Fault> {
    for time in [from, to].into_iter().flatten() {
        exact_integer("a time in ticks", i128::from(time.0))?;
    }
    match (from, to) {
        (Some(from), Some(to)) if from >= to => Err(Fault::StretchEmpty {
            from: from.0,
            to: to.0,
        }),
        _ => Ok(()),
    }
}

/// Every rule of a clip apart from its marks, each with the name of the field.
pub(crate) fn clip_fields(clip: &ClipRecord) -> Vec<(&'static str, Fault)> {
    let mut faults = Vec::new();
    let mut keep = |field: &'static str, outcome: Result<(), Fault>| {
        if let Err(fault) = outcome {
            faults.push((field, fault));
        }
    };
    keep("name", clip_name(&clip.name));
    keep("label", clip_label(&clip.label));
    keep(
        "size_bytes",
        exact_integer("the file's size in bytes", i128::from(clip.size_bytes)),
    );
    keep(
        "fingerprint",
        written_line("the fingerprint", &clip.fingerprint, limits::MOST_NAME_CHARACTERS),
    );
    keep(
        "container",
        written_line("the container", &clip.container, limits::MOST_NAME_CHARACTERS),
    );
    keep(
        "codec",
        written_line("the codec", &clip.codec, limits::MOST_NAME_CHARACTERS),
    );
    if clip.width == 0 || clip.height == 0 {
        let (width, height) = (clip.width, clip.height);
        keep("width", Err(Fault::PictureSize { width, height }));
    }
    let rotation_deg = clip.rotation_deg;
    if ![0, 90, 180, 270].contains(&rotation_deg) {
        keep("rotation_deg", Err(Fault::Rotation { rotation_deg }));
    }
    for time in [clip.frame_times.first(), clip.frame_times.end()] {
        keep(
            "frame_times",
            exact_integer("a frame's time in ticks", i128::from(time.0)),
        );
    }
    keep(
        "capture_rate_fps",
        optional("the capture rate", clip.capture_rate_fps, limits::RATE_FPS),
    );
    keep("filmed_rate_fps", filmed_rate(clip.filmed_rate_fps));
    if !clip.aids.is_sorted_by(|one, next| one < next) {
        keep("aids", Err(Fault::AidTwice));
    }
    keep("speed", clip.speed.as_ref().map_or(Ok(()), speed));
    keep("notes", notes(&clip.notes));
    if let Some(frames) = &clip.duplicated_frames {
        keep("duplicated_frames", duplicated_frames(frames, &clip.frame_times));
    }
    faults
}

fn exact_integer(field: &'static str, value: i128) -> Result<(), Fault> {
    let most = i128::from(limits::MOST_EXACT_INTEGER);
    if (-most..=most).contains(&value) {
        Ok(())
    } else {
        Err(Fault::IntegerTooLarge { field, value })
    }
}

/// Every rule of a document, each fault with its place as a JSON Pointer.
pub(crate) fn document(document: &Document) -> Vec<(String, Fault)> {
    let mut faults = Vec::new();
    let mut keep = |path: String, outcome: Result<(), Fault>| {
        if let Err(fault) = outcome {
            faults.push((path, fault));
        }
    };
    keep("/id".into(), session_id(&document.id));
    keep("/athlete/label".into(), athlete_label(&document.athlete.label));
    keep("/athlete/consent".into(), consent(&document.athlete.consent));
    keep("/notes".into(), notes(&document.notes));
    keep("/water".into(), document.water.as_ref().map_or(Ok(()), water));
    let Settings {
        keys: changed_keys,
        tap_reaction_ms,
    } = &document.settings;
    keep("/settings/keys".into(), keys(changed_keys));
    keep("/settings/tap_reaction_ms".into(), tap_reaction(*tap_reaction_ms));
    keep("/clips".into(), totals(document));

    let mut clip_ids = HashSet::new();
    let mut mark_ids = HashSet::new();
    for (clip_index, clip) in document.clips.iter().enumerate() {
        let place = format!("/clips/{clip_index}");
        keep(
            format!("{place}/id"),
            id_is_free("clip", clip.id.0, document.next_clip.0, &mut clip_ids),
        );
        for (field, fault) in clip_fields(clip) {
            keep(format!("{place}/{field}"), Err(fault));
        }
        let mut seen = HashSet::new();
        for (mark_index, each) in clip.marks.iter().enumerate() {
            let at = |field: &str| format!("{place}/marks/{mark_index}{field}");
            if let Err(fault) = id_is_free("mark", each.id.0, document.next_mark.0, &mut mark_ids) {
                keep(at("/id"), Err(fault));
            }
            if let Err(fault) = mark(clip, each) {
                let field = match fault {
                    Fault::SideNotPossible { .. } => "/side",
                    _ => "/time",
                };
                keep(at(field), Err(fault));
            } else if !seen.insert((each.time, each.kind, each.side)) {
                keep(at(""), Err(mark_exists(clip, each)));
            }
        }
    }
    let mut remarking_ids = HashSet::new();
    for (index, remarking) in document.remarkings.iter().enumerate() {
        let place = format!("/remarkings/{index}");
        let (id, next) = (remarking.id.0, document.next_remarking.0);
        keep(
            format!("{place}/id"),
            id_is_free("remarking", id, next, &mut remarking_ids),
        );
        for (path, fault) in remarking_check::remarking(document, remarking) {
            keep(format!("{place}{path}"), Err(fault));
        }
    }
    let mut comparison_ids = HashSet::new();
    for (index, record) in document.comparisons.iter().enumerate() {
        let place = format!("/comparisons/{index}");
        let (id, next) = (record.id.0, document.next_comparison.0);
        keep(
            format!("{place}/id"),
            id_is_free("comparison", id, next, &mut comparison_ids),
        );
        for (path, fault) in comparison(document, record) {
            keep(format!("{place}{path}"), Err(fault));
        }
    }
    faults
}

/// Every rule of a comparison apart from its id, each fault with its place within it.
pub(crate) fn comparison(document: &Document, record: &ComparisonRecord) -> Vec<(String, Fault)> {
    [
        (
            "/label",
            line(
                "the comparison's label",
                &record.label,
                limits::MOST_LABEL_CHARACTERS,
            ),
        ),
        ("/before", cycle_set(document, &record.before)),
        ("/after", cycle_set(document, &record.after)),
    ]
    .into_iter()
    .filter_map(|(path, outcome)| Some((path.to_owned(), outcome.err()?)))
    .collect()
}

/// A set names clips that there are, and stretches that can hold something.
pub(crate) fn cycle_set(document: &Document, set: &CycleSet) -> Result<(), Fault> {
    stretches(set)?;
    let unknown = set.parts.iter().find(|part| document.clip(part.clip).is_none());
    unknown.map_or(Ok(()), |part| Err(Fault::UnknownClip { clip: part.clip.0 }))
}

/// The rules of a set that do not ask which clips there are.
pub(crate) fn stretches(set: &CycleSet) -> Result<(), Fault> {
    if set.parts.is_empty() {
        return Err(Fault::CycleSetEmpty);
    }
    if set.parts.len() > limits::MOST_PARTS {
        return Err(Fault::TooMany {
            what: "stretches in a set of cycles",
            most: limits::MOST_PARTS,
        });
    }
    for part in &set.parts {
        stretch(part.from, part.to)?;
    }
    Ok(())
}

pub(crate) fn mark_exists(clip: &ClipRecord, mark: &MarkRecord) -> Fault {
    Fault::MarkExists {
        kind: mark.kind,
        side: mark.side,
        frame: frame_number(clip, mark.time),
    }
}

/// The frame that starts at `time`, or the nearest, for words.
pub(crate) fn frame_number(clip: &ClipRecord, time: Ticks) -> usize {
    clip.frame_times.nearest_frame(time)
}

/// How many clips, marks and frames there may be.
pub(crate) fn totals(document: &Document) -> Result<(), Fault> {
    let frames: usize = document.clips.iter().map(|clip| clip.frame_times.len()).sum();
    for (what, count, most) in [
        ("clips", document.clips.len(), limits::MOST_CLIPS),
        ("marks", document.mark_count(), limits::MOST_MARKS),
        ("frames", frames, limits::MOST_FRAMES),
        (
            "comparisons",
            document.comparisons.len(),
            limits::MOST_COMPARISONS,
        ),
        (
            "second markings",
            document.remarkings.len(),
            limits::MOST_REMARKINGS,
        ),
        (
            "marks to make again",
            document.remarked_count(),
            limits::MOST_MARKS,
        ),
    ] {
        if count > most {
            return Err(Fault::TooMany { what, most });
        }
    }
    Ok(())
}

pub(crate) fn id_is_free(
    what: &'static str,
    id: u32,
    next: u32,
    taken: &mut HashSet<u32>,
) -> Result<(), Fault> {
    if id == 0 || id >= next {
        return Err(Fault::IdNotBelowNext { what, id, next });
    }
    if !taken.insert(id) {
        return Err(Fault::IdUsedTwice { what, id });
    }
    Ok(())
}
