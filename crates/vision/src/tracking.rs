//! Following points from one frame to the next.
//!
//! [`PointTracker`] is what a tracker does; [`LucasKanade`] is ours. [`reacquire`] finds a point again that was
//! lost.
//!
//! Not for: deciding what a track means, smoothing it, or guessing where a lost point may be.

mod correlations;
mod flow;
mod lucas_kanade;
mod reacquire;
mod step;

pub use lucas_kanade::{LucasKanade, TrackOptions};
pub use reacquire::{Landmark, NotFound, PEAK_REACH_PX, ReacquireOptions, Reacquired, reacquire};
pub use step::{Lost, Start, Step};

use crate::luma::{Luma, PictureError};

/// Follows points from the frame before to the present one.
pub trait PointTracker<'bytes> {
    /// Takes the next frame; the present one becomes the one before. Gives back the frame that nobody needs any
    /// more, so that its bytes can be filled again.
    ///
    /// # Errors
    /// [`PictureError::SizeChanged`]; the tracker then stands as before.
    fn advance(&mut self, frame: Luma<'bytes>) -> Result<Option<Luma<'bytes>>, PictureError>;

    /// Where each point of the frame before is in the present frame, in the order given. Empty until there
    /// are two frames.
    fn track(&mut self, starts: &[Start]) -> Vec<Step>;
}
