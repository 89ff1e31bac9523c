//! The boundary between the page and the crates.
//!
//! It translates and computes nothing: plain data crosses as objects, times as numbers in the clip's ticks
//! (exact up to 2^53), and every failure as an object `{kind, message, hint, severity, place}` that the
//! page shows as it is.

mod comparing;
mod comparison_pictures;
mod filming;
mod marking;
mod plots;
mod remarking;
mod sitting;
mod together;
mod views;
mod visits;

pub use comparing::filming_plan;
pub use comparison_pictures::{difference_svg, phase_pairs_svg};
pub use filming::gap_error_table;
pub use sitting::Sitting;
pub use together::{Together, lay_over};
pub use visits::{Visits, same_swimmer};
use wasm_bindgen::prelude::wasm_bindgen;

/// The version of wetframe that this module was built from.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
