//! The drive along the common scale, so that the same phase of two clips lies at the same place.

use serde::Serialize;
use time::Ticks;

use crate::{DriveArms, DriveStretch};

/// A stretch on the common scale in which the same arms propel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LaneStretch {
    /// On the common scale, as [`crate::together::Moment::position`].
    pub from: f64,
    /// On the common scale.
    pub to: f64,
    /// Which arms propel.
    pub arms: DriveArms,
}

/// The drive between two times, each end put on the common scale.
pub(crate) fn lane_of(
    drive: &[DriveStretch],
    start: Ticks,
    end: Ticks,
    position: impl Fn(Ticks) -> f64,
) -> Vec<LaneStretch> {
    drive
        .iter()
        .filter(|stretch| stretch.end > start && stretch.start < end)
        .map(|stretch| LaneStretch {
            from: position(stretch.start.max(start)),
            to: position(stretch.end.min(end)),
            arms: stretch.arms,
        })
        .collect()
}
