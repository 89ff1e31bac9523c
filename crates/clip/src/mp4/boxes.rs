//! Box headers: kind, start and end of the nested pieces that an MP4 or MOV file is made of.
//!
//! ISO/IEC 14496-12, section 4.2; QuickTime File Format, "Atoms".

use crate::error::ClipError;
use crate::window::Window;

pub(crate) type Kind = [u8; 4];

/// One box: where it stands, and where its contents do.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BoxHeader {
    pub(crate) kind: Kind,
    pub(crate) start: u64,
    pub(crate) body: u64,
    pub(crate) end: u64,
}

impl BoxHeader {
    pub(crate) fn body_size(&self) -> u64 {
        self.end - self.body
    }
}

/// Hostile files nest thousands of empty boxes; real ones have a few dozen beside their fragments.
const MOST_CHILDREN: usize = 4096;

/// The box at `at`, which lies in a parent that ends at `limit`; `None` at its end. The end of the box may
/// lie beyond `limit`: the caller knows whether that means damage or a file cut off.
pub(crate) fn header_at(
    window: &mut Window<'_>,
    at: u64,
    limit: u64,
) -> Result<Option<BoxHeader>, ClipError> {
    // QuickTime ends some lists with four zero bytes, shorter than any box.
    if limit.saturating_sub(at) < 8 {
        return Ok(None);
    }
    let head = window.bytes(at, 8, "a box header")?;
    let short = u32::from_be_bytes([head[0], head[1], head[2], head[3]]);
    let kind = [head[4], head[5], head[6], head[7]];
    let (body, size) = match short {
        0 => (at + 8, limit - at),
        1 => {
            let long = window.bytes(at + 8, 8, "a 64-bit box size")?;
            let mut wide = [0; 8];
            wide.copy_from_slice(long);
            (at + 16, u64::from_be_bytes(wide))
        }
        size => (at + 8, u64::from(size)),
    };
    if size < body - at {
        return Err(ClipError::malformed(at, "a box is shorter than its own header"));
    }
    let end = at
        .checked_add(size)
        .ok_or_else(|| ClipError::malformed(at, "a box ends beyond the range of a 64-bit number"))?;
    Ok(Some(BoxHeader {
        kind,
        start: at,
        body,
        end,
    }))
}

/// The children of the range from `from` to `to`.
pub(crate) fn children(window: &mut Window<'_>, from: u64, to: u64) -> Result<Vec<BoxHeader>, ClipError> {
    let mut found = Vec::new();
    let mut at = from;
    while let Some(child) = header_at(window, at, to)? {
        if child.end > to {
            return Err(ClipError::malformed(
                at,
                "a box runs beyond the one that holds it",
            ));
        }
        if found.len() == MOST_CHILDREN {
            return Err(ClipError::too_large(at, "one box holds more than 4096 others"));
        }
        found.push(child);
        at = child.end;
    }
    Ok(found)
}

/// The first child of that kind.
pub(crate) fn first(boxes: &[BoxHeader], kind: &Kind) -> Option<BoxHeader> {
    boxes.iter().find(|child| child.kind == *kind).copied()
}
