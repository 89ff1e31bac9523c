//! What is seen at one moment: a frame of each clip, and what the arms do on it.

use serde::Serialize;
use time::Ticks;

use crate::{DriveArms, Phase, Side};

/// A moment of both clips.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moment {
    /// Which frame of the driving clip: counted through all that the choice goes through, from 0.
    pub place: usize,
    /// Where on the common scale: by phase 4 × stroke + u, by time true seconds from the chosen mark.
    pub position: f64,
    /// By phase: which pair of strokes, from 0.
    pub stroke: Option<usize>,
    /// By phase: the phase that both are in.
    pub phase: Option<Phase>,
    /// First clip's, second clip's.
    pub frames: [FrameShown; 2],
}

/// A frame of one clip.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FrameShown {
    /// From 0, in presentation order.
    pub frame: usize,
    /// When it starts, ticks.
    pub time: Ticks,
    /// By phase: the cycle that is seen, by [`crate::Cycle::index`].
    pub cycle: Option<u32>,
    /// The phase each arm is in when the frame starts, by this clip's own marks: left, right; `None` where
    /// they do not say.
    pub arms: [Option<Phase>; 2],
    /// Which arms propel then; `None` where the marks do not say.
    pub drive: Option<DriveArms>,
    /// Where neither does: the arm whose catch ends it.
    pub waiting: Option<Side>,
    /// By time: the clip has no picture for this time, and its first or last frame is held.
    pub held: bool,
}
