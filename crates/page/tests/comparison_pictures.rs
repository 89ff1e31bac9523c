//! What the comparison draws, across the boundary in a real browser.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "these are tests, which clippy does not see")]

mod marked;
mod plain;

use js_sys::{Array, JSON, Object, Reflect};
use marked::marked;
use plain::field;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use wetframe_page::{difference_svg, phase_pairs_svg};

wasm_bindgen_test_configure!(run_in_browser);

/// The clip up to the second cycle's end against the rest.
fn sets() -> [JsValue; 2] {
    [(0, 1860), (1800, 4000)].map(|(from, to)| {
        JSON::parse(&format!(
            r#"{{"parts":[{{"clip":1,"from":{from},"to":{to}}}],"breathing":"all"}}"#
        ))
        .unwrap()
    })
}

fn measure(comparison: &JsValue, kind: &str) -> JsValue {
    let measures: Array = field(comparison, "measures").unchecked_into();
    measures
        .iter()
        .find(|measure| field(measure, "kind") == JsValue::from_str(kind) && field(measure, "side").is_null())
        .unwrap()
}

#[wasm_bindgen_test]
fn a_compared_measure_comes_back_as_its_picture() {
    let sitting = marked();
    let [before, after] = sets();
    let comparison = sitting
        .comparison(&before, &after, false, &JsValue::NULL)
        .unwrap();
    let gap = measure(&comparison, "propulsive_gap");
    let style = JSON::parse(r#"{"id_prefix":"gap","width":400}"#).unwrap();
    let svg = difference_svg(&gap, "Propulsive gap", &Object::new(), &style).unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("id=\"gap-title\">Propulsive gap<"));
    // Worked vectors: gaps of 200 and 100 ms in every cycle, so each two-arm cycle has 150 ms.
    assert!(svg.contains("mean 150 ms"));
    let broken = difference_svg(&JsValue::NULL, "x", &Object::new(), &style).unwrap_err();
    assert_eq!(field(&broken, "kind").as_string().unwrap(), "argument_unreadable");
}

#[wasm_bindgen_test]
fn phases_and_the_wheel_of_a_set_come_back_as_pictures() {
    let sitting = marked();
    let [before, after] = sets();
    let comparison = sitting
        .comparison(&before, &after, false, &JsValue::NULL)
        .unwrap();
    let measures = field(&comparison, "measures");
    let svg = phase_pairs_svg(&measures, "left", &Object::new(), "p").unwrap();
    assert!(svg.contains("entry and catch: before 30.0 %"), "{svg}");
    assert!(phase_pairs_svg(&measures, "both", &Object::new(), "p").is_err());
    let gaps = Object::new();
    for side in ["left", "right"] {
        Reflect::set(&gaps, &side.into(), &JsValue::NULL).unwrap();
    }
    let wheel = sitting
        .wheel_of_set_svg(&before, "left", &gaps, &Object::new(), "w")
        .unwrap()
        .unwrap();
    assert!(wheel.contains("mean cycle, n 2"), "{wheel}");
    let nothing = JSON::parse(r#"{"parts":[{"clip":1,"from":0,"to":100}],"breathing":"all"}"#).unwrap();
    let none = sitting
        .wheel_of_set_svg(&nothing, "left", &gaps, &Object::new(), "w")
        .unwrap();
    assert_eq!(none, None);
}
