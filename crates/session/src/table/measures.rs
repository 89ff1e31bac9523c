//! The measures of a session as a table.

use serde::{Deserialize, Serialize};
use stroke::{Analysis, BreathingSplit, Measure, MeasureKind, Side, Unit};

use super::{FreeText, clip_titles, name, written};
use crate::{Document, Fault, Refusal};

/// One measure. The fields are the columns, in this order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MeasureRow {
    /// What the clip is called, as in [`crate::MarkRow`].
    pub clip: FreeText,
    /// The arm; empty for both.
    pub side: Option<Side>,
    /// The cycle, counted from 1 in time order as on the screen; empty for a mean.
    pub cycle: Option<u32>,
    /// Of one cycle: whether a breath is taken in it; of a mean: which strokes it is taken over.
    pub breathing: BreathingSplit,
    /// What is measured.
    pub measure: MeasureKind,
    /// In `unit`; empty where there is none.
    pub value: Option<f64>,
    /// The unit of value and uncertainty.
    pub unit: Unit,
    /// Standard uncertainty (1 SD) in `unit`; empty where there is no value.
    pub uncertainty: Option<f64>,
    /// How many cycles, strokes or breaths the value stands on.
    pub n: u32,
    /// Why there is no value, or why it is in doubt: a stable name, a colon, and the words; else empty.
    pub reason: String,
}

const COLUMNS: [&str; 10] = [
    "clip",
    "side",
    "cycle",
    "breathing",
    "measure",
    "value",
    "unit",
    "uncertainty",
    "n",
    "reason",
];

impl Document {
    /// The measures as rows: clip by clip, in the order of [`stroke::analyse`].
    ///
    /// # Errors
    /// A [`Fault`] where the document breaks a rule; none that was checked does.
    pub fn measure_rows(&self) -> Result<Vec<MeasureRow>, Fault> {
        let mut rows = Vec::new();
        for (clip, title) in self.clips.iter().zip(clip_titles(self)) {
            let analysis = clip.analyse()?;
            rows.extend(
                analysis
                    .measures
                    .iter()
                    .map(|measure| row(&title, measure, &analysis)),
            );
        }
        Ok(rows)
    }
}

fn row(clip: &str, measure: &Measure, analysis: &Analysis) -> MeasureRow {
    MeasureRow {
        clip: FreeText(clip.to_owned()),
        side: measure.side,
        cycle: measure.cycle.map(|index| index.saturating_add(1)),
        breathing: measure.breathing,
        measure: measure.kind,
        value: measure.quantity.map(|quantity| quantity.value),
        unit: measure.kind.unit(),
        uncertainty: measure.quantity.map(|quantity| quantity.uncertainty),
        n: measure.n,
        reason: reason(measure, analysis),
    }
}

fn reason(measure: &Measure, analysis: &Analysis) -> String {
    if let Some(absence) = measure.absence {
        return format!("{}: {}", name(&absence.kind), absence.message());
    }
    let mut words = String::new();
    for flag in &measure.flags {
        let flag = usize::try_from(*flag)
            .ok()
            .and_then(|flag| analysis.flags.get(flag));
        if let Some(flag) = flag {
            words.push_str(if words.is_empty() { "" } else { " " });
            words.push_str(&format!("in_doubt_{}: {}", name(&flag.kind), flag.message));
        }
    }
    words
}

/// The measures as CSV.
///
/// # Errors
/// As [`Document::measure_rows`].
pub fn measures_csv(document: &Document) -> Result<String, Refusal> {
    written(&COLUMNS, document.measure_rows()?.iter())
}
