//! Plain JavaScript data as tests write and read it.
#![allow(dead_code, reason = "each test file uses a part")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use js_sys::{JSON, Reflect};
use wasm_bindgen::JsValue;

/// The value that a JSON text stands for.
pub fn object(json: &str) -> JsValue {
    JSON::parse(json).unwrap()
}

/// What lies at a path, `"measures.0.kind"`.
pub fn field(of: &JsValue, path: &str) -> JsValue {
    path.split('.').fold(of.clone(), |value, name| {
        Reflect::get(&value, &name.into()).unwrap()
    })
}

/// The text at a path.
pub fn text(of: &JsValue, path: &str) -> String {
    field(of, path)
        .as_string()
        .unwrap_or_else(|| panic!("{path} is no text"))
}

/// The number at a path.
pub fn number(of: &JsValue, path: &str) -> f64 {
    field(of, path)
        .as_f64()
        .unwrap_or_else(|| panic!("{path} is no number"))
}
