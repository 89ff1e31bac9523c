//! EBML elements: the nested pieces that a Matroska or WebM file is made of.
//!
//! RFC 8794 (EBML).

use crate::error::ClipError;
use crate::window::Window;

/// An element's identifier, with its length marker, as the standard writes it.
pub(crate) type Id = u32;

/// One element: where its contents start, and how long they are.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Element {
    pub(crate) id: Id,
    pub(crate) body: u64,
    /// `None`: unknown, as live recorders write it; it ends where its parent's next child starts.
    pub(crate) size: Option<u64>,
}

impl Element {
    /// Where it ends; an unknown size ends nowhere.
    pub(crate) fn end(&self) -> u64 {
        self.body.saturating_add(self.size.unwrap_or(u64::MAX))
    }
}

const DAMAGED: &str = "an element's header is no element's";

/// The element at `at`.
pub(crate) fn element_at(window: &mut Window<'_>, at: u64) -> Result<Element, ClipError> {
    let (id, id_length) = number_at(window, at, 4, true)?;
    let (size, size_length) = number_at(window, at + id_length, 8, false)?;
    let unknown = size == (1 << (7 * size_length)) - 1;
    Ok(Element {
        id: u32::try_from(id).map_err(|_| ClipError::malformed(at, DAMAGED))?,
        body: at + id_length + size_length,
        size: (!unknown).then_some(size),
    })
}

/// A number whose first byte's leading zeros say how long it is, and that length; with or without the marker
/// that ends those zeros.
pub(crate) fn number_at(
    window: &mut Window<'_>,
    at: u64,
    longest: u32,
    with_marker: bool,
) -> Result<(u64, u64), ClipError> {
    const WHAT: &str = "an element's header";
    let first = window.bytes(at, 1, WHAT)?[0];
    let length = first.leading_zeros() + 1;
    if length > longest {
        return Err(ClipError::malformed(at, DAMAGED));
    }
    let bytes = window.bytes(at, length as usize, WHAT)?;
    let mut value = bytes.iter().fold(0, |sum, byte| sum << 8 | u64::from(*byte));
    if !with_marker {
        value &= (1 << (7 * length)) - 1;
    }
    Ok((value, u64::from(length)))
}

/// The children of a range that was loaded: `(id, contents)`; ends early where they do not fit.
pub(crate) fn children(mut bytes: &[u8]) -> Vec<(Id, &[u8])> {
    fn number(bytes: &[u8], with_marker: bool) -> Option<(u64, &[u8])> {
        let length = bytes.first()?.leading_zeros() as usize + 1;
        let (own, rest) = bytes.split_at_checked(length)?;
        let value = own.iter().fold(0, |sum: u64, byte| sum << 8 | u64::from(*byte));
        let marker = if with_marker {
            0
        } else {
            1_u64.checked_shl(7 * u32::try_from(length).ok()?)?
        };
        Some((value & marker.wrapping_sub(1), rest))
    }
    let mut found = Vec::new();
    while let Some((id, rest)) = number(bytes, true) {
        let Some((size, rest)) = number(rest, false) else {
            break;
        };
        let Some((own, after)) = usize::try_from(size)
            .ok()
            .and_then(|size| rest.split_at_checked(size))
        else {
            break;
        };
        let Ok(id) = u32::try_from(id) else { break };
        found.push((id, own));
        bytes = after;
    }
    found
}

/// An unsigned integer of up to 8 bytes.
pub(crate) fn unsigned(bytes: &[u8]) -> Option<u64> {
    let fits = bytes.len() <= 8;
    fits.then(|| bytes.iter().fold(0, |sum, byte| sum << 8 | u64::from(*byte)))
}

/// A float of 0, 4 or 8 bytes.
pub(crate) fn float(bytes: &[u8]) -> Option<f64> {
    match bytes.len() {
        0 => Some(0.0),
        4 => Some(f64::from(f32::from_be_bytes(bytes.try_into().ok()?))),
        8 => Some(f64::from_be_bytes(bytes.try_into().ok()?)),
        _ => None,
    }
}
