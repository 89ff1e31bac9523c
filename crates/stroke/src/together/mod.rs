//! Two clips seen together: which frame of each belongs to which of the other.
//!
//! Held together by stroke phase (the same phase of the same arm on both, whatever their rates), or by time
//! from a chosen mark in each. One clip drives: a step is its next frame, and the other follows to its nearest
//! frame; while it plays, the driving clip keeps its own time and the other is there at the same phase.
//!
//! Where a stroke of one clip has no counterpart because the other has fewer, the other starts again with its
//! first; by time, a clip that has no picture for a time holds its first or last frame. Both are told.
//!
//! Not for: pictures, or comparing numbers.

mod by_phase;
mod by_time;
mod choice;
mod drive_lane;
mod moment;
mod pair;

pub use choice::{CyclesChosen, Lock, NotTogether, TogetherChoice, Which};
pub use drive_lane::LaneStretch;
pub use moment::{FrameShown, Moment};
pub use pair::{Seen, StrokePair, Together, TogetherFacts};
