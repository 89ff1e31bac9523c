//! Which file is the clip that was marked.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::{Value, json};
use support::flume_session;
use wetframe_session::{ClipFacts, Relink, find_clip, match_clip};

/// The facts of the first clip, as the page gives them, with some of them changed.
fn facts(change: &Value) -> ClipFacts {
    let mut facts = serde_json::to_value(&flume_session().clips[0]).unwrap();
    for (name, value) in change.as_object().unwrap() {
        facts[name] = value.clone();
    }
    serde_json::from_value(facts).unwrap()
}

#[track_caller]
fn words(change: &Value) -> String {
    match match_clip(&flume_session().clips[0], &facts(change)) {
        Relink::Match { .. } => "match".into(),
        Relink::Differs { trouble, .. } => {
            assert_eq!(
                (trouble.kind.as_str(), trouble.place.clip),
                ("clip_differs", Some(1))
            );
            trouble.message
        }
    }
}

#[test]
fn the_same_clip_matches_under_any_name() {
    let clip = &flume_session().clips[0];
    assert_eq!(
        match_clip(clip, &facts(&json!({}))),
        Relink::Match { renamed: false }
    );
    assert_eq!(
        match_clip(clip, &facts(&json!({"name": "copy.MOV"}))),
        Relink::Match { renamed: true }
    );
}

#[test]
fn another_file_is_refused_by_name_with_what_differs() {
    assert_eq!(
        words(&json!({
            "name": "other.MOV", "fingerprint": "77", "size_bytes": 99, "width": 640, "height": 360,
            "frame_times": {"first": 0, "runs": [[240, 3000]]},
        })),
        "“other.MOV” is not the clip “IMG_0411.MOV” that was marked: it has 99 bytes, not 2480113; its picture is \
         640 × 360 pixels, not 1280 × 720; it has 240 frames, not 300; it plays at 30.00 frames/s, not 60.00; \
         it lasts 8.000 s, not 5.017 s"
    );
    assert_eq!(
        words(&json!({"fingerprint": "77"})),
        "this “IMG_0411.MOV” is not the clip that was marked: its size and its frames are the same, but not its content"
    );
    assert_eq!(
        words(
            &json!({"fingerprint": "77", "frame_times": {"first": 0, "runs": [[294, 1500], [1, 3000], [5, 1500]]}})
        ),
        "this “IMG_0411.MOV” is not the clip that was marked: its frames stand at other times"
    );
}

#[test]
fn the_session_finds_the_clip_that_a_file_is() {
    let session = flume_session();
    assert_eq!(find_clip(&session, &facts(&json!({}))).map(|id| id.0), Some(1));
    assert_eq!(find_clip(&session, &facts(&json!({"fingerprint": "77"}))), None);
}

#[test]
fn the_summary_says_how_far_each_clip_is() {
    let summary = serde_json::to_value(flume_session().summary()).unwrap();
    assert_eq!(
        summary,
        json!({
            "id": "flume-morning", "athlete_label": "Mara", "date": "2026-03-14", "cycles_marked": 4, "marks": 50,
            "clips": [
                {"id": 1, "name": "IMG_0411.MOV", "label": "before", "cycles_marked": 2, "marks": 26},
                {"id": 2, "name": "IMG_0412.MOV", "label": "after", "cycles_marked": 2, "marks": 24},
            ],
        })
    );
}
