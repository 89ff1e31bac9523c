//! Changes of the editable fields: a field that is left out stays, `null` clears one that may be empty.

use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, Serialize};
use stroke::{MeasureKind, Speed};

use crate::{Aid, CycleSet, Kick, View, Water};

/// Tells `null` (clear it) from a field that is left out (keep it).
fn given<'de, T, D>(deserializer: D) -> Result<Option<T>, D::Error>
where
    T: Deserialize<'de>,
    D: Deserializer<'de>,
{
    T::deserialize(deserializer).map(Some)
}

/// What the coach may change of a clip.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ClipChange {
    /// The file's name, after the same clip was opened under another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The coach's word for the clip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// The filmed rate, frames/s.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub filmed_rate_fps: Option<Option<f64>>,
    /// Where the camera stood.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub view: Option<Option<View>>,
    /// Whether the swimmer kicked.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub kick: Option<Option<Kick>>,
    /// What the swimmer wore or held; the whole list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub aids: Option<Vec<Aid>>,
    /// How fast the swimmer went.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub speed: Option<Option<Speed>>,
    /// The notes on the clip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
    /// The duplicated frames that were found; the whole list.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub duplicated_frames: Option<Option<Vec<u32>>>,
}

/// What the coach may change of a comparison.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ComparisonChange {
    /// The coach's word for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// The first set; the whole of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<CycleSet>,
    /// The second set; the whole of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<CycleSet>,
    /// Whether items of the two sets are paired.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub paired: Option<bool>,
    /// What is asked about; the whole list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kinds: Option<Vec<MeasureKind>>,
}

/// What the coach may change of the session itself.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SessionChange {
    /// The swimmer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub athlete: Option<AthleteChange>,
    /// The day of filming, `YYYY-MM-DD`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// The notes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
    /// Where the swimmer swam.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub water: Option<Option<Water>>,
    /// How the coach works.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settings: Option<SettingsChange>,
}

/// What may change of the swimmer.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct AthleteChange {
    /// The swimmer's label.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// Whether the swimmer is under 18.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub under_18: Option<Option<bool>>,
    /// The words on consent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub consent: Option<String>,
}

/// What may change of the settings.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SettingsChange {
    /// Keys that differ from the page's own; the whole map.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keys: Option<BTreeMap<String, String>>,
    /// The coach's own delay between seeing and tapping, ms.
    #[serde(deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub tap_reaction_ms: Option<Option<f64>>,
}
