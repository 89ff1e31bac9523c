//! What is refused: each with its kind, the byte where it shows, and words for a coach.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use shared::folder;
use wetframe_clip::{Clip, ClipError, ClipErrorKind, ClipWarning, MemorySource, read_clip};

fn bytes_of(name: &str) -> Vec<u8> {
    std::fs::read(folder().join(name)).unwrap()
}

fn read(bytes: &[u8]) -> Result<Clip, ClipError> {
    read_clip(&mut MemorySource(bytes))
}

/// Where the contents of the first box of that kind start.
fn body_of(bytes: &[u8], kind: &[u8; 4]) -> usize {
    bytes.windows(4).position(|four| four == kind).unwrap() + 4
}

fn put(bytes: &mut [u8], at: usize, word: u32) {
    bytes[at..at + 4].copy_from_slice(&word.to_be_bytes());
}

#[test]
fn an_mp4_table_whose_times_go_backwards() {
    let mut bytes = bytes_of("constant_30.mp4");
    let at = body_of(&bytes, b"stts") + 8;
    put(&mut bytes, at + 4, (-300_i32).cast_unsigned());
    let error = read(&bytes).unwrap_err();
    assert_eq!(error.offset, Some(at as u64));
    let expected =
        "the frame times go backwards: frame 1 in file order is at -300 ticks, the one before it at 0";
    assert!(error.to_string().starts_with(expected), "{error}");
}

#[test]
fn a_webm_whose_times_go_backwards() {
    let mut bytes = bytes_of("live.webm");
    let clip = read(&bytes).unwrap();
    let block = usize::try_from(clip.table.samples()[20].bytes.offset).unwrap();
    // The three bytes before a block's contents: its time within the cluster, its flags.
    bytes[block - 3..block - 1].copy_from_slice(&5_i16.to_be_bytes());
    let error = read(&bytes).unwrap_err();
    let kind = ClipErrorKind::TimesGoBackwards {
        frame: 20,
        time: 5,
        before: 633,
    };
    assert_eq!(error.kind, kind);
    assert!(error.offset.unwrap().abs_diff(block as u64) < 16);
}

#[test]
fn frames_that_share_a_time_are_left_out_with_a_warning() {
    let mut bytes = bytes_of("live.webm");
    let clip = read(&bytes).unwrap();
    let block = usize::try_from(clip.table.samples()[20].bytes.offset).unwrap();
    bytes[block - 3..block - 1].copy_from_slice(&633_i16.to_be_bytes());
    let clip = read(&bytes).unwrap();
    assert_eq!(
        clip.warnings,
        [ClipWarning::RepeatedTimes {
            frames: 1,
            first: 633
        }]
    );
    assert_eq!(clip.table.frames().len(), 89);
    // The picture decoded last at that time is the one that stays on the screen.
    assert_eq!(
        (clip.table.samples()[19].frame, clip.table.samples()[20].frame),
        (None, Some(19))
    );
}

#[test]
fn a_clock_that_stands_still() {
    let mut bytes = bytes_of("constant_30.mp4");
    let at = body_of(&bytes, b"mdhd") + 12;
    put(&mut bytes, at, 0);
    let error = read(&bytes).unwrap_err();
    assert_eq!(error.offset, Some(at as u64));
    assert!(error.to_string().contains("timescale is 0"), "{error}");
}

#[test]
fn a_table_that_claims_more_than_the_file_holds() {
    for (kind, count_at) in [
        (b"stsz", 8),
        (b"stts", 4),
        (b"stsc", 4),
        (b"stco", 4),
        (b"stss", 4),
    ] {
        let mut bytes = bytes_of("b_frames.mp4");
        let at = body_of(&bytes, kind) + count_at;
        put(&mut bytes, at, u32::MAX);
        let error = read(&bytes).unwrap_err();
        assert_eq!(
            (error.kind.name(), error.offset),
            ("malformed", Some(at as u64)),
            "{error}"
        );
    }
}

#[test]
fn a_file_cut_anywhere_says_so_or_opens_with_what_is_left() {
    for name in [
        "moov_first.mp4",
        "constant_30.mp4",
        "fragmented.mp4",
        "variable.webm",
        "live.webm",
    ] {
        let bytes = bytes_of(name);
        for tenth in 1..10 {
            let cut = &bytes[..bytes.len() * tenth / 10];
            match read(cut) {
                Ok(clip) => {
                    let warned = clip
                        .warnings
                        .iter()
                        .any(|warning| matches!(warning, ClipWarning::Truncated { .. }));
                    assert!(warned, "{name} at {tenth}/10: {:?}", clip.warnings);
                }
                Err(error) => assert_eq!(error.kind.name(), "truncated", "{name} at {tenth}/10: {error}"),
            }
        }
    }
}

#[test]
fn the_movie_file_of_another_kind_is_named() {
    let error = read(b"RIFF\x24\x08\0\0AVI LIST\xc0\0\0\0").unwrap_err();
    let expected = "this is not a video that can be read here: it is an AVI file (at byte 0)";
    assert_eq!(error.to_string(), expected);
    assert!(error.hint().contains("MP4, MOV, WebM or MKV"));
}

#[test]
fn a_codec_that_nothing_here_decodes_is_no_error_of_the_table() {
    let mut bytes = bytes_of("constant_30.mp4");
    // Version and flags, count, size of the entry; then its kind.
    let at = body_of(&bytes, b"stsd") + 12;
    bytes[at..at + 4].copy_from_slice(b"apcn");
    let clip = read(&bytes).unwrap();
    assert_eq!(
        (clip.codec.string.as_str(), clip.codec.description),
        ("apcn", None)
    );
    assert_eq!(clip.table.frames().len(), 90);
}
