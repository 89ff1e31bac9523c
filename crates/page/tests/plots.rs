//! What the numbers view draws, across the boundary in a real browser.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "these are tests, which clippy does not see")]

mod marked;
mod plain;

use js_sys::{Array, JSON};
use marked::{CLIP, marked};
use plain::field;
use wasm_bindgen::JsCast;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use wetframe_page::Sitting;

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn the_charts_points_cross_as_plain_data() {
    let plots = marked().plots(1).unwrap();
    let gaps: Array = field(&plots, "gaps").unchecked_into();
    assert!(gaps.length() >= 6);
    let first = gaps.get(0);
    assert_eq!(field(&first, "waiting").as_string().unwrap(), "right");
    assert!((field(&first, "gap_ms.value").as_f64().unwrap() - 200.0).abs() < 1e-6);
    assert!((field(&first, "frames.value").as_f64().unwrap() - 12.0).abs() < 1e-6);
    // No breath is marked: null, as in the session file, and not undefined.
    assert!(field(&first, "breathing").is_null());
    assert_eq!(field(&plots, "phases").unchecked_into::<Array>().length(), 6);
    assert_eq!(field(&plots, "rates").unchecked_into::<Array>().length(), 6);
}

#[wasm_bindgen_test]
fn the_wheel_comes_with_the_pages_words_or_not_at_all() {
    let words = JSON::parse(r#"{"enters":"enters <here>"}"#).unwrap();
    let svg = marked().wheel_svg(1, "right", &words).unwrap().unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("right enters &lt;here&gt;"));
    let mut empty = Sitting::create("s2", "2026-11-20").unwrap();
    empty.apply(&JSON::parse(CLIP).unwrap()).unwrap();
    assert_eq!(empty.wheel_svg(1, "left", &words).unwrap(), None);
}

#[wasm_bindgen_test]
fn what_the_page_asks_wrongly_is_a_trouble() {
    let words = JSON::parse("{}").unwrap();
    for trouble in [
        marked().wheel_svg(1, "up", &words).unwrap_err(),
        marked().wheel_svg(7, "left", &words).unwrap_err(),
        marked().plots(7).unwrap_err(),
    ] {
        assert!(field(&trouble, "message").is_string() && field(&trouble, "kind").is_string());
    }
}
