//! What the filming guide shows, as `stroke` computes it.

use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use plain::to_plain;

/// How far off the propulsive gap may be for each frame rate: rows of `{rate_fps, one_gap_ms, n, mean_gap_ms}`,
/// `mean_gap_ms` over `n` gaps.
///
/// # Errors
/// Never in practice: the rows are plain.
#[wasm_bindgen]
pub fn gap_error_table(rates_fps: &[f64], n: u32) -> Result<JsValue, JsValue> {
    to_plain(&stroke::gap_error_table(rates_fps, n))
}
