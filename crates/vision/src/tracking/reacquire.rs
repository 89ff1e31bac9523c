//! Finding a lost point again: where in a search region a picture looks most like what was remembered.
//!
//! Zero-mean normalised cross-correlation at every whole pixel (Lewis 1995, "Fast normalized
//! cross-correlation", Vision Interface: 120-123), the peak placed between pixels by a parabola through it and
//! its neighbours. Not for: frame-to-frame motion, which [`super::LucasKanade`] follows more exactly.

use picture::Point;
use serde::Serialize;
use thiserror::Error;

use crate::kernels::{SOUGHT, STRIDE};
use crate::luma::Luma;
use crate::region::Region;

use super::correlations::{HALF, PIXELS, correlations};

/// What was around a point when it was last seen: a square of 31 × 31 pixels.
#[derive(Clone, Debug)]
pub struct Landmark {
    pub(super) pixels: [[i16; STRIDE]; SOUGHT],
    pub(super) sum: i64,
    /// 961 Σ p² − (Σ p)²: 961² times the variance.
    pub(super) spread: i64,
    /// From the middle of the square to the point, pixels.
    offset: Point,
}

/// How far to look and what to believe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReacquireOptions {
    /// Pixels to look in each direction.
    pub reach_px: usize,
    /// Least correlation of the place, −1 to 1. Common practice, no source.
    pub least_correlation: f64,
    /// How large the next best place's correlation may be as a share of the best one's, 0 to 1. Common
    /// practice, no source.
    pub largest_second_share: f64,
}

impl Default for ReacquireOptions {
    fn default() -> Self {
        Self {
            reach_px: 48,
            least_correlation: 0.7,
            largest_second_share: 0.9,
        }
    }
}

/// A place that looks like the landmark.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Reacquired {
    /// Where the point is.
    pub point: Point,
    /// Correlation there, −1 to 1.
    pub correlation: f64,
    /// Correlation of the next best place more than [`PEAK_REACH_PX`] away; `None` where nothing was looked at
    /// that far away.
    pub second_correlation: Option<f64>,
}

/// Places nearer than this to the best one belong to its peak, pixels.
pub const PEAK_REACH_PX: usize = 8;

/// Why no place is offered.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Error)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum NotFound {
    /// The square around the point reaches over the picture's edge.
    #[error("the point is too near the picture's edge to be remembered")]
    TooNearEdge,
    /// The remembered square is of one brightness.
    #[error("what is remembered of the point has no contrast")]
    NoContrast,
    /// The search region holds no whole square.
    #[error("the place to look at lies outside the picture")]
    OutsidePicture,
    /// Nothing there looks like it.
    #[error("nothing nearby looks like the point (best correlation {correlation:.2})")]
    TooUnlike {
        /// Of the best place, −1 to 1.
        correlation: f64,
    },
    /// Two places look like it.
    #[error("two places look alike (correlations {correlation:.2} and {second_correlation:.2})")]
    Ambiguous {
        /// Of the best place, −1 to 1.
        correlation: f64,
        /// Of the next best place, −1 to 1.
        second_correlation: f64,
    },
    /// The best place lies on the search region's edge; a better one may lie beyond.
    #[error("the best place lies on the edge of where was looked; look farther")]
    OnTheEdge {
        /// Of the best place, −1 to 1.
        correlation: f64,
    },
}

impl Landmark {
    /// Remembers what is around `point`.
    ///
    /// # Errors
    /// [`NotFound::TooNearEdge`], [`NotFound::NoContrast`].
    pub fn of(picture: &Luma<'_>, point: Point) -> Result<Self, NotFound> {
        let square = Region::around(point, HALF, picture.width(), picture.height())
            .filter(|square| square.width == SOUGHT && square.height == SOUGHT)
            .ok_or(NotFound::TooNearEdge)?;
        let mut pixels = [[0; STRIDE]; SOUGHT];
        let (mut sum, mut squares) = (0, 0);
        for (y, out) in (square.y..).zip(&mut pixels) {
            let row = &picture.row(y)[square.x..square.x + SOUGHT];
            for (out, pixel) in out.iter_mut().zip(row) {
                *out = i16::from(*pixel);
                sum += i64::from(*pixel);
                squares += i64::from(*pixel) * i64::from(*pixel);
            }
        }
        let spread = PIXELS * squares - sum * sum;
        if spread == 0 {
            return Err(NotFound::NoContrast);
        }
        let middle = Point::new((square.x + HALF) as f64, (square.y + HALF) as f64);
        Ok(Self {
            pixels,
            sum,
            spread,
            offset: Point::new(point.x - middle.x, point.y - middle.y),
        })
    }
}

/// Looks for `landmark` around `near`.
///
/// # Errors
/// [`NotFound`]; a place that could be wrong is never offered.
pub fn reacquire(
    landmark: &Landmark,
    picture: &Luma<'_>,
    near: Point,
    options: ReacquireOptions,
) -> Result<Reacquired, NotFound> {
    let map = correlations(landmark, picture, near, options.reach_px).ok_or(NotFound::OutsidePicture)?;
    let best = map.best().ok_or(NotFound::OutsidePicture)?;
    let correlation = map.at(best);
    if correlation < options.least_correlation {
        return Err(NotFound::TooUnlike { correlation });
    }
    if map.is_on_edge(best, picture) {
        return Err(NotFound::OnTheEdge { correlation });
    }
    let second_correlation = map.best_beyond(best);
    if let Some(second_correlation) = second_correlation
        && second_correlation > options.largest_second_share * correlation
    {
        return Err(NotFound::Ambiguous {
            correlation,
            second_correlation,
        });
    }
    let (across, down) = map.between(best);
    Ok(Reacquired {
        point: Point::new(
            (map.x + best.0 + HALF) as f64 + across + landmark.offset.x,
            (map.y + best.1 + HALF) as f64 + down + landmark.offset.y,
        ),
        correlation,
        second_correlation,
    })
}
