//! What the coach chooses, and why two clips cannot be held together.

use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;
use time::Ticks;

use crate::Side;

/// One of the two clips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Which {
    /// The one on the left or above.
    First,
    /// The one on the right or below.
    Second,
}

impl Which {
    /// Both, in order.
    pub const BOTH: [Self; 2] = [Self::First, Self::Second];

    pub(crate) fn index(self) -> usize {
        match self {
            Self::First => 0,
            Self::Second => 1,
        }
    }
}

impl fmt::Display for Which {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::First => "first",
            Self::Second => "second",
        })
    }
}

/// What the clips are held together by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum Lock {
    /// The same phase of the same arm.
    Phase {
        /// Left or right.
        side: Side,
        /// Which strokes.
        cycles: CyclesChosen,
    },
    /// The same time, in true seconds, from a moment of each.
    Time {
        /// That moment, in each clip's own ticks.
        from: [Ticks; 2],
    },
}

/// Which strokes are seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "run", rename_all = "snake_case")]
pub enum CyclesChosen {
    /// One of each clip, by [`crate::Cycle::index`].
    One {
        /// First clip's, second clip's.
        cycles: [u32; 2],
    },
    /// All that have a map, the first with the first and so on; the clip with fewer starts again.
    All,
}

/// How two clips are to be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TogetherChoice {
    /// What holds them together.
    pub lock: Lock,
    /// The clip whose frames a step goes through; `None`: the one with more frames a stroke (by time: a true
    /// second), the first of two equals.
    pub driving: Option<Which>,
}

/// Why two clips cannot be held together so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotTogether {
    /// A lock on an arm that is none.
    #[error("two clips are held together by the left or the right arm")]
    NoArm,
    /// No cycle of the arm has a map.
    #[error(
        "the {which} clip has no complete cycle of that arm; mark two entries of the hand, one after the other"
    )]
    NoCycle {
        /// The clip.
        which: Which,
        /// The arm.
        side: Side,
    },
    /// The cycle is not there, or its entries cannot be trusted.
    #[error("the cycle chosen of the {which} clip is not complete any more")]
    UnknownCycle {
        /// The clip.
        which: Which,
        /// Its name.
        cycle: u32,
    },
}
