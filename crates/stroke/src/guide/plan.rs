//! What the coach wants to mark, and one step of it.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::{MarkKind, Side, Span};

/// What to mark in the guided pass.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default, deny_unknown_fields)]
pub struct GuidePlan {
    /// The arms, the one to start with first; one alone where only one can be seen.
    pub arms: Vec<Side>,
    /// The sides on which the swimmer breathes; empty = breaths are not asked for.
    pub breath_sides: Vec<Side>,
    /// Whether to ask for kick-outs beside the breaths.
    pub kick_outs: bool,
    /// The part of the clip to mark; `None` = all of it.
    pub span: Option<Span>,
}

impl Default for GuidePlan {
    /// Both arms through the whole clip, neither breaths nor kick-outs.
    fn default() -> Self {
        Self {
            arms: vec![Side::Left, Side::Right],
            breath_sides: Vec::new(),
            kick_outs: false,
            span: None,
        }
    }
}

/// Names a step, so that a skipped one is not asked for again: near this time, this event of this side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StepId {
    /// What was asked for.
    pub kind: MarkKind,
    /// Of which side.
    pub side: Side,
    /// Where, ticks.
    pub time: Ticks,
}

/// What the guess rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Nothing yet: the coach has to find it.
    First,
    /// The cycle's length and the usual shape of a stroke.
    Period,
    /// The cycles marked so far.
    CyclesSoFar,
}

/// What to ask for next.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct GuideStep {
    /// Its name, to skip it by.
    pub id: StepId,
    /// What to look for.
    pub kind: MarkKind,
    /// Of which side.
    pub side: Side,
    /// Where to look first: the start of an existing frame, ticks.
    pub time: Ticks,
    /// That frame, from 0.
    pub frame: u32,
    /// What the guess rests on.
    pub basis: Basis,
    /// How far off it may well be, true s.
    pub search_s: f64,
    /// How many events of the plan are marked.
    pub done: u32,
    /// How many there are in all, as far as that can be told yet.
    pub of: u32,
}
