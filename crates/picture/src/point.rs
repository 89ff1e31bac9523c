//! A point in a picture.

use serde::{Deserialize, Serialize};

/// Pixels of the upright picture from its top left corner; between pixels, and outside, too.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Point {
    /// The point at (`x`, `y`).
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Pixels from one point to another.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        libm::hypot(other.x - self.x, other.y - self.y)
    }
}
