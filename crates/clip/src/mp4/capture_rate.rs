//! The rate at which a phone says it filmed: `com.android.capture.fps` in the movie's metadata.
//!
//! Metadata keys and items: QuickTime File Format, "Metadata" (`meta`, `keys`, `ilst`). Android writes the
//! rate as a 32-bit float (MediaRecorder's `setCaptureRate`); programs that copy it write text.

use crate::error::ClipError;
use crate::fields::Fields;
use crate::mp4::boxes::{BoxHeader, children, first};
use crate::mp4::sample_table::leaf;
use crate::window::Window;

const KEY: &[u8] = b"com.android.capture.fps";
/// Metadata may hold pictures; neither keys nor the item in question are this long.
const LONGEST: u64 = 64 << 10;
const FASTEST_FPS: f64 = 100_000.0;

/// From the children of `moov`. Damaged metadata gives no rate, never an error: no frame depends on it.
pub(crate) fn read(window: &mut Window<'_>, movie: &[BoxHeader]) -> Option<f64> {
    let in_user_data = |window: &mut Window<'_>| {
        let user_data = first(movie, b"udta")?;
        first(&children(window, user_data.body, user_data.end).ok()?, b"meta")
    };
    let own = first(movie, b"meta").and_then(|meta| rate_in(window, meta).ok().flatten());
    own.or_else(|| {
        let meta = in_user_data(window)?;
        rate_in(window, meta).ok().flatten()
    })
}

fn rate_in(window: &mut Window<'_>, meta: BoxHeader) -> Result<Option<f64>, ClipError> {
    const WHAT: &str = "the metadata is incomplete";
    // QuickTime writes a plain box, ISO a full one; a plain one starts with a child's size and kind.
    let peek = window.bytes(meta.body, 8, WHAT)?;
    let skip = if peek[4..8].iter().all(u8::is_ascii_alphanumeric) {
        0
    } else {
        4
    };
    let parts = children(window, meta.body + skip, meta.end)?;
    let (Some(keys), Some(items)) = (first(&parts, b"keys"), first(&parts, b"ilst")) else {
        return Ok(None);
    };
    if keys.body_size() > LONGEST {
        return Ok(None);
    }
    let bytes = leaf(window, keys, WHAT)?;
    let mut fields = Fields::new(&bytes, keys.body, WHAT);
    fields.version_and_flags()?;
    let count = fields.u32()?;
    let mut wanted = None;
    for number in 1..=count {
        let size = fields.u32()? as usize;
        fields.skip(4)?;
        if fields.take(size.saturating_sub(8))? == KEY {
            wanted = Some(number);
            break;
        }
    }
    let Some(wanted) = wanted else {
        return Ok(None);
    };
    for item in children(window, items.body, items.end)? {
        if u32::from_be_bytes(item.kind) != wanted {
            continue;
        }
        let Some(data) = first(&children(window, item.body, item.end)?, b"data") else {
            continue;
        };
        if data.body_size() > LONGEST {
            continue;
        }
        let bytes = leaf(window, data, WHAT)?;
        let mut fields = Fields::new(&bytes, data.body, WHAT);
        let kind = fields.u32()?;
        fields.skip(4)?;
        return Ok(value(kind, fields.rest()));
    }
    Ok(None)
}

/// Well-known types of the QuickTime File Format: 1 is UTF-8, 23 a 32-bit float, 24 a 64-bit float, 21 a
/// signed integer, 22 an unsigned one.
fn value(kind: u32, bytes: &[u8]) -> Option<f64> {
    let rate = match (kind, bytes.len()) {
        (1, _) => std::str::from_utf8(bytes).ok()?.trim().parse().ok()?,
        (23, 4) => f64::from(f32::from_be_bytes(bytes.try_into().ok()?)),
        (24, 8) => f64::from_be_bytes(bytes.try_into().ok()?),
        (21 | 22, 1..=4) => f64::from(bytes.iter().fold(0_u32, |sum, byte| sum << 8 | u32::from(*byte))),
        _ => return None,
    };
    (rate > 0.0 && rate <= FASTEST_FPS).then_some(rate)
}

#[cfg(test)]
mod tests {
    use super::value;

    #[test]
    fn floats_text_and_integers_are_understood_and_nonsense_is_not_believed() {
        assert_eq!(value(23, &240.0_f32.to_be_bytes()), Some(240.0));
        assert_eq!(value(1, b"119.88"), Some(119.88));
        assert_eq!(value(22, &[0, 120]), Some(120.0));
        assert_eq!(value(1, b"NaN"), None);
        assert_eq!(value(1, b"-30"), None);
        assert_eq!(value(23, &[1, 2]), None);
    }
}
