//! Comparisons as a table.

use serde::{Deserialize, Serialize};
use stroke::compare::{Gate, MeasureComparison, Verdict};
use stroke::{Comparison, MeasureKind, Side, Unit};

use super::{FreeText, name, written};
use crate::{Document, Refusal};

/// One measure of a comparison. The fields are the columns, in this order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ComparisonRow {
    /// What the comparison is called.
    pub comparison: FreeText,
    /// What is measured.
    pub measure: MeasureKind,
    /// The arm; empty for both.
    pub side: Option<Side>,
    /// The unit of every number up to `difference_frame_uncertainty` and of the thresholds.
    pub unit: Unit,
    /// How many values of the first set count.
    pub before_n: u32,
    /// Their mean; empty where there is none.
    pub before_mean: Option<f64>,
    /// Their standard deviation.
    pub before_sd: Option<f64>,
    /// Lower end of the 95 % interval of the mean.
    pub before_low: Option<f64>,
    /// Upper end of it.
    pub before_high: Option<f64>,
    /// Standard uncertainty of the mean from the frames.
    pub before_frame_uncertainty: Option<f64>,
    /// As for the first set.
    pub after_n: u32,
    /// As for the first set.
    pub after_mean: Option<f64>,
    /// As for the first set.
    pub after_sd: Option<f64>,
    /// As for the first set.
    pub after_low: Option<f64>,
    /// As for the first set.
    pub after_high: Option<f64>,
    /// As for the first set.
    pub after_frame_uncertainty: Option<f64>,
    /// After − before.
    pub difference: Option<f64>,
    /// Lower end of its 95 % interval, this measure taken alone.
    pub difference_low: Option<f64>,
    /// Upper end of it.
    pub difference_high: Option<f64>,
    /// Standard uncertainty of the difference from the frames.
    pub difference_frame_uncertainty: Option<f64>,
    /// Welch's t; of paired sets the paired t.
    pub t: Option<f64>,
    /// Its degrees of freedom.
    pub degrees_of_freedom: Option<f64>,
    /// Its two-sided p.
    pub p: Option<f64>,
    /// `p` adjusted for all questions asked at once (Holm).
    pub p_holm: Option<f64>,
    /// Two-sided p of the permutation test.
    pub permutation_p: Option<f64>,
    /// The same, adjusted.
    pub permutation_p_holm: Option<f64>,
    /// How many arrangements were looked at.
    pub arrangements: Option<u32>,
    /// Whether those are all there are.
    pub exact: Option<bool>,
    /// Hedges' g.
    pub hedges_g: Option<f64>,
    /// How many different questions were asked at once.
    pub questions: u32,
    /// Whether the difference is more than the frames explain; empty where that is not known.
    pub beyond_frames: Option<bool>,
    /// What it must exceed for that.
    pub frame_threshold: Option<f64>,
    /// Whether it is more than the coach's own marking explains.
    pub beyond_operator: Option<bool>,
    /// What it must exceed for that.
    pub operator_threshold: Option<f64>,
    /// Whether it is more than the strokes' variation explains.
    pub beyond_strokes: Option<bool>,
    /// What it must exceed for that.
    pub strokes_threshold: Option<f64>,
    /// What may be said.
    pub verdict: Verdict,
    /// The same in a sentence.
    pub sentence: String,
    /// What would settle it; else empty.
    pub settle: String,
    /// Why there is no test: a stable name, a colon, and the words; else empty.
    pub reason: String,
    /// What else differs between the sets: stable names, separated by spaces.
    pub confounders: String,
}

const COLUMNS: [&str; 41] = [
    "comparison",
    "measure",
    "side",
    "unit",
    "before_n",
    "before_mean",
    "before_sd",
    "before_low",
    "before_high",
    "before_frame_uncertainty",
    "after_n",
    "after_mean",
    "after_sd",
    "after_low",
    "after_high",
    "after_frame_uncertainty",
    "difference",
    "difference_low",
    "difference_high",
    "difference_frame_uncertainty",
    "t",
    "degrees_of_freedom",
    "p",
    "p_holm",
    "permutation_p",
    "permutation_p_holm",
    "arrangements",
    "exact",
    "hedges_g",
    "questions",
    "beyond_frames",
    "frame_threshold",
    "beyond_operator",
    "operator_threshold",
    "beyond_strokes",
    "strokes_threshold",
    "verdict",
    "sentence",
    "settle",
    "reason",
    "confounders",
];

