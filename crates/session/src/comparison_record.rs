//! A comparison that the coach keeps: which two sets of cycles, and what was asked. What it says is computed
//! again by `stroke`.

use serde::{Deserialize, Serialize};
use stroke::{Comparison, MeasureKind};

use crate::{CycleSet, Document, Fault, Refusal};

/// Names a comparison within one session, from 1; never used again after it is removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct ComparisonId(pub u32);

impl ComparisonId {
    /// The id of a session's first.
    pub(crate) fn first() -> Self {
        Self(1)
    }
}

/// Two sets of cycles to be compared.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ComparisonRecord {
    /// Its name within the session.
    pub id: ComparisonId,
    /// The coach's word for it; may be empty.
    pub label: String,
    /// The first set.
    pub before: CycleSet,
    /// The second set.
    pub after: CycleSet,
    /// Whether item i of the first set belongs to item i of the second: the parts of the sets, or where each
    /// has a single part its cycles in order.
    pub paired: bool,
    /// What was asked about, each kind once; empty = everything.
    pub kinds: Vec<MeasureKind>,
}

/// A comparison as it is added.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct NewComparison {
    /// As in [`ComparisonRecord`].
    #[serde(default)]
    pub label: String,
    /// As in [`ComparisonRecord`].
    pub before: CycleSet,
    /// As in [`ComparisonRecord`].
    pub after: CycleSet,
    /// As in [`ComparisonRecord`].
    #[serde(default)]
    pub paired: bool,
    /// As in [`ComparisonRecord`]; a kind named twice counts once.
    #[serde(default)]
    pub kinds: Vec<MeasureKind>,
}

impl Document {
    /// The comparison of that id.
    #[must_use]
    pub fn comparison_record(&self, id: ComparisonId) -> Option<&ComparisonRecord> {
        self.comparisons.iter().find(|comparison| comparison.id == id)
    }

    /// What a comparison that is kept says.
    ///
    /// # Errors
    /// [`Fault::UnknownComparison`], and as [`Self::comparison`].
    pub fn kept_comparison(&self, id: ComparisonId) -> Result<Comparison, Refusal> {
        let record = self
            .comparison_record(id)
            .ok_or(Fault::UnknownComparison { comparison: id.0 })?;
        self.comparison(&record.before, &record.after, record.paired, &record.kinds)
    }

    /// What people call it: the coach's label, or its clips' names while there is none.
    #[must_use]
    pub fn comparison_title(&self, record: &ComparisonRecord) -> String {
        if record.label.is_empty() {
            self.title_of_sets(&record.before, &record.after)
        } else {
            record.label.clone()
        }
    }

    /// What a comparison of these sets is called by itself: "before.mp4 / after.mp4".
    #[must_use]
    pub fn title_of_sets(&self, before: &CycleSet, after: &CycleSet) -> String {
        let clips = |set: &CycleSet| {
            let titles = set.parts.iter().filter_map(|part| self.clip(part.clip));
            let mut titles: Vec<&str> = titles.map(crate::ClipRecord::title).collect();
            titles.dedup();
            titles.join(", ")
        };
        format!("{} / {}", clips(before), clips(after))
    }
}
