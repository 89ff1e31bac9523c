//! Two clips together across the boundary: plain objects in, moments out, refusals as objects.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "these are tests, which clippy does not see")]

mod plain;

use plain::{number, object, text};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use wetframe_page::{Sitting, lay_over};

wasm_bindgen_test_configure!(run_in_browser);

/// Two clips, 60 and 30 frames/s, with one left cycle each: the first worked example of METHODS.md (entry 0, catch
/// 0.45, mid-pull 0.80, exit 1.05, next entry 1.50 s), the second twice as slow and without its mid-pull.
fn marked() -> Sitting {
    let mut sitting = Sitting::create("s1", "2026-11-20").unwrap();
    for (name, frames) in [("before.mp4", "[[300,10]]"), ("after.mp4", "[[300,20]]")] {
        let clip = format!(
            r#"{{"command":"add_clip","clip":{{"name":"{name}","size_bytes":1000,"fingerprint":"{name}","container":"mp4",
            "codec":"avc1.64001F","width":1280,"height":720,"rotation_deg":0,"timescale":600,
            "frame_times":{{"first":0,"runs":{frames}}},"capture_rate_fps":null}}}}"#
        );
        sitting.apply(&object(&clip)).unwrap();
    }
    let events = [
        ("entry", 0),
        ("catch", 270),
        ("mid_pull", 480),
        ("exit", 630),
        ("entry", 900),
    ];
    for (clip, slower) in [(1, 1), (2, 2)] {
        for (kind, time) in events {
            if clip == 2 && kind == "mid_pull" {
                continue;
            }
            let mark = format!(
                r#"{{"command":"add_mark","clip":{clip},"kind":"{kind}","side":"left","time":{},"proof":"decoded"}}"#,
                time * slower
            );
            sitting.apply(&object(&mark)).unwrap();
        }
    }
    sitting
}

const ONE_OF_EACH: &str =
    r#"{"lock":{"by":"phase","side":"left","cycles":{"run":"one","cycles":[0,0]}},"driving":null}"#;

#[wasm_bindgen_test]
fn a_phase_map_tells_its_cycles_and_what_is_not_marked() {
    let map = marked().phase_map(2, "left").unwrap();
    assert_eq!(text(&map, "side"), "left");
    assert_eq!(number(&map, "cycles.0.end"), 1800.0);
    assert_eq!(text(&map, "cycles.0.interpolated.0"), "mid_pull");
    assert!(marked().phase_map(2, "both").is_err());
}

#[wasm_bindgen_test]
fn the_same_phase_is_another_frame_of_each_clip() {
    let together = marked().together(1, 2, &object(ONE_OF_EACH)).unwrap();
    let facts = together.facts().unwrap();
    // 1.5 s at 60 frames/s, 3 s at 30: equally many, so the first drives.
    assert_eq!(
        (text(&facts, "driving").as_str(), number(&facts, "places")),
        ("first", 90.0)
    );
    let moment = together.at_position(1.0).unwrap();
    assert_eq!(text(&moment, "phase"), "pull");
    assert_eq!(
        (
            number(&moment, "frames.0.frame"),
            number(&moment, "frames.1.frame")
        ),
        (27.0, 27.0)
    );
    // Mid-pull of the second is taken halfway from catch to exit: 900 ticks, frame 45; of the first it is frame 48.
    let moment = together.at_position(2.0).unwrap();
    assert_eq!(
        (
            number(&moment, "frames.0.frame"),
            number(&moment, "frames.1.frame")
        ),
        (48.0, 45.0)
    );
    let moment = together.at_place(1e9).unwrap();
    assert_eq!(number(&moment, "place"), 89.0);
    assert!(together.playing(0.0, 2.0, false).unwrap().is_null());
    assert_eq!(number(&together.playing(0.0, 2.0, true).unwrap(), "place"), 30.0);
}

#[wasm_bindgen_test]
fn a_cycle_that_is_not_there_is_refused_with_words() {
    let choice = ONE_OF_EACH.replace("[0,0]", "[0,7]");
    let thrown = marked().together(1, 2, &object(&choice)).err().unwrap();
    assert_eq!(text(&thrown, "kind"), "unknown_cycle");
    assert!(
        text(&thrown, "message").contains("second clip"),
        "{}",
        text(&thrown, "message")
    );
    assert!(!text(&thrown, "hint").is_empty());
}

#[wasm_bindgen_test]
fn pictures_are_fitted_or_laid_by_points_and_points_too_near_are_refused() {
    let pictures = |upper: &str, lower: &str| {
        object(&format!(
            r#"{{"upper_size":[640,360],"lower_size":[1280,720],"upper":{upper},"lower":{lower}}}"#
        ))
    };
    let fitted = lay_over(&pictures("null", "null")).unwrap();
    assert_eq!((number(&fitted, "scale"), number(&fitted, "right")), (2.0, 0.0));
    let lower = r#"[{"x":100,"y":100},{"x":500,"y":100}]"#;
    let laid = lay_over(&pictures(r#"[{"x":100,"y":50},{"x":300,"y":50}]"#, lower)).unwrap();
    assert_eq!((number(&laid, "scale"), number(&laid, "right")), (2.0, -100.0));
    let thrown = lay_over(&pictures(r#"[{"x":1,"y":1},{"x":3,"y":1}]"#, lower)).unwrap_err();
    assert_eq!(text(&thrown, "kind"), "points_too_near");
}
