//! What the numbers view draws beside figures: the charts' points and the stroke wheel, as `report` makes them.

use report::plot::plots_of;
use report::wheel::{Wheel, WheelStyle, WheelWords, svg_of};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::Sitting;
use crate::sitting::clock_of;
use plain::{arm_named, from_plain, to_plain};

#[wasm_bindgen]
impl Sitting {
    /// The points of a clip's charts: `{gaps, phases, rates}`, each in time order.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn plots(&self, clip: u32) -> Result<JsValue, JsValue> {
        let clip = self.clip(clip)?;
        to_plain(&plots_of(self.analysis(clip)?.as_ref(), &clock_of(clip)?))
    }

    /// A clip's stroke wheel as an `<svg>` element in text; `undefined` while the near arm (`"left"` or
    /// `"right"`, its entry is at twelve o'clock) has no complete cycle with all its phases. `words` are those
    /// that the picture writes.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip or side, or the words cannot be read.
    pub fn wheel_svg(&self, clip: u32, near: &str, words: &JsValue) -> Result<Option<String>, JsValue> {
        let near = arm_named(near)?;
        let words: WheelWords = from_plain(words, "the wheel's words")?;
        let clip = self.clip(clip)?;
        let wheel = Wheel::of(self.analysis(clip)?.as_ref(), near);
        Ok(wheel.map(|wheel| svg_of(&wheel, &words, &WheelStyle::default())))
    }
}
