//! Which cycles a comparison takes: parts of clips, and which of their strokes.

use serde::{Deserialize, Serialize};
use stroke::compare::{Conditions, Selection};
use stroke::{BreathingSplit, CompareOptions, Comparison, MeasureKind, SelectedCycles, compare};
use time::Ticks;

use crate::words::{aid_words, kick_words, view_words};
use crate::{ClipId, ClipRecord, Document, Fault, Refusal, check};

/// Draws the arrangements of permutation tests: any number will do, always the same gives the same p.
const SEED: u64 = 20_261_125;

/// A set of cycles.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CycleSet {
    /// Where they are, in the order in which they were swum.
    pub parts: Vec<CyclePart>,
    /// Which strokes.
    #[serde(default = "all_strokes")]
    pub breathing: BreathingSplit,
}

/// A stretch of a clip; a cycle belongs to it when it lies wholly inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CyclePart {
    /// Which clip.
    pub clip: ClipId,
    /// From which time on, in the clip's ticks; `null`: from its start.
    #[serde(default)]
    pub from: Option<Ticks>,
    /// Up to which time, in the clip's ticks; `null`: to its end.
    #[serde(default)]
    pub to: Option<Ticks>,
}

fn all_strokes() -> BreathingSplit {
    BreathingSplit::All
}

impl CycleSet {
    /// All cycles of one clip.
    #[must_use]
    pub fn of_clip(clip: ClipId) -> Self {
        Self {
            parts: vec![CyclePart {
                clip,
                from: None,
                to: None,
            }],
            breathing: BreathingSplit::All,
        }
    }
}

impl Document {
    /// The cycles of the set with everything that is measured of them.
    ///
    /// # Errors
    /// [`Fault::UnknownClip`] and the other rules of a set.
    pub fn selected_cycles(&self, set: &CycleSet) -> Result<Vec<SelectedCycles>, Refusal> {
        check::cycle_set(self, set)?;
        let mut selected = Vec::with_capacity(set.parts.len());
        for part in &set.parts {
            selected.push(self.part_of(set, part, part.clip.0, &self.athlete.label)?);
        }
        Ok(selected)
    }

    /// One part of a set, its clip under the number `name`: those of two sessions must not be taken for one; the
    /// swimmer under the label `athlete`: two spellings must not be taken for two.
    pub(crate) fn part_of(
        &self,
        set: &CycleSet,
        part: &CyclePart,
        name: u32,
        athlete: &str,
    ) -> Result<SelectedCycles, Fault> {
        let clip = self
            .clip(part.clip)
            .ok_or(Fault::UnknownClip { clip: part.clip.0 })?;
        let clock = clip.checked_clock()?;
        let marks = clip.stroke_marks();
        let selection = Selection {
            from: part.from,
            to: part.to,
            breathing: set.breathing,
        };
        let passage = clip.passage(&clock, &marks);
        Ok(SelectedCycles::of(
            name,
            &passage,
            selection,
            self.conditions(clip, athlete),
        ))
    }

    /// Compares two sets of cycles; `kinds` empty compares everything.
    ///
    /// # Errors
    /// As [`Self::selected_cycles`].
    pub fn comparison(
        &self,
        before: &CycleSet,
        after: &CycleSet,
        paired: bool,
        kinds: &[MeasureKind],
    ) -> Result<Comparison, Refusal> {
        self.compared(
            &self.selected_cycles(before)?,
            &self.selected_cycles(after)?,
            paired,
            kinds,
        )
    }

    /// Compares what was selected, with what this session knows of the coach's own marking.
    pub(crate) fn compared(
        &self,
        before: &[SelectedCycles],
        after: &[SelectedCycles],
        paired: bool,
        kinds: &[MeasureKind],
    ) -> Result<Comparison, Refusal> {
        let repeatability = self.repeatability()?;
        let options = CompareOptions {
            paired,
            repeatability: repeatability.is_known().then_some(&repeatability),
            seed: SEED,
            kinds,
        };
        Ok(compare(before, after, &options))
    }

    fn conditions(&self, clip: &ClipRecord, athlete: &str) -> Conditions {
        Conditions {
            athlete: athlete.to_owned(),
            date: Some(self.date.to_string()),
            view: clip.view.map(|view| view_words(view).to_owned()),
            kick: clip.kick.map(|kick| kick_words(kick).to_owned()),
            aids: clip.aids.iter().map(|aid| aid_words(*aid).to_owned()).collect(),
        }
    }
}