/// The comparison's measures as rows, in its order; `title` is what it is called.
#[must_use]
pub fn comparison_rows(title: &str, comparison: &Comparison) -> Vec<ComparisonRow> {
    let confounders: Vec<String> = comparison
        .confounders
        .iter()
        .map(|confounder| name(&confounder.kind))
        .collect();
    let confounders = confounders.join(" ");
    comparison
        .measures
        .iter()
        .map(|measure| row(title, comparison.questions, &confounders, measure))
        .collect()
}

fn row(title: &str, questions: u32, confounders: &str, measure: &MeasureComparison) -> ComparisonRow {
    let (before, after) = (measure.before.as_ref(), measure.after.as_ref());
    let difference = measure.difference.as_ref();
    let end = |interval: Option<[f64; 2]>, place: usize| interval.map(|interval| interval[place]);
    let threshold = |gate: &Gate| gate.threshold;
    ComparisonRow {
        comparison: FreeText(title.to_owned()),
        measure: measure.kind,
        side: measure.side,
        unit: measure.unit,
        before_n: before.map_or(0, |set| set.n),
        before_mean: before.map(|set| set.mean),
        before_sd: before.and_then(|set| set.sd),
        before_low: before.and_then(|set| end(set.interval, 0)),
        before_high: before.and_then(|set| end(set.interval, 1)),
        before_frame_uncertainty: before.map(|set| set.frame_uncertainty),
        after_n: after.map_or(0, |set| set.n),
        after_mean: after.map(|set| set.mean),
        after_sd: after.and_then(|set| set.sd),
        after_low: after.and_then(|set| end(set.interval, 0)),
        after_high: after.and_then(|set| end(set.interval, 1)),
        after_frame_uncertainty: after.map(|set| set.frame_uncertainty),
        difference: difference.map(|difference| difference.value),
        difference_low: difference.and_then(|difference| end(difference.interval, 0)),
        difference_high: difference.and_then(|difference| end(difference.interval, 1)),
        difference_frame_uncertainty: difference.map(|difference| difference.frame_uncertainty),
        t: measure.welch.map(|test| test.t),
        degrees_of_freedom: measure.welch.map(|test| test.degrees_of_freedom),
        p: measure.welch.map(|test| test.p),
        p_holm: measure.welch.map(|test| test.p_holm),
        permutation_p: measure.permutation.map(|test| test.p),
        permutation_p_holm: measure.permutation.map(|test| test.p_holm),
        arrangements: measure.permutation.map(|test| test.arrangements),
        exact: measure.permutation.map(|test| test.exact),
        hedges_g: measure.hedges_g,
        questions,
        beyond_frames: measure.gates.frame.passed,
        frame_threshold: threshold(&measure.gates.frame),
        beyond_operator: measure.gates.operator.passed,
        operator_threshold: threshold(&measure.gates.operator),
        beyond_strokes: measure.gates.strokes.passed,
        strokes_threshold: threshold(&measure.gates.strokes),
        verdict: measure.verdict,
        sentence: measure.sentence.clone(),
        settle: measure.settle.clone().unwrap_or_default(),
        reason: measure
            .absence
            .as_ref()
            .map(|absence| format!("{}: {}", name(&absence.kind), absence.message))
            .unwrap_or_default(),
        confounders: confounders.to_owned(),
    }
}

/// A comparison as CSV; `title` is what it is called.
///
/// # Errors
/// A [`Refusal`] where CSV cannot write a value; it can write all there are.
pub fn comparison_csv(title: &str, comparison: &Comparison) -> Result<String, Refusal> {
    written(&COLUMNS, comparison_rows(title, comparison).iter())
}

/// Every comparison that the session keeps as CSV, one after the other.
///
/// # Errors
/// As [`Document::kept_comparison`].
pub fn comparisons_csv(document: &Document) -> Result<String, Refusal> {
    let mut rows = Vec::new();
    for record in &document.comparisons {
        let comparison = document.kept_comparison(record.id)?;
        rows.extend(comparison_rows(&document.comparison_title(record), &comparison));
    }
    written(&COLUMNS, rows.iter())
}
