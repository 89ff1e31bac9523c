//! Knowing a clip again: a digest of its size, of ranges sampled across it, and of its frame table.
//!
//! Two copies of a file have one fingerprint whatever they are called. A clip that was trimmed, exported again
//! or filmed at another moment has another: its table, size or coded bytes differ. No pixel is decoded and
//! nothing of the picture can be told from it.
//!
//! Not for: proof that a file was not tampered with between the sampled ranges.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::description::Clip;
use crate::error::ClipError;
use crate::source::ByteSource;

/// Ranges spread evenly from the first byte to the last.
const RANGES: u64 = 16;
/// Length of each, bytes; a file that is no longer than all of them is read whole.
const RANGE_SIZE: u64 = 4096;
/// Changes when what is digested changes, so that old fingerprints never match by accident.
const TAG: &[u8] = b"wetframe clip fingerprint 1\n";

/// A digest of 32 bytes, written as 64 hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Fingerprint([u8; 32]);

impl fmt::Display for Fingerprint {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(formatter, "{byte:02x}"))
    }
}

impl From<Fingerprint> for String {
    fn from(fingerprint: Fingerprint) -> Self {
        fingerprint.to_string()
    }
}

/// A text that is not 64 hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a fingerprint is 64 hexadecimal digits")]
pub struct NotAFingerprint;

impl FromStr for Fingerprint {
    type Err = NotAFingerprint;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        if text.len() != 64 || !text.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return Err(NotAFingerprint);
        }
        let mut digest = [0; 32];
        for (byte, at) in digest.iter_mut().zip((0..64).step_by(2)) {
            *byte = u8::from_str_radix(&text[at..at + 2], 16).map_err(|_| NotAFingerprint)?;
        }
        Ok(Self(digest))
    }
}

impl TryFrom<String> for Fingerprint {
    type Error = NotAFingerprint;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        text.parse()
    }
}

/// The fingerprint of a clip that was read from `source`; reads at most 64 KiB.
///
/// # Errors
/// [`crate::ClipErrorKind::Source`] when the bytes cannot be had any more.
pub fn fingerprint(source: &mut dyn ByteSource, clip: &Clip) -> Result<Fingerprint, ClipError> {
    let mut digest = Sha256::new();
    digest.update(TAG);
    let size = source.size();
    digest.update(size.to_le_bytes());
    let mut buffer = Vec::new();
    for (offset, length) in sampled_ranges(size) {
        buffer.clear();
        buffer.resize(usize::try_from(length).unwrap_or(0), 0);
        source.read_at(offset, &mut buffer)?;
        digest.update(&buffer);
    }
    digest.update(clip.table.timescale().ticks_per_second().to_le_bytes());
    digest.update((clip.table.samples().len() as u64).to_le_bytes());
    for sample in clip.table.samples() {
        digest.update(sample.presentation.0.to_le_bytes());
        digest.update(sample.bytes.offset.to_le_bytes());
        digest.update(sample.bytes.size.to_le_bytes());
        digest.update([u8::from(sample.keyframe), u8::from(sample.frame.is_some())]);
    }
    Ok(Fingerprint(digest.finalize().into()))
}

/// `(offset, length)` of what is read of a file of `size` bytes.
fn sampled_ranges(size: u64) -> Vec<(u64, u64)> {
    if size <= RANGES * RANGE_SIZE {
        return vec![(0, size)];
    }
    let last = u128::from(size - RANGE_SIZE);
    (0..RANGES)
        .map(|index| {
            let offset = last * u128::from(index) / u128::from(RANGES - 1);
            (u64::try_from(offset).unwrap_or(0), RANGE_SIZE)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_large_file_is_sampled_from_its_first_byte_to_its_last() {
        let size = 4_u64 << 30;
        let ranges = sampled_ranges(size);
        assert_eq!(ranges[0], (0, RANGE_SIZE));
        assert_eq!(ranges[15], (size - RANGE_SIZE, RANGE_SIZE));
        assert!(ranges.windows(2).all(|pair| pair[0].0 + pair[0].1 <= pair[1].0));
    }

    #[test]
    fn the_written_form_reads_back_and_nothing_else_does() {
        let fingerprint = Fingerprint(std::array::from_fn(|index| u8::try_from(index * 7).unwrap()));
        assert_eq!(fingerprint.to_string().parse(), Ok(fingerprint));
        assert_eq!("12".parse::<Fingerprint>(), Err(NotAFingerprint));
        assert_eq!("é".repeat(32).parse::<Fingerprint>(), Err(NotAFingerprint));
    }
}
