//! One point's way from a frame to the next, or why there is none.

use serde::Serialize;
use thiserror::Error;

use crate::Point;

/// A point to be followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Where it is in the frame before.
    pub point: Point,
    /// Where it may be in the present frame; without a guess it is looked for where it was.
    pub guess: Option<Point>,
}

impl From<Point> for Start {
    fn from(point: Point) -> Self {
        Self { point, guess: None }
    }
}

/// Where a point went and how far that can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Step {
    /// Where it is in the present frame, as far as it could be followed.
    pub point: Point,
    /// Why that place must not be used; `None` where it may.
    pub lost: Option<Lost>,
    /// How far from the start the way back ends, pixels; `None` where it was not gone.
    pub return_error_px: Option<f64>,
    /// Correlation of the window's brightness in both frames, −1 to 1; 0 where it has none.
    pub correlation: f64,
    /// Standard error of the place along the window's weaker direction, pixels: root mean square difference of
    /// the windows over the root of the slopes' smaller eigenvalue (least squares; errors of pixels taken as
    /// independent, which camera noise nearly is and a changed look is not). `None` where there is no place.
    pub standard_error_px: Option<f64>,
    /// From 0 (do not use) to 1: the correlation, times how little of the allowed return error was needed.
    /// Common practice, no source; an order among steps, not a probability.
    pub confidence: f64,
}

/// Why a point was lost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Error)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Lost {
    /// Start or guess is no place.
    #[error("the point's place is not a number")]
    NoPlace,
    /// Its window left the picture.
    #[error("the point left the picture")]
    LeftPicture,
    /// Nothing around it that could be followed.
    #[error("there is too little texture around the point to follow it")]
    TooLittleTexture,
    /// Farther from its guess than windows of these levels can tell.
    #[error("the point moved {moved_px:.0} px from where it was looked for, farther than can be followed")]
    TooFar {
        /// Distance from the guess, pixels.
        moved_px: f64,
    },
    /// Followed back, it did not come home.
    #[error("followed back, the point ends {return_error_px:.1} px from where it started")]
    ReturnsElsewhere {
        /// Distance from the start, pixels.
        return_error_px: f64,
    },
    /// What is there looks different.
    #[error("what is there now looks different (correlation {correlation:.2})")]
    LooksDifferent {
        /// −1 to 1.
        correlation: f64,
    },
}
