//! Copied frames found in coded and decoded pictures, and none found where there are none.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use shared::{Listed, listed, output_of};
use wetframe_clip::cadence::{Cadence, CadenceJudgement, LumaPlane};

/// FFmpeg decodes the clip; its luma planes are judged.
fn judged(clip: &Listed) -> CadenceJudgement {
    let path = clip.path();
    let arguments = [
        "-v",
        "quiet",
        "-noautorotate",
        "-i",
        path.to_str().unwrap(),
        "-map",
        "0:v:0",
    ];
    let raw = [
        "-fps_mode",
        "passthrough",
        "-f",
        "rawvideo",
        "-pix_fmt",
        "gray",
        "-",
    ];
    let luma = output_of("ffmpeg", &[&arguments[..], &raw[..]].concat());
    let (width, height) = (320, 180);
    let mut cadence = Cadence::new();
    for (frame, bytes) in (0..).zip(luma.chunks_exact(width * height)) {
        let plane = LumaPlane {
            bytes,
            width,
            height,
            stride: width,
        };
        cadence.add(frame, plane).unwrap();
    }
    cadence.judgement()
}

#[test]
fn copies_that_went_through_a_coder_are_found_and_nothing_else() {
    let names = [
        "copied_frames.mp4",
        "constant_30.mp4",
        "bursts_vp8.webm",
        "hevc.mp4",
        "av1.mp4",
        "with_audio.mp4",
    ];
    for listed in listed().iter().filter(|clip| names.contains(&clip.file())) {
        let expected: Vec<u64> = listed
            .value("duplicated_frames")
            .as_array()
            .map(|frames| frames.iter().map(|frame| frame.as_u64().unwrap()).collect())
            .unwrap_or_default();
        let found: Vec<u64> = judged(listed).duplicated.iter().copied().map(u64::from).collect();
        assert_eq!(found, expected, "{}", listed.file());
    }
}
