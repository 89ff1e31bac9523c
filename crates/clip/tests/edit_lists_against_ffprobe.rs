//! Edit lists of all sorts against ffprobe: the entries of three clips' lists are replaced by drawn ones, and
//! every packet that ffprobe then shows has to be in our table at the same tick.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use proptest::test_runner::{Config, TestCaseError, TestRunner};
use shared::{folder, packets};
use wetframe_clip::{ClipWarning, MemorySource, read_clip};

/// Ticks of the media and of the movie in a second, in these clips.
const MOVIE: i64 = 1000;
const TICKS: i64 = 15_360;

fn with_edits(name: &str, edits: &[(u32, i32)]) -> Vec<u8> {
    let mut bytes = std::fs::read(folder().join(name)).unwrap();
    let at = bytes.windows(4).position(|four| four == b"elst").unwrap();
    assert_eq!(bytes[at + 11] as usize, edits.len(), "the list keeps its length");
    for (index, (duration, media_time)) in edits.iter().enumerate() {
        let entry = at + 12 + 12 * index;
        bytes[entry..entry + 4].copy_from_slice(&duration.to_be_bytes());
        bytes[entry + 4..entry + 8].copy_from_slice(&media_time.to_be_bytes());
    }
    bytes
}

fn compare(name: &str, edits: &[(u32, i32)]) -> Result<(), TestCaseError> {
    let bytes = with_edits(name, edits);
    let path = std::env::temp_dir().join(format!("wetframe-edits-{}-{name}", std::process::id()));
    std::fs::write(&path, &bytes).unwrap();
    let expected = packets(&path);
    std::fs::remove_file(&path).unwrap();
    let clip = read_clip(&mut MemorySource(bytes)).unwrap();
    let mut shown: Vec<i64> = expected
        .iter()
        .filter(|packet| !packet.discarded)
        .map(|packet| packet.presentation)
        .collect();
    if shown.is_empty() {
        proptest::prop_assert_eq!(&clip.warnings[..], &[ClipWarning::EditListIgnored]);
        return Ok(());
    }
    shown.sort_unstable();
    shown.dedup();
    let frames: Vec<i64> = clip
        .table
        .frames()
        .iter()
        .map(|frame| frame.presentation.0)
        .collect();
    proptest::prop_assert_eq!(frames, shown, "{} {:?}", name, edits);
    Ok(())
}

fn runner() -> TestRunner {
    // Each case starts ffprobe once.
    TestRunner::new(Config {
        cases: 24,
        failure_persistence: None,
        ..Config::default()
    })
}

#[test]
fn one_edit() {
    let edit = (1..4 * MOVIE, -1..4 * TICKS);
    for name in ["trimmed.mp4", "trimmed_b_frames.mp4"] {
        let result = runner().run(&edit, |(duration, media_time)| {
            compare(
                name,
                &[(
                    u32::try_from(duration).unwrap(),
                    i32::try_from(media_time).unwrap(),
                )],
            )
        });
        result.unwrap_or_else(|error| panic!("{error}"));
    }
}

#[test]
fn two_edits() {
    let edit = || {
        (
            1..3 * MOVIE,
            proptest::prop_oneof![proptest::strategy::Just(-1), 0..2 * TICKS],
        )
    };
    let result = runner().run(&(edit(), edit()), |(first, second)| {
        let entry = |edit: (i64, i64)| (u32::try_from(edit.0).unwrap(), i32::try_from(edit.1).unwrap());
        compare("delayed_start.mp4", &[entry(first), entry(second)])
    });
    result.unwrap_or_else(|error| panic!("{error}"));
}
