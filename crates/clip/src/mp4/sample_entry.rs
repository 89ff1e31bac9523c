//! The sample description: codec, configuration record, picture size and pixel shape.
//!
//! ISO/IEC 14496-12, 8.5.2 and 12.1.3; ISO/IEC 14496-15 for `avcC` and `hvcC`.

use crate::codec_string;
use crate::description::{Codec, PixelAspect};
use crate::error::ClipError;
use crate::fields::Fields;
use crate::mp4::boxes::{BoxHeader, children, first};
use crate::mp4::sample_table::leaf;
use crate::window::Window;

/// The first description of a video track.
#[derive(Debug)]
pub(crate) struct SampleEntry {
    pub(crate) codec: Codec,
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) pixel_aspect: PixelAspect,
    /// Whether the track has further descriptions.
    pub(crate) changes: bool,
}

/// From the start of a description to its own boxes.
const FIXED_PART: u64 = 78;
/// Configuration records are a few hundred bytes; this is what one may take.
const LONGEST_RECORD: u64 = 1 << 20;

/// Reads an `stsd` box.
pub(crate) fn read(window: &mut Window<'_>, table: BoxHeader) -> Result<SampleEntry, ClipError> {
    const WHAT: &str = "the sample description (`stsd`) is incomplete";
    // Version and flags, then the count.
    let entries = children(window, table.body.saturating_add(8), table.end)?;
    let Some(entry) = entries.first() else {
        return Err(ClipError::malformed(
            table.start,
            "the sample description (`stsd`) is empty",
        ));
    };
    let parts_from = entry.body.saturating_add(FIXED_PART);
    if parts_from > entry.end {
        return Err(ClipError::malformed(entry.start, WHAT));
    }
    let fixed = window.load(entry.body, FIXED_PART, WHAT)?;
    let mut fields = Fields::new(&fixed, entry.body, WHAT);
    fields.skip(24)?;
    let width = u32::from(fields.u16()?);
    let height = u32::from(fields.u16()?);
    let parts = children(window, parts_from, entry.end)?;
    let pixel_aspect = match first(&parts, b"pasp") {
        Some(part) if part.body_size() >= 8 => {
            let bytes = leaf(window, part, WHAT)?;
            let mut fields = Fields::new(&bytes, part.body, WHAT);
            PixelAspect::new(fields.u32()?, fields.u32()?)
        }
        _ => PixelAspect::SQUARE,
    };
    let mut record = |kind: &[u8; 4]| match first(&parts, kind) {
        Some(part) if part.body_size() <= LONGEST_RECORD => leaf(window, part, WHAT).map(Some),
        _ => Ok(None),
    };

    let name: String = entry.kind.iter().map(|byte| printable(*byte)).collect();
    let with_record = |string: Option<String>, record: Option<Vec<u8>>| Codec {
        string: string.unwrap_or_else(|| name.trim_end().to_owned()),
        description: record,
    };
    let codec = match &entry.kind {
        b"avc1" | b"avc2" | b"avc3" | b"avc4" => {
            let record = record(b"avcC")?;
            let prefix = if entry.kind == *b"avc3" { "avc3" } else { "avc1" };
            let string = record
                .as_deref()
                .and_then(|record| codec_string::avc(prefix, record));
            with_record(string, record)
        }
        // Dolby Vision clips of phones carry a plain HEVC picture: `dvh1` is `hvc1`, `dvhe` is `hev1`.
        b"hvc1" | b"hev1" | b"dvh1" | b"dvhe" => {
            let record = record(b"hvcC")?;
            let prefix = if matches!(&entry.kind, b"hev1" | b"dvhe") {
                "hev1"
            } else {
                "hvc1"
            };
            let string = record
                .as_deref()
                .and_then(|record| codec_string::hevc(prefix, record));
            with_record(string, record)
        }
        b"vp08" => with_record(Some("vp8".to_owned()), None),
        b"vp09" => {
            let string = record(b"vpcC")?.and_then(|record| codec_string::vpx("vp09", &record));
            with_record(string, None)
        }
        b"av01" => {
            let string = record(b"av1C")?.and_then(|record| codec_string::av1(&record));
            with_record(string, None)
        }
        b"mp4v" => {
            let record = record(b"esds")?;
            let string = record.as_deref().and_then(codec_string::mpeg4);
            with_record(string, record)
        }
        _ => with_record(None, None),
    };
    Ok(SampleEntry {
        codec,
        width,
        height,
        pixel_aspect,
        changes: entries.len() > 1,
    })
}

fn printable(byte: u8) -> char {
    if byte.is_ascii_graphic() || byte == b' ' {
        char::from(byte)
    } else {
        '?'
    }
}
