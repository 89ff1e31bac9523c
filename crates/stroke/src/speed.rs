//! How fast the swimmer goes through the water, as the coach states it.

use serde::{Deserialize, Serialize};

/// Where a clip's speed comes from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Speed {
    /// A flume's setting, while the swimmer holds the place.
    Flume {
        /// Speed of the water, m/s; above 0.
        m_per_s: f64,
        /// Standard uncertainty of that setting, m/s; `None` where nobody knows it.
        uncertainty_m_per_s: Option<f64>,
    },
    /// A pace that was timed or asked for.
    Pace {
        /// Seconds for 100 m; above 0.
        s_per_100_m: f64,
    },
    /// Marks of kind `pass`, each taken where the same body point passes a reference.
    Passes {
        /// Metres between two neighbouring references; above 0.
        distance_m: f64,
    },
}
