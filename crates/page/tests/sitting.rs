//! The boundary as the page uses it, in a real browser: objects in, objects out, failures as objects.
#![cfg(target_arch = "wasm32")]
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "these are tests, which clippy does not see"
)]

mod plain;

use js_sys::{JSON, Reflect};
use plain::{field, object, text};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use wetframe_page::{Sitting, gap_error_table};

wasm_bindgen_test_configure!(run_in_browser);

const CLIP: &str = r#"{"command":"add_clip","clip":{
    "name":"lane 4.mp4","size_bytes":1000,"fingerprint":"ab12","container":"mp4","codec":"avc1.64001F",
    "width":1280,"height":720,"rotation_deg":0,"timescale":600,"frame_times":{"first":0,"runs":[[600,10]]},
    "capture_rate_fps":null}}"#;

fn mark(kind: &str, side: &str, time: u32) -> JsValue {
    object(&format!(
        r#"{{"command":"add_mark","clip":1,"kind":"{kind}","side":"{side}","time":{time},"proof":"decoded"}}"#
    ))
}

/// One arm at 60 fps with the shares of the first worked example of METHODS.md: T 1.50 s; entry 0, catch
/// 0.45, mid-pull 0.80, exit 1.05 s.
fn marked() -> Sitting {
    let mut sitting = Sitting::create("s1", "2026-11-20").unwrap();
    sitting.apply(&object(CLIP)).unwrap();
    for cycle in 0..3 {
        for (kind, time) in [("entry", 0), ("catch", 270), ("mid_pull", 480), ("exit", 630)] {
            sitting.apply(&mark(kind, "left", cycle * 900 + time)).unwrap();
        }
    }
    sitting
}

fn mean(measures: &JsValue, kind: &str) -> JsValue {
    measures
        .unchecked_ref::<js_sys::Array>()
        .iter()
        .find(|measure| {
            text(measure, "kind") == kind
                && field(measure, "cycle").is_null()
                && text(measure, "breathing") == "all"
        })
        .unwrap_or_else(|| panic!("no mean {kind}"))
}

#[wasm_bindgen_test]
fn marks_go_in_and_a_rate_with_its_uncertainty_comes_out() {
    let sitting = marked();
    let rate = mean(&sitting.measures(1).unwrap(), "stroke_rate");
    assert_eq!(text(&rate, "quantity.unit"), "strokes/min");
    assert!((field(&rate, "quantity.value").as_f64().unwrap() - 80.0).abs() < 1e-9);
    assert!(field(&rate, "quantity.uncertainty").as_f64().unwrap() > 0.0);
    assert!(field(&rate, "absence").is_null());
}

#[wasm_bindgen_test]
fn the_now_view_tells_the_cycle_under_the_playhead() {
    let now = marked().now_view(1, 1_000.0).unwrap();
    assert_eq!(field(&now, "left_cycle").as_f64(), Some(1.0));
    assert!(field(&now, "right_cycle").is_null());
}

#[wasm_bindgen_test]
fn the_marking_view_names_each_marks_frame() {
    let view = marked().marking_view(1).unwrap();
    let marks: js_sys::Array = field(&view, "marks").unchecked_into();
    assert_eq!(marks.length(), 12);
    assert_eq!(field(&marks.get(1), "frame").as_f64(), Some(27.0));
    assert_eq!(text(&marks.get(1), "kind"), "catch");
}

#[wasm_bindgen_test]
fn a_mark_between_frames_is_refused_with_words_and_changes_nothing() {
    let mut sitting = marked();
    let thrown = sitting.apply(&mark("entry", "right", 7)).unwrap_err();
    assert!(!text(&thrown, "kind").is_empty());
    assert!(
        text(&thrown, "message").contains("frame"),
        "{}",
        text(&thrown, "message")
    );
    assert_eq!(
        field(&sitting.session_view().unwrap(), "clips.0.marks_count").as_f64(),
        Some(12.0)
    );
}

