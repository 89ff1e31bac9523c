//! Bytes from anywhere: valid clips with damage, clips cut anywhere, boxes made up at random. Nothing panics,
//! nothing runs on, and nothing allocates more than in proportion to what the file really holds.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "shared/invariants.rs"]
mod invariants;
mod shared;

use peak_alloc::PeakAlloc;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use shared::listed;

#[global_allocator]
static ALLOCATED: PeakAlloc = PeakAlloc;

/// A frame takes a few dozen bytes of index and some 200 of memory while it is read; each byte of a file can
/// be the whole of a made-up frame.
fn most_allocated(size: usize) -> usize {
    (1 << 20) + 400 * size
}

fn open(bytes: &[u8]) -> Result<(), TestCaseError> {
    let before = ALLOCATED.current_usage();
    ALLOCATED.reset_peak_usage();
    invariants::open(bytes);
    let peak = ALLOCATED.peak_usage().saturating_sub(before);
    prop_assert!(
        peak <= most_allocated(bytes.len()),
        "{} bytes for a file of {}",
        peak,
        bytes.len()
    );
    Ok(())
}

/// Numbers that break readers: none, one, the largest, the largest of the sign, one less than a header.
const AWKWARD: [u32; 8] = [
    0,
    1,
    7,
    0x7fff_ffff,
    0x8000_0000,
    0xffff_fffe,
    0xffff_ffff,
    0x0100_0000,
];

#[derive(Clone, Debug)]
enum Damage {
    Byte(prop::sample::Index, u8),
    Word(prop::sample::Index, usize),
    Cut(prop::sample::Index),
    Repeat(prop::sample::Index, prop::sample::Index),
}

fn damage() -> impl Strategy<Value = Damage> {
    let place = any::<prop::sample::Index>;
    prop_oneof![
        4 => (place(), any::<u8>()).prop_map(|(at, byte)| Damage::Byte(at, byte)),
        8 => (place(), 0..AWKWARD.len()).prop_map(|(at, which)| Damage::Word(at, which)),
        1 => place().prop_map(Damage::Cut),
        1 => (place(), place()).prop_map(|(from, to)| Damage::Repeat(from, to)),
    ]
}

/// Damage hits the index, not the pictures: `places` are the bytes that readers look at.
fn damaged(clip: &[u8], places: &[usize], all: &[Damage]) -> Vec<u8> {
    let mut bytes = clip.to_vec();
    for damage in all {
        let place =
            |at: &prop::sample::Index| places[at.index(places.len())].min(bytes.len().saturating_sub(1));
        match damage {
            Damage::Byte(at, byte) => {
                let at = place(at);
                bytes[at] = *byte;
            }
            Damage::Word(at, which) => {
                let at = place(at);
                let word = AWKWARD[*which].to_be_bytes();
                let end = bytes.len().min(at + 4);
                bytes[at..end].copy_from_slice(&word[..end - at]);
            }
            Damage::Cut(at) => {
                let at = place(at).max(1);
                bytes.truncate(at);
            }
            Damage::Repeat(from, to) => {
                let (from, to) = (place(from), place(to));
                let piece = bytes[from.min(to)..from.max(to)].to_vec();
                bytes.extend(piece);
            }
        }
    }
    bytes
}

/// Bytes of the index: all but the coded pictures.
fn index_places(bytes: &[u8]) -> Vec<usize> {
    let clip = wetframe_clip::read_clip(&mut wetframe_clip::MemorySource(bytes)).unwrap();
    let mut is_picture = vec![false; bytes.len()];
    for sample in clip.table.samples() {
        let start = usize::try_from(sample.bytes.offset).unwrap();
        is_picture[start..start + sample.bytes.size as usize].fill(true);
    }
    (0..bytes.len()).filter(|at| !is_picture[*at]).collect()
}

fn boxes() -> impl Strategy<Value = Vec<u8>> {
    const KINDS: [&[u8; 4]; 22] = [
        b"ftyp", b"moov", b"mvhd", b"trak", b"tkhd", b"mdia", b"mdhd", b"hdlr", b"minf", b"stbl", b"stsd",
        b"stts", b"ctts", b"stss", b"stsz", b"stsc", b"stco", b"edts", b"elst", b"moof", b"traf", b"trun",
    ];
    let leaf = prop::collection::vec(any::<u8>(), 0..40);
    let tree = leaf.prop_recursive(6, 64, 6, |inner| {
        prop::collection::vec((0..KINDS.len(), inner), 0..6).prop_map(|children| {
            let boxed = children.iter().flat_map(|(kind, body)| {
                let size = u32::try_from(body.len() + 8).unwrap().to_be_bytes();
                [&size[..], KINDS[*kind], body].concat()
            });
            boxed.collect()
        })
    });
    tree.prop_map(|bytes| [&b"\0\0\0\x0cftypisom"[..], &bytes].concat())
}

/// One test, since tests of one process share the allocator.
#[test]
fn nothing_panics_runs_on_or_allocates_beyond_what_is_there() {
    let cases = |cases| {
        TestRunner::new(ProptestConfig {
            cases,
            failure_persistence: None,
            ..ProptestConfig::default()
        })
    };
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let bytes = std::fs::read(listed.path()).unwrap();
        let places = index_places(&bytes);
        let result = cases(100).run(&prop::collection::vec(damage(), 1..6), |all| {
            open(&damaged(&bytes, &places, &all))
        });
        result.unwrap_or_else(|error| panic!("{}: {error}", listed.file()));
    }
    let result = cases(2000).run(&boxes(), |bytes| open(&bytes));
    result.unwrap_or_else(|error| panic!("{error}"));
    let any_bytes = prop::collection::vec(any::<u8>(), 0..300);
    let head = prop_oneof![
        Just(vec![]),
        Just(b"\0\0\0\x08ftyp".to_vec()),
        Just(
            b"\x1a\x45\xdf\xa3\x87\x42\x82\x84webm\x18\x53\x80\x67\x01\xff\xff\xff\xff\xff\xff\xff".to_vec()
        )
    ];
    let result = cases(3000).run(&(head, any_bytes), |(head, rest)| open(&[head, rest].concat()));
    result.unwrap_or_else(|error| panic!("{error}"));
}
