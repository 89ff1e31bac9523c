//! Two sets of cycles compared, as `session` and `stroke` compute it.

use session::CycleSet;
use stroke::compare::{FilmingQuestion, plan_filming};
use stroke::{Comparison, MeasureKind};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::sitting::{Sitting, refused};
use plain::{from_plain, to_plain};

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
        to_plain(&self.compared(before, after, paired, kinds)?.1)
    }

    /// The same comparison as CSV (RFC 4180); `title` is what it is called, empty for its clips' names.
    ///
    /// # Errors
    /// As `comparison`.
    pub fn comparison_csv(
        &self,
        title: &str,
        before: &JsValue,
        after: &JsValue,
        paired: bool,
        kinds: &JsValue,
    ) -> Result<String, JsValue> {
        let (usual_title, comparison) = self.compared(before, after, paired, kinds)?;
        let title = if title.is_empty() { &usual_title } else { title };
        session::comparison_csv(title, &comparison).map_err(|refusal| refused(&refusal))
    }

    /// Every comparison that the session keeps as CSV (RFC 4180).
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn comparisons_csv(&self) -> Result<String, JsValue> {
        session::comparisons_csv(self.document()).map_err(|refusal| refused(&refusal))
    }
}

impl Sitting {
    fn compared(
        &self,
        before: &JsValue,
        after: &JsValue,
        paired: bool,
        kinds: &JsValue,
    ) -> Result<(String, Comparison), JsValue> {
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
        Ok((self.document().title_of_sets(&before, &after), comparison))
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
