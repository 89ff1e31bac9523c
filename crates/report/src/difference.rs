//! The before/after picture of one measure: every cycle as a sign, each set's mean with its interval, and below
//! them the difference with its own interval on an axis of its own, whose nought stands under the mean before.
//!
//! Signs as on the numbers view: a diamond is a breathing stroke, a circle another, a square one not known; left is
//! filled, right is hollow. What lies within frame error, or within the operator's own repeatability, is a
//! hatched zone around nought. Nothing is told by colour alone, so that the picture survives grey print.
//!
//! Not for: statistics. It draws what the comparison says.
//!
//! The form, all values beside the difference with its interval: Gardner & Altman 1986, BMJ 292:746-750.

mod draw;
mod of_comparison;
mod swarm;
mod words;

pub use draw::{DifferenceStyle, svg_of};
pub use words::DifferenceWords;

use stroke::Side;

/// Everything that one picture shows; all values in `unit`.
#[derive(Clone, Debug, PartialEq)]
pub struct DifferenceChart {
    /// The measure's name.
    pub name: String,
    /// The unit of every value.
    pub unit: String,
    /// The unit of the difference: of two shares in %, points.
    pub unit_of_difference: String,
    /// Decimals that the means are written with.
    pub decimals: usize,
    /// The set before.
    pub before: DrawnSet,
    /// The set after.
    pub after: DrawnSet,
    /// After less before.
    pub difference: Option<DrawnDifference>,
}

/// One set of cycles.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawnSet {
    /// How many of its cycles count.
    pub n: u32,
    /// Mean of its values; `None` while it has none.
    pub mean: Option<f64>,
    /// 95 % interval of the mean, from stroke to stroke.
    pub interval: Option<[f64; 2]>,
    /// Every cycle.
    pub dots: Vec<Dot>,
}

/// One cycle's value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// The value.
    pub value: f64,
    /// Whose cycle; `None` for a measure of both arms.
    pub side: Option<Side>,
    /// Whether a breath is taken in it; `None` when none is marked.
    pub breathing: Option<bool>,
    /// The cycle, counted from 1; `None` for what belongs to no cycle.
    pub cycle: Option<u32>,
    /// Whether a mark that it stands on is flagged.
    pub flagged: bool,
}

/// After less before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnDifference {
    /// The difference of the means.
    pub value: f64,
    /// Its 95 % interval.
    pub interval: Option<[f64; 2]>,
    /// Differences up to this size either way lie within frame error.
    pub frame_zone: Option<f64>,
    /// Differences up to this size either way lie within the operator's repeatability; `None`: not known.
    pub operator_zone: Option<f64>,
}
