//! A clip is known again by its fingerprint, and another is not taken for it.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use std::collections::HashSet;

use shared::{folder, listed};
use wetframe_clip::{ByteSource, FileSource, Fingerprint, MemorySource, SourceError, fingerprint, read_clip};

fn print_of(source: &mut dyn ByteSource) -> Fingerprint {
    let clip = read_clip(source).unwrap();
    fingerprint(source, &clip).unwrap()
}

#[test]
fn a_copy_has_the_same_and_every_other_clip_another() {
    let mut seen = HashSet::new();
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let from_file = print_of(&mut FileSource::open(&listed.path()).unwrap());
        let from_memory = print_of(&mut MemorySource(std::fs::read(listed.path()).unwrap()));
        assert_eq!(from_file, from_memory, "{}", listed.file());
        // b_frames.mp4 and its twin with the index first hold the same pictures at other places.
        assert!(
            seen.insert(from_file.to_string()),
            "{} has another's fingerprint",
            listed.file()
        );
    }
    assert!(seen.len() > 40);
}

#[test]
fn one_byte_of_the_pictures_or_one_time_makes_another() {
    let bytes = std::fs::read(folder().join("trimmed.mp4")).unwrap();
    let original = print_of(&mut MemorySource(&bytes));
    let clip = read_clip(&mut MemorySource(&bytes)).unwrap();

    let mut repainted = bytes.clone();
    repainted[usize::try_from(clip.table.samples()[3].bytes.offset).unwrap() + 9] ^= 1;
    assert_ne!(print_of(&mut MemorySource(&repainted)), original);

    // The same bytes read with another table, as a reader that ignored the edit list would have it.
    let mut retimed = bytes.clone();
    let at = bytes.windows(4).position(|four| four == b"elst").unwrap() + 16;
    retimed[at..at + 4].copy_from_slice(&(40 * 512_i32).to_be_bytes());
    let other_table = read_clip(&mut MemorySource(&retimed)).unwrap();
    assert_ne!(
        fingerprint(&mut MemorySource(&bytes), &other_table).unwrap(),
        original
    );

    let mut longer = bytes.clone();
    longer.extend_from_slice(b"\0\0\0\x08free");
    assert_ne!(print_of(&mut MemorySource(&longer)), original);
}

#[test]
fn a_file_that_is_gone_is_an_error_not_a_fingerprint() {
    struct Gone(u64);
    impl ByteSource for Gone {
        fn size(&self) -> u64 {
            self.0
        }
        fn read_at(&mut self, offset: u64, buffer: &mut [u8]) -> Result<(), SourceError> {
            let reason = "the card was pulled out".to_owned();
            Err(SourceError {
                offset,
                length: buffer.len() as u64,
                reason,
            })
        }
    }
    let bytes = std::fs::read(folder().join("trimmed.mp4")).unwrap();
    let clip = read_clip(&mut MemorySource(&bytes)).unwrap();
    let error = fingerprint(&mut Gone(bytes.len() as u64), &clip).unwrap_err();
    assert_eq!(error.kind.name(), "source");
    assert!(error.to_string().contains("the card was pulled out"), "{error}");
    assert_eq!(read_clip(&mut Gone(100)).unwrap_err().kind.name(), "source");
}
