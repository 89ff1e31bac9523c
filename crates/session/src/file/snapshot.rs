//! The measures that a file carries for readers that cannot compute them.

use serde::Serialize;
use stroke::Measure;

use crate::{ClipId, Document, Fault};

/// The measures of a session, as one version of the program computed them.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MeasuresSnapshot {
    /// The program that computed them, and its version.
    pub computed_by: String,
    /// The measures of each clip.
    pub clips: Vec<ClipMeasures>,
}

/// The measures of one clip.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ClipMeasures {
    /// Which clip.
    pub clip: ClipId,
    /// The means over cycles, with those that are absent and why.
    pub measures: Vec<Measure>,
}

impl MeasuresSnapshot {
    /// The means of every clip now.
    ///
    /// # Errors
    /// A [`Fault`] where the document breaks a rule; none that was checked does.
    pub fn of(document: &Document, computed_by: &str) -> Result<Self, Fault> {
        let mut clips = Vec::with_capacity(document.clips.len());
        for clip in &document.clips {
            let mut measures = clip.analyse()?.measures;
            measures.retain(|measure| measure.cycle.is_none());
            clips.push(ClipMeasures {
                clip: clip.id,
                measures,
            });
        }
        Ok(Self {
            computed_by: computed_by.to_owned(),
            clips,
        })
    }
}
