//! MP4, MOV and their kin: the index alone, by ranges.
//!
//! ISO/IEC 14496-12 and the QuickTime File Format. Only the boxes that say when a frame is shown and where its
//! bytes are get read; `mdat` is stepped over.

mod boxes;
mod capture_rate;
mod edit_list;
mod fragments;
mod sample_entry;
mod sample_table;
mod track;

use time::Timescale;

use self::boxes::{BoxHeader, children, first, header_at};
use self::edit_list::Edit;
use self::fragments::{Defaults, Fragments};
use self::track::Track;
use crate::description::{Clip, Container};
use crate::error::{ClipError, ClipErrorKind, ClipWarning};
use crate::frame_table::{FrameTable, RawSample};
use crate::window::Window;

/// Fragments of a tenth of a second make 36,000 boxes an hour, with their data twice that.
const MOST_TOP_LEVEL_BOXES: usize = 1 << 19;

/// Whether a file that starts with these bytes is one of this family.
pub(crate) fn starts_like(head: &[u8; 16]) -> bool {
    matches!(
        &head[4..8],
        b"ftyp" | b"uuid" | b"moov" | b"mdat" | b"wide" | b"free" | b"skip" | b"pnot" | b"styp" | b"moof"
    )
}

pub(crate) fn read(window: &mut Window<'_>) -> Result<Clip, ClipError> {
    let mut warnings = Vec::new();
    let (movie, fragments) = top_level(window, &mut warnings)?;
    let parts = children(window, movie.body, movie.end)?;
    if first(&parts, b"cmov").is_some() {
        return Err(ClipError::malformed(
            movie.start,
            "it is compressed (`cmov`), which only very old programs wrote",
        ));
    }
    let (movie_timescale, movie_matrix) = match first(&parts, b"mvhd") {
        Some(header) => track::read_movie_header(window, header)?,
        None => {
            return Err(ClipError::malformed(
                movie.start,
                "the movie header (`mvhd`) is missing",
            ));
        }
    };
    let mut tracks = Vec::new();
    for part in parts.iter().filter(|part| part.kind == *b"trak") {
        tracks.extend(track::read(window, *part)?);
    }
    let has_audio = tracks.iter().any(|track| track.handler == *b"soun");
    let videos = tracks.iter().filter(|track| track.handler == *b"vide");
    let video_count = u32::try_from(videos.clone().count()).unwrap_or(u32::MAX);
    let Some(track) = videos.clone().next() else {
        return Err(ClipError::at(
            movie.start,
            ClipErrorKind::NoVideoTrack { has_audio },
        ));
    };
    let timescale = Timescale::new(track.timescale)
        .map_err(|_| ClipError::malformed(track.timescale_at, "the track's timescale is 0 ticks a second"))?;
    let Some(descriptions) = first(&track.tables, b"stsd") else {
        return Err(ClipError::malformed(
            movie.start,
            "the sample description (`stsd`) is missing",
        ));
    };
    let entry = sample_entry::read(window, descriptions)?;

    if video_count > 1 {
        warnings.push(ClipWarning::SeveralVideoTracks { tracks: video_count });
    }
    if entry.changes {
        warnings.push(ClipWarning::ChangingFormat);
    }
    let rotation_deg = track::rotation_deg(track.matrix, movie_matrix).unwrap_or_else(|| {
        warnings.push(ClipWarning::OddMatrix);
        0
    });
    let defaults = match first(&parts, b"mvex") {
        Some(extends) => fragments::defaults_of(window, extends, track.id)?,
        None => Defaults::default(),
    };
    let edits = track::edits_of(track, movie_timescale);
    let raw = raw_samples(window, track, &edits, defaults, &fragments, &mut warnings)?;
    let table = FrameTable::from_samples(timescale, &raw, &mut warnings)?;
    Ok(Clip {
        container: Container::Mp4,
        codec: entry.codec,
        coded_width: entry.width,
        coded_height: entry.height,
        rotation_deg,
        pixel_aspect: entry.pixel_aspect,
        table,
        capture_rate_fps: capture_rate::read(window, &parts),
        has_audio,
        warnings,
    })
}

