//! Points in pictures, and how one picture is laid over another.
//!
//! Points are in pixels of the upright picture, x to the right and y down from its top left corner.
//!
//! Not for: pixels, cameras that look from different places, or lengths in metres.
//!
//! The same two marks on the pool wall, seen larger and farther right in the upper picture:
//! ```
//! use wetframe_picture::{Point, Similarity};
//!
//! let lower_from_upper = Similarity::from_two_points(
//!     [Point { x: 200.0, y: 100.0 }, Point { x: 400.0, y: 100.0 }],
//!     [Point { x: 100.0, y: 100.0 }, Point { x: 200.0, y: 100.0 }],
//! )?;
//! assert_eq!(lower_from_upper.scale(), 0.5);
//! assert_eq!(lower_from_upper.apply(Point { x: 300.0, y: 200.0 }), Point { x: 150.0, y: 150.0 });
//! # Ok::<(), wetframe_picture::NoSimilarity>(())
//! ```

mod point;
mod similarity;

pub use point::Point;
pub use similarity::{NoSimilarity, Similarity};
