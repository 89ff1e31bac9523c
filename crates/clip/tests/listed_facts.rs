//! Every test clip against what `clips.json` says about it.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use shared::listed;
use wetframe_clip::{ClipWarning, FileSource, read_clip};

#[test]
fn clips_that_open_have_their_listed_facts() {
    for listed in listed().iter().filter(|clip| clip.opens()) {
        let file = listed.file();
        let mut source = FileSource::open(&listed.path()).unwrap();
        let clip = read_clip(&mut source).unwrap_or_else(|error| panic!("{file}: {error}"));
        assert_eq!(
            Some(clip.table.frames().len() as u64),
            listed.number("frames"),
            "{file}"
        );
        assert_eq!(
            Some(u64::from(clip.rotation_deg)),
            listed.number("rotation_deg"),
            "{file}"
        );
        assert_eq!(
            Some(u64::from(clip.coded_width)),
            listed.number("coded_width"),
            "{file}"
        );
        assert_eq!(
            clip.has_audio,
            listed.value("has_audio").as_bool().unwrap_or(false),
            "{file}"
        );
        assert_eq!(
            clip.capture_rate_fps,
            listed.value("capture_rate_fps").as_f64(),
            "{file}"
        );
        let prefix = match listed.value("codec").as_str().unwrap() {
            "h264" => "avc1.",
            "hevc" => "hvc1.",
            "av1" => "av01.",
            "vp9" => "vp09.",
            other => other,
        };
        assert!(
            clip.codec.string.starts_with(prefix),
            "{file}: {}",
            clip.codec.string
        );
        let described = matches!(prefix, "avc1." | "hvc1.");
        assert_eq!(clip.codec.description.is_some(), described, "{file}");
        if file == "truncated.mp4" {
            assert!(
                matches!(clip.warnings[..], [ClipWarning::Truncated { frames: 55, .. }]),
                "{:?}",
                clip.warnings
            );
        } else {
            assert_eq!(clip.warnings, [], "{file}");
        }
        let dropped: Vec<_> = clip
            .table
            .suspected_dropped()
            .iter()
            .map(|gap| (gap.after_frame, gap.missing))
            .collect();
        let expected = match file {
            "missed_frames.mp4" => vec![(19, 1), (44, 3), (69, 1)],
            // Two reordered pictures before the last whole one lie behind the cut.
            "truncated.mp4" => vec![(33, 2)],
            _ => vec![],
        };
        assert_eq!(dropped, expected, "{file}");
    }
}

#[test]
fn clips_that_do_not_open_say_why_and_what_to_do() {
    for listed in listed().iter().filter(|clip| !clip.opens()) {
        let mut source = FileSource::open(&listed.path()).unwrap();
        let error = read_clip(&mut source).unwrap_err();
        assert_eq!(
            Some(error.kind.name()),
            listed.value("error").as_str(),
            "{}: {error}",
            listed.file()
        );
        assert!(error.to_string().len() > 10 && error.hint().ends_with('.'));
    }
}
