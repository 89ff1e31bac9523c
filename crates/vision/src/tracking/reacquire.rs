//! Finding a lost point again: where in a search region a picture looks most like what was remembered.
//!
//! Zero-mean normalised cross-correlation at every whole pixel (Lewis 1995, "Fast normalized
//! cross-correlation", Vision Interface: 120-123), the peak placed between pixels by a parabola through it and
//! its neighbours. Not for: frame-to-frame motion, which [`super::LucasKanade`] follows more exactly.

use picture::Point;
use serde::Serialize;
use thiserror::Error;

use crate::kernels::{Fastest, Kernels, SOUGHT, STRIDE};
use crate::luma::Luma;
use crate::peak::vertex;
use crate::region::Region;

/// From a remembered square's corner to its middle.
const HALF: usize = SOUGHT / 2;
const PIXELS: i64 = (SOUGHT * SOUGHT) as i64;

/// What was around a point when it was last seen: a square of 31 × 31 pixels.
#[derive(Clone, Debug)]
pub struct Landmark {
    pixels: [[i16; STRIDE]; SOUGHT],
    sum: i64,
    /// 961 Σ p² − (Σ p)²: 961² times the variance.
    spread: i64,
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

/// Correlation for every place of the landmark's square within a search region.
struct Correlations {
    /// The first square's corner.
    x: usize,
    y: usize,
    width: usize,
    height: usize,
    values: Vec<f64>,
}

impl Correlations {
    fn at(&self, (x, y): (usize, usize)) -> f64 {
        self.values[y * self.width + x]
    }

    fn places(&self) -> impl Iterator<Item = (usize, usize)> {
        (0..self.height).flat_map(|y| (0..self.width).map(move |x| (x, y)))
    }

    fn best(&self) -> Option<(usize, usize)> {
        self.places().max_by(|a, b| self.at(*a).total_cmp(&self.at(*b)))
    }

    fn best_beyond(&self, peak: (usize, usize)) -> Option<f64> {
        self.places()
            .filter(|(x, y)| x.abs_diff(peak.0) > PEAK_REACH_PX || y.abs_diff(peak.1) > PEAK_REACH_PX)
            .map(|place| self.at(place))
            .max_by(f64::total_cmp)
    }

    /// Whether a place lies on the region's edge, and the picture goes on there.
    fn is_on_edge(&self, (x, y): (usize, usize), picture: &Luma<'_>) -> bool {
        let more_before = |first: usize, place: usize| place == 0 && first > 0;
        let more_after = |first: usize, place: usize, count: usize, size: usize| {
            place + 1 == count && first + count + SOUGHT - 1 < size
        };
        more_before(self.x, x)
            || more_before(self.y, y)
            || more_after(self.x, x, self.width, picture.width())
            || more_after(self.y, y, self.height, picture.height())
    }

    /// From the peak's pixel to the peak, each at most half a pixel.
    fn between(&self, (x, y): (usize, usize)) -> (f64, f64) {
        let middle = self.at((x, y));
        let across = if x > 0 && x + 1 < self.width {
            vertex(self.at((x - 1, y)), middle, self.at((x + 1, y)))
        } else {
            0.0
        };
        let down = if y > 0 && y + 1 < self.height {
            vertex(self.at((x, y - 1)), middle, self.at((x, y + 1)))
        } else {
            0.0
        };
        (across, down)
    }
}

fn correlations(
    landmark: &Landmark,
    picture: &Luma<'_>,
    near: Point,
    reach_px: usize,
) -> Option<Correlations> {
    let (width, height) = picture.size();
    let looked_at = Region::around(near, reach_px.saturating_add(HALF), width, height)?;
    let across = (looked_at.width + 1)
        .checked_sub(SOUGHT)
        .filter(|count| *count > 0)?;
    let down = (looked_at.height + 1)
        .checked_sub(SOUGHT)
        .filter(|count| *count > 0)?;
    let mut columns = Columns::new(picture, looked_at);
    let mut values = Vec::with_capacity(across * down);
    for y in looked_at.y..looked_at.y + down {
        columns.take_in(picture, y);
        let (mut sum, mut squares) = columns.first();
        for x in 0..across {
            if x > 0 {
                columns.slide(x, &mut sum, &mut squares);
            }
            let from = y * picture.stride() + looked_at.x + x;
            let product = Fastest::product(&landmark.pixels, &picture.bytes()[from..], picture.stride());
            let spread = PIXELS * squares - sum * sum;
            values.push(correlation(
                landmark,
                PIXELS * product - landmark.sum * sum,
                spread,
            ));
        }
    }
    Some(Correlations {
        x: looked_at.x,
        y: looked_at.y,
        width: across,
        height: down,
        values,
    })
}

#[expect(clippy::cast_precision_loss, reason = "sums over a square are below 2^53")]
fn correlation(landmark: &Landmark, covered: i64, spread: i64) -> f64 {
    if spread == 0 {
        return 0.0;
    }
    covered as f64 / ((landmark.spread as f64).sqrt() * (spread as f64).sqrt())
}

/// Sums of a region's columns over the square's rows, so that each square's sums cost one step.
struct Columns {
    region: Region,
    /// Σ p and Σ p² of each column.
    sums: Vec<(i64, i64)>,
    taken: Option<usize>,
}

impl Columns {
    fn new(picture: &Luma<'_>, region: Region) -> Self {
        debug_assert!(region.x + region.width <= picture.width());
        Self {
            region,
            sums: vec![(0, 0); region.width],
            taken: None,
        }
    }

    /// The columns of the rows that begin at `y`, which is one below the last.
    fn take_in(&mut self, picture: &Luma<'_>, y: usize) {
        match self.taken {
            None => (y..y + SOUGHT).for_each(|row| self.add(picture, row, 1)),
            Some(before) => {
                self.add(picture, before, -1);
                self.add(picture, y + SOUGHT - 1, 1);
            }
        }
        self.taken = Some(y);
    }

    fn add(&mut self, picture: &Luma<'_>, row: usize, sign: i64) {
        let pixels = &picture.row(row)[self.region.x..self.region.x + self.region.width];
        for ((sum, squares), pixel) in self.sums.iter_mut().zip(pixels) {
            let pixel = i64::from(*pixel);
            *sum += sign * pixel;
            *squares += sign * pixel * pixel;
        }
    }

    fn first(&self) -> (i64, i64) {
        let columns = self.sums.iter().take(SOUGHT);
        columns.fold((0, 0), |total, column| (total.0 + column.0, total.1 + column.1))
    }

    /// From the square that begins at column `x` − 1 to the next.
    fn slide(&self, x: usize, sum: &mut i64, squares: &mut i64) {
        let (left, entered) = (self.sums[x - 1], self.sums[x + SOUGHT - 1]);
        *sum += entered.0 - left.0;
        *squares += entered.1 - left.1;
    }
}
