//! The frame table against ffprobe (FFmpeg, LGPL; run, never linked), on every test clip, tick for tick.
//!
//! ffprobe and Chromium share FFmpeg's reading of edit lists, so that their agreement proves what players do,
//! not what is right; `burned_in_numbers.rs` checks the same clips against the numbers in their pictures.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use shared::{Listed, listed, output_of, packets};
use wetframe_clip::{Clip, FileSource, read_clip};

fn opened(clip: &Listed) -> Clip {
    let mut source = FileSource::open(&clip.path()).unwrap();
    read_clip(&mut source).unwrap_or_else(|error| panic!("{}: {error}", clip.file()))
}

#[test]
fn every_sample_has_ffprobes_time_place_size_and_keyframe_mark() {
    let mut checked = 0;
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let clip = opened(listed);
        let truncated = listed.file() == "truncated.mp4";
        let mut expected = packets(&listed.path());
        if truncated {
            // ffprobe hands out the packet that the end of the file cuts; it cannot be decoded.
            expected.pop();
        }
        let mut samples = clip.table.samples().iter();
        for packet in &expected {
            let sample = samples
                .next()
                .unwrap_or_else(|| panic!("{}: too few samples", listed.file()));
            let found = (
                sample.presentation.0,
                u64::from(sample.bytes.size),
                sample.keyframe,
                sample.frame.is_none(),
            );
            let wanted = (
                packet.presentation,
                packet.size,
                packet.keyframe,
                packet.discarded,
            );
            assert_eq!(found, wanted, "{} at byte {}", listed.file(), packet.position);
            if clip.container.name() == "mp4" {
                assert_eq!(sample.bytes.offset, packet.position, "{}", listed.file());
            }
            checked += 1;
        }
        // Beyond what ffprobe reads there may be samples that only lead out of the edit list.
        assert!(samples.all(|sample| sample.frame.is_none()), "{}", listed.file());
    }
    assert!(checked > 3000, "only {checked} samples were compared");
}

#[test]
fn every_frame_has_the_time_of_the_picture_ffprobe_decodes() {
    for listed in listed()
        .iter()
        .filter(|clip| clip.opens() && clip.file() != "truncated.mp4")
    {
        let clip = opened(listed);
        let path = listed.path();
        let mut arguments = vec![
            "-v",
            "quiet",
            "-select_streams",
            "v:0",
            "-show_entries",
            "frame=pts",
            "-of",
        ];
        arguments.extend(["csv=p=0", path.to_str().unwrap()]);
        let output = String::from_utf8(output_of("ffprobe", &arguments)).unwrap();
        let decoded: Vec<i64> = output
            .lines()
            .filter_map(|line| line.trim_end_matches(',').parse().ok())
            .collect();
        let frames: Vec<i64> = clip
            .table
            .frames()
            .iter()
            .map(|frame| frame.presentation.0)
            .collect();
        assert_eq!(frames, decoded, "{}", listed.file());
    }
}

#[test]
fn timescale_size_and_rotation_are_ffprobes() {
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let clip = opened(listed);
        let path = listed.path();
        let arguments = [
            "-v",
            "quiet",
            "-select_streams",
            "v:0",
            "-show_streams",
            "-of",
            "json",
        ];
        let output = output_of("ffprobe", &[&arguments[..], &[path.to_str().unwrap()]].concat());
        let json: serde_json::Value = serde_json::from_slice(&output).unwrap();
        let stream = &json["streams"][0];
        let text = |key: &str| stream[key].as_str().unwrap_or_default().to_owned();
        let scale = clip.table.timescale().ticks_per_second();
        assert_eq!(text("time_base"), format!("1/{scale}"), "{}", listed.file());
        assert_eq!(stream["width"], clip.coded_width, "{}", listed.file());
        assert_eq!(stream["height"], clip.coded_height, "{}", listed.file());
        // ffprobe counts anticlockwise.
        let turned = stream["side_data_list"][0]["rotation"].as_i64().unwrap_or(0);
        assert_eq!(
            (360 - turned) % 360,
            i64::from(clip.rotation_deg),
            "{}",
            listed.file()
        );
        let aspect = format!("{}:{}", clip.pixel_aspect.horizontal, clip.pixel_aspect.vertical);
        let stated = text("sample_aspect_ratio");
        assert_eq!(
            if stated.is_empty() { "1:1" } else { &stated },
            aspect,
            "{}",
            listed.file()
        );
    }
}

#[test]
fn frames_in_decode_order_last_as_long_as_ffprobe_says_the_last_one_included() {
    // ffprobe gives the distance of decoding times, which is the frame's duration only without reordering.
    let mut checked = 0;
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let clip = opened(listed);
        let reordered = listed.value("b_frames").as_bool() == Some(true);
        // In a trimmed clip ffprobe lets the last frame stand until the edit's end, a part of a frame later.
        let trimmed = listed.file().starts_with("trimmed");
        if clip.container.name() != "mp4" || reordered || trimmed {
            continue;
        }
        let packets = packets(&listed.path());
        for frame in clip.table.frames() {
            let packet = packets[frame.sample as usize];
            assert_eq!(
                frame.duration,
                packet.duration,
                "{} at {:?}",
                listed.file(),
                frame.presentation
            );
            checked += 1;
        }
    }
    assert!(checked > 1500, "only {checked} frames were compared");
}
