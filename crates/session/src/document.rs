//! The document: a swimmer, a day, clips and their marks.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use stroke::MarkId;

use crate::{
    ClipId, ClipRecord, ComparisonId, ComparisonRecord, Date, Fault, MarkRecord, Refusal, Remarking,
    RemarkingId, check,
};

/// The swimmer, as the coach wants to name them.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Athlete {
    /// A name, a first name or a number: whatever the coach and the family agreed on; may be empty.
    pub label: String,
    /// Whether the swimmer is under 18; `null` while nobody said.
    pub under_18: Option<bool>,
    /// Who consented to the filming, when, and to what, in the coach's words; may be empty.
    pub consent: String,
}

/// Where the swimmer swam.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Water {
    /// A pool.
    Pool {
        /// Its length, m; above 0.
        length_m: f64,
    },
    /// A flume.
    Flume {
        /// The water's speed, m/s; above 0.
        speed_m_per_s: f64,
    },
}

/// How this coach works with this session.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Keys that differ from the page's own: action → key.
    pub keys: BTreeMap<String, String>,
    /// The coach's own delay between seeing and tapping while the clip plays, ms; `null` until measured.
    pub tap_reaction_ms: Option<f64>,
}

/// One sitting's worth of clips of one swimmer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Document {
    /// Names the session on this device: 1 to 64 ASCII letters, digits, `-` and `_`.
    pub id: String,
    /// The swimmer.
    pub athlete: Athlete,
    /// The day of filming.
    pub date: Date,
    /// The coach's notes.
    pub notes: String,
    /// Where the swimmer swam.
    pub water: Option<Water>,
    /// The clips, in the order in which they were added.
    pub clips: Vec<ClipRecord>,
    /// How the coach works.
    pub settings: Settings,
    /// The id that the next clip gets; above every id in use.
    pub next_clip: ClipId,
    /// The id that the next mark gets; above every id in use.
    pub next_mark: MarkId,
    /// The passages that were marked a second time, blind, in the order in which that was begun.
    #[serde(default)]
    pub remarkings: Vec<Remarking>,
    /// The id that the next second marking gets; above every id in use.
    #[serde(default = "RemarkingId::first")]
    pub next_remarking: RemarkingId,
    /// The comparisons that the coach keeps, in the order in which they were added.
    #[serde(default)]
    pub comparisons: Vec<ComparisonRecord>,
    /// The id that the next comparison gets; above every id in use.
    #[serde(default = "ComparisonId::first")]
    pub next_comparison: ComparisonId,
}

impl Document {
    /// An empty session of that day (`YYYY-MM-DD`).
    ///
    /// # Errors
    /// [`Fault::SessionId`] or [`Fault::NotADate`].
    pub fn new(id: &str, date: &str) -> Result<Self, Refusal> {
        check::session_id(id)?;
        Ok(Self {
            id: id.to_owned(),
            athlete: Athlete::default(),
            date: Date::parse(date)?,
            notes: String::new(),
            water: None,
            clips: Vec::new(),
            settings: Settings::default(),
            next_clip: ClipId(1),
            next_mark: MarkId(1),
            remarkings: Vec::new(),
            next_remarking: RemarkingId::first(),
            comparisons: Vec::new(),
            next_comparison: ComparisonId::first(),
        })
    }

    /// The same session under another id, for a duplicate on the same device.
    ///
    /// # Errors
    /// [`Fault::SessionId`].
    pub fn with_id(mut self, id: &str) -> Result<Self, Refusal> {
        check::session_id(id)?;
        id.clone_into(&mut self.id);
        Ok(self)
    }

    /// The clip of that id.
    #[must_use]
    pub fn clip(&self, id: ClipId) -> Option<&ClipRecord> {
        self.clips.iter().find(|clip| clip.id == id)
    }

    /// The mark of that id and the clip it is on.
    #[must_use]
    pub fn mark(&self, id: MarkId) -> Option<(&ClipRecord, &MarkRecord)> {
        self.clips.iter().find_map(|clip| {
            let mark = clip.marks.iter().find(|mark| mark.id == id)?;
            Some((clip, mark))
        })
    }

    /// How many marks there are in all clips.
    #[must_use]
    pub fn mark_count(&self) -> usize {
        self.clips.iter().map(|clip| clip.marks.len()).sum()
    }

    /// How many questions there are in all second markings.
    #[must_use]
    pub fn remarked_count(&self) -> usize {
        self.remarkings
            .iter()
            .map(|remarking| remarking.earlier.len())
            .sum()
    }

    /// Everything that is wrong, each with its place as a JSON Pointer from this document; empty for every
    /// document that a [`History`](crate::History) has made or a file has given.
    #[must_use]
    pub fn faults(&self) -> Vec<(String, Fault)> {
        check::document(self)
    }
}
