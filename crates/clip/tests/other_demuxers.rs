//! The frame table against two demuxers of the Rust ecosystem, as second oracles beside ffprobe:
//! `re_mp4` (MIT/Apache-2.0) for the samples of whole and fragmented MP4, and `matroska-demuxer`
//! (Zlib/MIT/Apache-2.0) for times and for the bytes themselves.
//!
//! `re_mp4` 0.5 does not apply edit lists and moves the first time to 0; so positions, sizes, keyframes and
//! the distances between presentation times are compared, on clips whose edit list cuts nothing. Two clips
//! are left out: it overflows where the last decoding time lies after the stated duration, and it reads
//! negative composition offsets in fragments as huge ones.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use shared::listed;
use wetframe_clip::{Container, FileSource, read_clip};

#[test]
fn re_mp4_finds_the_same_samples() {
    let mut compared = 0;
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let clip = read_clip(&mut FileSource::open(&listed.path()).unwrap()).unwrap();
        let whole = clip.table.samples().len() == clip.table.frames().len() && clip.warnings.is_empty();
        let its_fault = ["variable_b_frames.mp4", "fragmented_negative.mp4"].contains(&listed.file());
        if clip.container != Container::Mp4 || !whole || its_fault || listed.file().starts_with("trimmed") {
            continue;
        }
        let other = re_mp4::Mp4::read_bytes(&std::fs::read(listed.path()).unwrap()).unwrap();
        let track = other
            .tracks()
            .values()
            .find(|track| track.kind == Some(re_mp4::TrackKind::Video));
        let track = track.unwrap();
        assert_eq!(
            track.samples.len(),
            clip.table.samples().len(),
            "{}",
            listed.file()
        );
        let first = clip
            .table
            .samples()
            .iter()
            .map(|sample| sample.presentation.0)
            .min()
            .unwrap();
        let other_first = track
            .samples
            .iter()
            .map(|sample| sample.composition_timestamp)
            .min()
            .unwrap();
        for (ours, theirs) in clip.table.samples().iter().zip(&track.samples) {
            let file = listed.file();
            assert_eq!(ours.bytes.offset, theirs.offset, "{file}");
            assert_eq!(u64::from(ours.bytes.size), theirs.size, "{file}");
            assert_eq!(ours.keyframe, theirs.is_sync, "{file}");
            let (ours, theirs) = (
                ours.presentation.0 - first,
                theirs.composition_timestamp - other_first,
            );
            assert_eq!(ours, theirs, "{file}");
        }
        compared += 1;
    }
    assert!(compared > 20, "only {compared} clips were compared");
}

#[test]
fn matroska_demuxer_reads_the_same_bytes_at_the_same_times() {
    let mut compared = 0;
    for listed in listed() {
        if !listed.file().ends_with("webm") && !listed.file().ends_with("mkv") {
            continue;
        }
        let clip = read_clip(&mut FileSource::open(&listed.path()).unwrap()).unwrap();
        let bytes = std::fs::read(listed.path()).unwrap();
        let mut other = matroska_demuxer::MatroskaFile::open(std::io::Cursor::new(&bytes)).unwrap();
        let tracks = other.tracks().iter();
        let mut videos = tracks.filter(|track| track.track_type() == matroska_demuxer::TrackType::Video);
        let video = videos.next().unwrap().track_number().get();
        let mut frame = matroska_demuxer::Frame::default();
        let mut samples = clip.table.samples().iter();
        while other.next_frame(&mut frame).unwrap() {
            if frame.track != video {
                continue;
            }
            let sample = samples.next().unwrap();
            assert_eq!(
                sample.presentation.0,
                i64::try_from(frame.timestamp).unwrap(),
                "{}",
                listed.file()
            );
            let start = usize::try_from(sample.bytes.offset).unwrap();
            assert_eq!(
                bytes[start..start + sample.bytes.size as usize],
                frame.data,
                "{}",
                listed.file()
            );
            compared += 1;
        }
        assert_eq!(samples.next(), None, "{}", listed.file());
    }
    assert!(compared > 500, "only {compared} frames were compared");
}