#[wasm_bindgen_test]
fn the_journal_gives_the_sitting_again_with_its_undo() {
    let mut sitting = Sitting::create("s1", "2026-11-20").unwrap();
    let mut lines = Vec::new();
    let mut keep = |applied: JsValue| lines.push(text(&applied, "journal_line"));
    keep(sitting.apply(&object(CLIP)).unwrap());
    keep(sitting.apply(&mark("entry", "left", 0)).unwrap());
    keep(sitting.apply(&mark("catch", "left", 270)).unwrap());
    keep(sitting.undo().unwrap());

    let mut again = Sitting::replay(&sitting.base_json(), lines).unwrap();
    assert_eq!(again.to_file().unwrap(), sitting.to_file().unwrap());
    again.redo().unwrap();
    assert_eq!(
        field(&again.session_view().unwrap(), "clips.0.marks_count").as_f64(),
        Some(2.0)
    );
}

/// The kept base with a field of it changed, as text.
fn changed_base(sitting: &Sitting, name: &str, value: &JsValue) -> String {
    let base = object(&sitting.base_json());
    Reflect::set(&base, &name.into(), value).unwrap();
    String::from(JSON::stringify(&base).unwrap())
}

#[wasm_bindgen_test]
fn what_a_newer_page_kept_is_refused_in_the_words_of_a_file() {
    let newer = changed_base(&marked(), "version", &99.into());
    let thrown = Sitting::replay(&newer, Vec::new()).map(|_| ()).unwrap_err();
    assert_eq!(text(&thrown, "kind"), "file_newer_version");
    assert!(text(&thrown, "message").contains("version 99"));
    assert!(text(&thrown, "hint").contains("Reload"));
}

#[wasm_bindgen_test]
fn a_journal_that_a_newer_page_wrote_on_is_refused_in_the_words_of_a_file() {
    let sitting = Sitting::create("s1", "2026-11-20").unwrap();
    let line = r#"{"do":"apply","line":1,"version":99,"command":{"command":"add_something_new"}}"#;
    let thrown = Sitting::replay(&sitting.base_json(), vec![line.into()])
        .map(|_| ())
        .unwrap_err();
    assert_eq!(text(&thrown, "kind"), "file_newer_version");
    assert!(text(&thrown, "message").contains("version 99"));
    assert!(text(&thrown, "hint").contains("Reload"));
}

#[wasm_bindgen_test]
fn the_bare_document_that_an_older_page_kept_opens_with_its_journal() {
    let mut sitting = Sitting::create("s1", "2026-11-20").unwrap();
    let line = text(&sitting.apply(&object(CLIP)).unwrap(), "journal_line");
    let bare = String::from(JSON::stringify(&field(&object(&sitting.base_json()), "session")).unwrap());
    let again = Sitting::replay(&bare, vec![line]).unwrap();
    assert_eq!(again.to_file().unwrap(), sitting.to_file().unwrap());
}

#[wasm_bindgen_test]
fn a_base_under_another_id_gives_a_copy_with_its_history() {
    let sitting = Sitting::create("s1", "2026-11-20").unwrap();
    let copy = Sitting::replay(&sitting.base_json_under("s2").unwrap(), Vec::new()).unwrap();
    assert_eq!(text(&copy.session_view().unwrap(), "id"), "s2");
    assert_eq!(text(&sitting.session_view().unwrap(), "id"), "s1");
}

#[wasm_bindgen_test]
fn after_a_key_the_page_is_told_only_what_changed() {
    let mut sitting = marked();
    let first = sitting.marking_news(1, 0).unwrap();
    assert!(field(&first, "changes").is_null());
    sitting.apply(&mark("downbeat", "left", 300)).unwrap();
    let version = field(&first, "version").as_f64().unwrap() as u32;
    let news = sitting.marking_news(1, version).unwrap();
    assert!(field(&news, "whole").is_null());
    let added: js_sys::Array = field(&news, "changes.marks.added").unchecked_into();
    assert_eq!(added.length(), 1);
    assert!(field(&news, "changes.drive").is_null());
    assert!(field(&sitting.marking_news(1, version).unwrap(), "changes").is_null());
}

