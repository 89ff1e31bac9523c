//! A measure: a number with its unit, its uncertainty and the marks it came from, or the reason why not.

use serde::{Deserialize, Serialize};
use smallvec::SmallVec;
use time::Ticks;

use crate::absence::Absence;
use crate::measure_kind::{MeasureKind, Unit};
use crate::{MarkId, Side};

/// A value, its unit, and its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Quantity {
    /// In `unit`.
    pub value: f64,
    /// Standard uncertainty (1 SD) in `unit`, from the length of the frames that the marks stand on and from
    /// the stated uncertainty of the speed. 0 for a count: frames do not blur it. Not in it: what the coach
    /// takes for the event, and how much strokes differ (that is `Measure::sd`).
    pub uncertainty: f64,
    /// The unit of both.
    pub unit: Unit,
}

/// Which strokes a mean is taken over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum BreathingSplit {
    /// All.
    All,
    /// Those with a breath.
    Breathing,
    /// Those without one.
    NonBreathing,
}

/// The stretch of the clip that a number speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Span {
    /// Ticks.
    pub start: Ticks,
    /// Ticks, never before `start`.
    pub end: Ticks,
}

/// One number of one cycle, or the mean over cycles.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Measure {
    /// What is measured.
    pub kind: MeasureKind,
    /// The arm; `None` = both. For the index of coordination the arm whose propulsion ends; for the gap and
    /// the lead-arm lag the arm that waits; for a breath its side.
    pub side: Option<Side>,
    /// [`crate::Cycle::index`] of the cycle it belongs to; `None` = mean. Where `side` is `None` too, the
    /// cycle is one of [`crate::Analysis::leading_arm`]. A gap may belong to the arm's last stroke, which has an index
    /// but is not among the complete cycles.
    pub cycle: Option<u32>,
    /// Of one cycle: whether a breath is taken in it (`all` when no breath is marked). Of a mean: which
    /// strokes it is taken over.
    pub breathing: BreathingSplit,
    /// The number; `None` exactly when `absence` says why.
    pub quantity: Option<Quantity>,
    /// Why there is no number.
    pub absence: Option<Absence>,
    /// How many cycles, hand-overs, breaths … the number stands on; 0 when there is none.
    pub n: u32,
    /// Standard deviation between them (n − 1), in the quantity's unit; from n = 2.
    pub sd: Option<f64>,
    /// 95 % t interval of the mean, low and high, in the quantity's unit; from n = 3.
    pub interval: Option<[f64; 2]>,
    /// Where in the clip.
    pub span: Option<Span>,
    /// The marks it came from, in time order. Of a mean over more than 400 marks only the first and the last,
    /// which bound it: its cycles list their own.
    pub marks: SmallVec<[MarkId; 6]>,
    /// Which of [`crate::Analysis::flags`] touch it.
    pub flags: Vec<u32>,
}
