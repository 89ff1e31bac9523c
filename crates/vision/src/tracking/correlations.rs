//! How like a landmark each place of a search region looks.

use picture::Point;

use crate::kernels::{Fastest, Kernels, SOUGHT};
use crate::luma::Luma;
use crate::peak::vertex;
use crate::region::Region;

use super::reacquire::{Landmark, PEAK_REACH_PX};

/// From a remembered square's corner to its middle.
pub(super) const HALF: usize = SOUGHT / 2;
/// Pixels of a remembered square.
pub(super) const PIXELS: i64 = (SOUGHT * SOUGHT) as i64;

/// Correlation for every place of the landmark's square within a search region.
pub(super) struct Correlations {
    /// The first square's corner.
    pub x: usize,
    pub y: usize,
    width: usize,
    height: usize,
    values: Vec<f64>,
}

impl Correlations {
    pub(super) fn at(&self, (x, y): (usize, usize)) -> f64 {
        self.values[y * self.width + x]
    }

    fn places(&self) -> impl Iterator<Item = (usize, usize)> {
        (0..self.height).flat_map(|y| (0..self.width).map(move |x| (x, y)))
    }

    pub(super) fn best(&self) -> Option<(usize, usize)> {
        self.places().max_by(|a, b| self.at(*a).total_cmp(&self.at(*b)))
    }

    pub(super) fn best_beyond(&self, peak: (usize, usize)) -> Option<f64> {
        self.places()
            .filter(|(x, y)| x.abs_diff(peak.0) > PEAK_REACH_PX || y.abs_diff(peak.1) > PEAK_REACH_PX)
            .map(|place| self.at(place))
            .max_by(f64::total_cmp)
    }

    /// Whether a place lies on the region's edge, and the picture goes on there.
    pub(super) fn is_on_edge(&self, (x, y): (usize, usize), picture: &Luma<'_>) -> bool {
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
    pub(super) fn between(&self, (x, y): (usize, usize)) -> (f64, f64) {
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

/// For every place within `reach_px` of `near`; `None` where no square fits in.
pub(super) fn correlations(
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