/// The index and every fragment, wherever they stand.
fn top_level(
    window: &mut Window<'_>,
    warnings: &mut Vec<ClipWarning>,
) -> Result<(BoxHeader, Vec<BoxHeader>), ClipError> {
    let size = window.size();
    let mut movie = None;
    let mut fragments = Vec::new();
    let mut at = 0;
    let mut count = 0;
    let mut cut_off = None;
    loop {
        window.reached(at, size.saturating_mul(2));
        let found = match header_at(window, at, size) {
            Ok(Some(found)) => found,
            Ok(None) => break,
            // Bytes that belong to nothing behind a whole index do no harm, unless fragments would follow.
            Err(ClipError {
                kind: ClipErrorKind::Malformed { .. },
                ..
            }) if movie.is_some() => {
                if !fragments.is_empty() {
                    warnings.push(ClipWarning::Damaged { offset: at });
                }
                break;
            }
            Err(error) => return Err(error),
        };
        count += 1;
        if count > MOST_TOP_LEVEL_BOXES {
            return Err(ClipError::too_large(
                at,
                "it holds more than half a million boxes",
            ));
        }
        if found.end > size {
            cut_off = Some(found);
            break;
        }
        match &found.kind {
            b"moov" if movie.is_none() => movie = Some(found),
            b"moof" => fragments.push(found),
            _ => {}
        }
        at = found.end;
    }
    if cut_off.is_some_and(|found| found.kind == *b"moof") && movie.is_some() {
        warnings.push(ClipWarning::Truncated { frames: 1, size });
    }
    let Some(movie) = movie else {
        return Err(match cut_off {
            Some(found) => ClipError::at(
                found.start,
                ClipErrorKind::Truncated {
                    what: if found.kind == *b"moov" {
                        "its index"
                    } else {
                        "what stands before its index"
                    },
                    needed: found.end,
                    size,
                },
            ),
            None => ClipError::new(ClipErrorKind::NoIndex),
        });
    };
    Ok((movie, fragments))
}

/// The samples of the index with its edits applied, then those of the fragments.
fn raw_samples(
    window: &mut Window<'_>,
    track: &Track,
    edits: &[Edit],
    defaults: Defaults,
    fragments: &[BoxHeader],
    warnings: &mut Vec<ClipWarning>,
) -> Result<Vec<RawSample>, ClipError> {
    let samples = sample_table::read(window, &track.tables)?;
    let last = samples.media.last().map(|sample| sample.decoding);
    let mut raw = presented(&samples, edits, warnings);
    let mut missing = samples.missing;
    if !fragments.is_empty() {
        let shift = fragment_shift(edits);
        let mut reader = Fragments::new(track.id, defaults, shift, samples.end, last);
        drop(samples);
        let size = window.size();
        for fragment in fragments {
            window.reached(size.saturating_add(fragment.start), size.saturating_mul(2));
            reader.read(window, *fragment)?;
        }
        let (more, more_missing) = reader.finish();
        raw.extend(more);
        missing = missing.saturating_add(more_missing);
    }
    if missing > 0 {
        warnings.push(ClipWarning::Truncated {
            frames: missing,
            size: window.size(),
        });
    }
    Ok(raw)
}

fn presented(
    samples: &sample_table::Samples,
    edits: &[Edit],
    warnings: &mut Vec<ClipWarning>,
) -> Vec<RawSample> {
    let duration_of = |index: usize| match samples.media.get(index + 1) {
        Some(next) => next.decoding.saturating_sub(samples.media[index].decoding),
        None => samples.last_duration,
    };
    if !edits.is_empty() && !samples.media.is_empty() {
        let uses = edit_list::apply(&samples.media, edits, samples.reordered);
        if !uses.is_empty() {
            let used = uses.iter().map(|used| {
                let index = used.sample as usize;
                RawSample {
                    presentation: used.presentation,
                    duration: duration_of(index),
                    keyframe: samples.media[index].keyframe,
                    shown: used.shown,
                    bytes: samples.bytes[index],
                }
            });
            return used.collect();
        }
        warnings.push(ClipWarning::EditListIgnored);
    }
    let all = samples.media.iter().zip(&samples.bytes).enumerate();
    all.map(|(index, (sample, bytes))| RawSample {
        presentation: sample.decoding.saturating_add(sample.composition_offset),
        duration: duration_of(index),
        keyframe: sample.keyframe,
        shown: true,
        bytes: *bytes,
    })
    .collect()
}

/// What an edit list takes from the times of fragments: the media time of its first stretch, less the empty
/// stretch before it.
fn fragment_shift(edits: &[Edit]) -> i64 {
    let (empty, rest) = match edits {
        [first, rest @ ..] if first.media_time == -1 => (first.duration, rest),
        all => (0, all),
    };
    let start = rest.first().map_or(0, |edit| edit.media_time.max(0));
    start.saturating_sub(empty)
}
