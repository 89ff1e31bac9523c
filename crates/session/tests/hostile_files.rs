//! Bytes from anywhere: valid sessions with damage, cut anywhere, numbers that no clip has, nesting without end.
//! Nothing panics, and nothing allocates more than in proportion to the file.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "shared/invariants.rs"]
mod invariants;
mod support;

use peak_alloc::PeakAlloc;
use proptest::prelude::*;
use support::any_document;
use wetframe_session::{read_file, write_file};

#[global_allocator]
static ALLOCATED: PeakAlloc = PeakAlloc;

/// What a file of that size may take while it is read and its faults are named, twice over (as a file and as a kept
/// base); the frames it claims come on top, 8 bytes each, read and written once more.
fn most_allocated(size: usize, frames: usize) -> usize {
    (4 << 20) + 400 * size + 64 * frames
}

fn open(bytes: &[u8], frames: usize) -> Result<bool, TestCaseError> {
    let before = ALLOCATED.current_usage();
    ALLOCATED.reset_peak_usage();
    let is_session = invariants::open(bytes);
    let peak = ALLOCATED.peak_usage().saturating_sub(before);
    prop_assert!(
        peak <= most_allocated(bytes.len(), frames),
        "{} bytes for a file of {}",
        peak,
        bytes.len()
    );
    Ok(is_session)
}

/// What takes the place of a number, a text or a bracket.
const AWKWARD: [&str; 14] = [
    "-1",
    "0",
    "1e400",
    "4294967296",
    "9007199254740993",
    "-9223372036854775809",
    "0.1",
    "null",
    "{}",
    "[]",
    "\"\\ud800\"",
    "true",
    "\"\"",
    "[[[[[[[[",
];

#[derive(Clone, Debug)]
enum Damage {
    Byte(prop::sample::Index, u8),
    /// The value that starts after the colon or comma at a place.
    Value(prop::sample::Index, usize),
    Cut(prop::sample::Index),
    Repeat(prop::sample::Index, prop::sample::Index),
}

fn damage() -> impl Strategy<Value = Damage> {
    let place = any::<prop::sample::Index>;
    prop_oneof![
        4 => (place(), any::<u8>()).prop_map(|(at, byte)| Damage::Byte(at, byte)),
        8 => (place(), 0..AWKWARD.len()).prop_map(|(at, which)| Damage::Value(at, which)),
        1 => place().prop_map(Damage::Cut),
        1 => (place(), place()).prop_map(|(from, to)| Damage::Repeat(from, to)),
    ]
}

fn damaged(mut bytes: Vec<u8>, damages: &[Damage]) -> Vec<u8> {
    for damage in damages {
        if bytes.is_empty() {
            break;
        }
        match damage {
            Damage::Byte(at, byte) => {
                let at = at.index(bytes.len());
                bytes[at] = *byte;
            }
            Damage::Value(at, which) => {
                let from = at.index(bytes.len());
                let ends = |byte: &u8| matches!(byte, b',' | b':' | b'}' | b']' | b'\n');
                let Some(start) = bytes[from..].iter().position(ends).map(|more| from + more + 1) else {
                    continue;
                };
                let end = bytes[start..]
                    .iter()
                    .position(ends)
                    .map_or(bytes.len(), |more| start + more);
                bytes.splice(start..end, AWKWARD[*which].bytes());
            }
            Damage::Cut(at) => bytes.truncate(at.index(bytes.len())),
            Damage::Repeat(from, to) => {
                let (from, to) = (from.index(bytes.len()), to.index(bytes.len()));
                let part = bytes[from.min(to)..from.max(to)].to_vec();
                bytes.splice(from..from, part);
            }
        }
    }
    bytes
}

proptest! {
    #[test]
    fn arbitrary_bytes_are_refused_with_reasons(bytes in prop::collection::vec(any::<u8>(), 0..2_000)) {
        open(&bytes, 0)?;
    }

    #[test]
    fn a_damaged_session_is_refused_or_keeps_every_rule(
        document in any_document(),
        damages in prop::collection::vec(damage(), 1..6),
    ) {
        let bytes = damaged(write_file(&document, "a test", None).unwrap(), &damages);
        // A count of frames may have become a large one that is still possible: 8 bytes each are then its due.
        let frames = read_file(&bytes).map_or(0, |opened| {
            opened.document.clips.iter().map(|clip| clip.frame_times.len()).sum()
        });
        open(&bytes, frames)?;
    }
}

#[test]
fn an_undamaged_session_is_one() {
    let bytes = write_file(support::history().document(), "a test", None).unwrap();
    assert!(open(&bytes, 80).unwrap());
}

#[test]
fn nesting_without_end_is_refused() {
    for (from, to) in [("[", "]"), ("{\"session\":", "}")] {
        let text = from.repeat(100_000) + &to.repeat(100_000);
        assert!(!open(text.as_bytes(), 0).unwrap());
    }
}

#[test]
fn frames_that_would_fill_the_memory_are_refused_before_they_are_made() {
    let file = String::from_utf8(write_file(support::history().document(), "a test", None).unwrap()).unwrap();
    let huge = file.replace("[35, 1500]", "[4294967295, 1]");
    assert_ne!(huge, file);
    assert!(!open(huge.as_bytes(), 0).unwrap());
}