#[wasm_bindgen_test]
fn a_saved_file_opens_as_the_same_session() {
    let file = marked().to_file().unwrap();
    let opened = Sitting::open_file(&file, "mara.wetframe").unwrap();
    assert_eq!(opened.to_file().unwrap(), file);
}

#[wasm_bindgen_test]
fn a_file_that_is_no_session_is_refused_by_name() {
    let thrown = Sitting::open_file(b"not json", "holiday.txt").err().unwrap();
    assert!(
        text(&thrown, "message").contains("holiday.txt"),
        "{}",
        text(&thrown, "message")
    );
    assert!(!text(&thrown, "hint").is_empty());
}

/// 1/(fps·√6): the gap's standard uncertainty for one gap (derived; METHODS.md, "Uncertainty").
#[wasm_bindgen_test]
fn the_filming_guide_gets_its_errors_from_stroke() {
    let rows: js_sys::Array = gap_error_table(&[30.0, 120.0], 10).unwrap().unchecked_into();
    assert!((field(&rows.get(0), "one_gap_ms").as_f64().unwrap() - 13.608).abs() < 1e-3);
    assert!((field(&rows.get(1), "one_gap_ms").as_f64().unwrap() - 3.402).abs() < 1e-3);
}

#[wasm_bindgen_test]
fn the_guided_pass_asks_for_an_event_that_is_not_marked_yet() {
    let sitting = marked();
    let step = sitting.guided_step(1, &JsValue::NULL, &object("[]")).unwrap();
    // The entries so far, 900 ticks apart, put the next at 2700: frame 270.
    assert_eq!(text(&step, "kind"), "entry");
    assert_eq!(text(&step, "side"), "left");
    assert_eq!(field(&step, "frame").as_f64(), Some(270.0));
    let skipped = object(&format!("[{}]", JSON::stringify(&field(&step, "id")).unwrap()));
    let next = sitting.guided_step(1, &JsValue::NULL, &skipped).unwrap();
    assert_ne!(
        JSON::stringify(&field(&next, "id")).unwrap(),
        JSON::stringify(&field(&step, "id")).unwrap()
    );
}

#[wasm_bindgen_test]
fn a_second_marking_goes_from_question_to_repeatability_and_holds_no_earlier_time() {
    let mut sitting = marked();
    let unknown = sitting.repeatability().unwrap();
    assert_eq!(field(&unknown, "known"), JsValue::FALSE);
    assert_eq!(field(&unknown, "passes"), 0);
    sitting
        .apply(&object(r#"{"command":"add_remarking","clip":1}"#))
        .unwrap();
    let begun = field(&sitting.remarkings(1).unwrap(), "0");
    assert_eq!(field(&begun, "of"), 12);
    assert_eq!(field(&begun, "earlier"), JsValue::UNDEFINED);
    for done in 0..12 {
        let pass = sitting.remark_pass(1).unwrap();
        assert_eq!(field(&pass, "step.done"), done);
        let asked = field(&pass, "step.asked").as_f64().unwrap();
        let time = 10 * done;
        sitting
            .apply(&object(&format!(
                r#"{{"command":"add_remark","remarking":1,"asked":{asked},"time":{time},"proof":"decoded"}}"#
            )))
            .unwrap();
    }
    let pass = sitting.remark_pass(1).unwrap();
    assert_eq!(field(&pass, "step"), JsValue::NULL);
    assert_eq!(field(&pass, "marked"), 12);
    sitting
        .apply(&object(r#"{"command":"finish_remarking","remarking":1}"#))
        .unwrap();
    let known = sitting.repeatability().unwrap();
    assert_eq!(field(&known, "passes"), 1);
    assert_eq!(text(&known, "per_mark.0.kind"), "entry");
    assert_eq!(field(&known, "per_mark.0.too_few.needed"), 6);
    assert!(text(&known, "sentences.0").starts_with("Too few marks"));
    assert!(sitting.remarks_csv().unwrap().starts_with("clip,remarking,"));
    assert!(sitting.repeatability_csv().unwrap().contains("mark,entry,"));
    let refused = sitting.remark_pass(9).unwrap_err();
    assert_eq!(text(&refused, "kind"), "unknown_remarking");
}
