//! Two sets of cycles compared, as `session` and `stroke` compute it.

use session::CycleSet;
use stroke::MeasureKind;
use stroke::compare::{FilmingQuestion, plan_filming};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::plain::{from_plain, to_plain};
use crate::sitting::{Sitting, refused};

#[wasm_bindgen]
impl Sitting {
    /// Compares two sets of cycles (`{parts: [{clip, from, to}], breathing}`); a `Comparison`.
    ///
    /// `kinds` lists the kinds of measure that are asked about; `null` or empty for all. Choose them before
    /// looking: the fewer questions, the less each answer needs.
    ///
    /// # Errors
    /// Throws a trouble when a set cannot be read or names a clip that there is not.
    pub fn comparison(
        &self,
        before: &JsValue,
        after: &JsValue,
        paired: bool,
        kinds: &JsValue,
    ) -> Result<JsValue, JsValue> {
        let before: CycleSet = from_plain(before, "the set before")?;
        let after: CycleSet = from_plain(after, "the set after")?;
        let kinds: Option<Vec<MeasureKind>> = if kinds.is_undefined() {
            None
        } else {
            from_plain(kinds, "the kinds of measure")?
        };
        let comparison = self
            .document()
            .comparison(&before, &after, paired, &kinds.unwrap_or_default())
            .map_err(|refusal| refused(&refusal))?;
        to_plain(&comparison)
    }
}

/// How many cycles at each frame rate show a change in the gap: rows of `{frame_rate_fps, cycles, value_sd_s}`
/// for a question `{change_s, stroke_sd_s, own_sem_s, readings, questions}`; what is left out is as usual.
///
/// # Errors
/// Throws a trouble when the question cannot be read.
#[wasm_bindgen]
pub fn filming_plan(question: &JsValue, rates_fps: &[f64]) -> Result<JsValue, JsValue> {
    let question: FilmingQuestion = from_plain(question, "what is to be seen")?;
    to_plain(&plan_filming(&question, rates_fps))
}
