//! A point in time and the scale it is counted in.

use std::num::NonZeroU32;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// A presentation time, counted in a clip's own [`Timescale`] from the start of its presentation.
/// Negative before that start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Ticks(pub i64);

/// Ticks per second; never zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Timescale(NonZeroU32);

impl Timescale {
    /// # Errors
    /// [`TimeError::ZeroTimescale`] for 0.
    pub fn new(ticks_per_second: u32) -> Result<Self, TimeError> {
        NonZeroU32::new(ticks_per_second)
            .map(Self)
            .ok_or(TimeError::ZeroTimescale)
    }

    /// Ticks per second, 1 or more.
    #[must_use]
    pub fn ticks_per_second(self) -> u32 {
        self.0.get()
    }
}

/// Why a clock cannot be made from what was given.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum TimeError {
    /// A timescale of zero ticks a second.
    #[error("the clip's timescale is 0 ticks a second")]
    ZeroTimescale,
    /// A table with no frames.
    #[error("the clip has no frames")]
    NoFrames,
    /// A frame that does not start after the one before it.
    #[error("frame {frame} starts at {start} ticks, not after frame {} at {before}", frame - 1)]
    NotIncreasing {
        /// Index of the offending frame, from 0.
        frame: usize,
        /// Its start.
        start: i64,
        /// The start of the frame before it.
        before: i64,
    },
    /// A last frame that lasts no time, or a table that ends beyond the range of its integers.
    #[error("the last frame lasts {duration} ticks")]
    LastDuration {
        /// Its duration in ticks.
        duration: i64,
    },
    /// A filmed rate that is not a positive, finite number of frames a second.
    #[error("the filmed rate {rate_fps} frames/s is not a positive number")]
    FilmedRate {
        /// The rate that was given, frames/s.
        rate_fps: f64,
    },
}
