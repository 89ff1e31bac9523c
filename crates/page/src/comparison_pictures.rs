//! What the comparison draws: every cycle with the difference, phases as pairs, the wheel of a set, as `report` makes
//! them.

use report::difference::{DifferenceChart, DifferenceStyle, DifferenceWords};
use report::phase_pairs::{PhasePairWords, PhasePairs};
use report::wheel::{GapLabel, Wheel, WheelStyle, WheelWords};
use session::CycleSet;
use stroke::Side;
use stroke::compare::{MeasureComparison, Selection, SetValues};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::Sitting;
use plain::{arm_named, from_plain};

/// A measure of a comparison as an `<svg>` element in text: every cycle before and after, and the difference.
///
/// `measure` is a `MeasureComparison`, `name` what the page calls it, `words` those that the picture writes, `style`
/// `{id_prefix, width}`.
///
/// # Errors
/// Throws a trouble when one of them cannot be read.
#[wasm_bindgen]
pub fn difference_svg(
    measure: &JsValue,
    name: &str,
    words: &JsValue,
    style: &JsValue,
) -> Result<String, JsValue> {
    let measure: MeasureComparison = from_plain(measure, "the compared measure")?;
    let words: DifferenceWords = from_plain(words, "the picture's words")?;
    let style: DifferenceStyle = from_plain(style, "the picture's style")?;
    Ok(report::difference::svg_of(
        &DifferenceChart::of(&measure, name),
        &words,
        &style,
    ))
}

/// The phases of one arm (`"left"`, `"right"`) before and after as an `<svg>` element in text; `measures` are those
/// of a comparison, of which the shares of the four phases are drawn.
///
/// # Errors
/// Throws a trouble when something cannot be read.
#[wasm_bindgen]
pub fn phase_pairs_svg(
    measures: &JsValue,
    side: &str,
    words: &JsValue,
    id_prefix: &str,
) -> Result<String, JsValue> {
    let measures: Vec<MeasureComparison> = from_plain(measures, "the compared measures")?;
    let words: PhasePairWords = from_plain(words, "the picture's words")?;
    let pairs = PhasePairs::of(&measures, Some(arm_named(side)?));
    Ok(report::phase_pairs::svg_of(&pairs, &words, id_prefix))
}

/// The mean gaps of a set, each until that arm's catch.
#[derive(serde::Deserialize)]
struct WaitingGaps {
    left: Option<SetValues>,
    right: Option<SetValues>,
}

impl WaitingGaps {
    fn labels(&self) -> Vec<GapLabel> {
        [(Side::Left, &self.left), (Side::Right, &self.right)]
            .into_iter()
            .filter_map(|(waiting, gap)| Some((waiting, gap.as_ref()?)))
            .map(|(waiting, gap)| GapLabel {
                waiting,
                value_ms: gap.mean * 1000.0,
                uncertainty_ms: gap.frame_uncertainty * 1000.0,
            })
            .collect()
    }
}

#[wasm_bindgen]
impl Sitting {
    /// The stroke wheel of a set of cycles as an `<svg>` element in text; `undefined` while the near arm (`"left"`
    /// or `"right"`) has no complete cycle with all its phases in it. `gaps` are the set's gaps until the catch of
    /// each arm, `{left, right}`, each a `SetValues` of a comparison or `null`.
    ///
    /// # Errors
    /// Throws a trouble when the set or the words cannot be read, or the set names a clip that there is not.
    pub fn wheel_of_set_svg(
        &self,
        set: &JsValue,
        near: &str,
        gaps: &JsValue,
        words: &JsValue,
        id_prefix: &str,
    ) -> Result<Option<String>, JsValue> {
        let near = arm_named(near)?;
        let set: CycleSet = from_plain(set, "the set of cycles")?;
        let gaps: WaitingGaps = from_plain(gaps, "the set's gaps")?;
        let words: WheelWords = from_plain(words, "the wheel's words")?;
        let mut parts = Vec::with_capacity(set.parts.len());
        for part in &set.parts {
            let selection = Selection {
                from: part.from,
                to: part.to,
                breathing: set.breathing,
            };
            parts.push((self.analysis(self.clip(part.clip.0)?)?, selection));
        }
        let wheel = Wheel::of_set(
            parts
                .iter()
                .map(|(analysis, selection)| (analysis.as_ref(), *selection)),
            near,
            gaps.labels(),
        );
        let style = WheelStyle {
            id_prefix: id_prefix.to_owned(),
            ..WheelStyle::default()
        };
        Ok(wheel.map(|wheel| report::wheel::svg_of(&wheel, &words, &style)))
    }
}
