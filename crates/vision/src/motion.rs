//! How much a clip's picture moves from frame to frame, and what kind of pictures they are.
//!
//! [`MotionMeter`] takes one frame after another and keeps a few numbers of each; [`footage`] says of those
//! numbers where the clip is cut, black, still or interlaced. Not for: what moves, or where to.

mod combing;
mod footage;
mod meter;
mod thumbnail;
mod waterline;

pub use footage::{Blackout, Footage, Interlacing, footage};
pub use meter::{Difference, MotionError, MotionMeter, MotionSample};
pub use waterline::{NoLine, Waterline};
