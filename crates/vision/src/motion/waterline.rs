//! A straight line across the picture that parts what is above the water from what is below.

use picture::Point;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Any straight line that is not a point.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "[Point; 2]", into = "[Point; 2]")]
pub struct Waterline {
    /// The end farther left; of an upright line the lower one.
    from: Point,
    to: Point,
}

/// Two points that give no line.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("the two points of the waterline are no line: they are the same, or not numbers")]
pub struct NoLine;

impl Waterline {
    /// The line through two points, in either order.
    ///
    /// # Errors
    /// [`NoLine`] where they are less than a hundredth of a pixel apart.
    pub fn through(one: Point, other: Point) -> Result<Self, NoLine> {
        let apart = one.distance(other);
        if !(apart >= 0.01 && apart.is_finite()) {
            return Err(NoLine);
        }
        let in_order = one.x < other.x || (one.x <= other.x && one.y > other.y);
        let (from, to) = if in_order { (one, other) } else { (other, one) };
        Ok(Self { from, to })
    }

    /// The pixels of row `y` that lie above the line, as `first..end` of `width`; what is left of an upright
    /// line counts as above it.
    #[must_use]
    pub fn above_in_row(&self, y: usize, width: usize) -> std::ops::Range<usize> {
        let (across, down) = (self.to.x - self.from.x, self.to.y - self.from.y);
        let below_start = y as f64 - self.from.y;
        if down == 0.0 {
            return if below_start < 0.0 { 0..width } else { 0..0 };
        }
        let crossing = self.from.x + across * below_start / down;
        // The line falls to the right: what is above lies to the right of the crossing; else to the left.
        if down > 0.0 {
            let first = crossing.floor() + 1.0;
            clamped(first, width)..width
        } else {
            0..clamped(crossing.ceil(), width)
        }
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn clamped(column: f64, width: usize) -> usize {
    column.clamp(0.0, width as f64) as usize
}

impl TryFrom<[Point; 2]> for Waterline {
    type Error = NoLine;

    fn try_from([one, other]: [Point; 2]) -> Result<Self, NoLine> {
        Self::through(one, other)
    }
}

impl From<Waterline> for [Point; 2] {
    fn from(line: Waterline) -> Self {
        [line.from, line.to]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(one: (f64, f64), other: (f64, f64)) -> Waterline {
        Waterline::through(Point::new(one.0, one.1), Point::new(other.0, other.1)).unwrap()
    }

    /// The definition: the sign of the cross product.
    fn is_above(line: &Waterline, x: f64, y: f64) -> bool {
        let (from, to) = (line.from, line.to);
        (to.x - from.x) * (y - from.y) - (to.y - from.y) * (x - from.x) < 0.0
    }

    #[test]
    fn every_pixel_is_on_the_side_the_line_says() {
        for (one, other) in [
            ((0.0, 5.0), (20.0, 5.0)),
            ((0.0, 2.0), (20.0, 9.3)),
            ((20.0, 1.0), (-3.0, 11.0)),
            ((7.5, -4.0), (7.5, 30.0)),
            ((6.0, 12.0), (7.0, -12.0)),
            ((-50.0, -60.0), (80.0, -61.0)),
        ] {
            let line = line(one, other);
            for y in 0..12 {
                let above = line.above_in_row(y, 20);
                for x in 0..20 {
                    assert_eq!(
                        above.contains(&x),
                        is_above(&line, x as f64, y as f64),
                        "{one:?} {other:?} {x} {y}"
                    );
                }
            }
        }
    }

    #[test]
    fn the_order_of_the_points_does_not_matter_and_a_point_is_no_line() {
        assert_eq!(line((3.0, 4.0), (9.0, 1.0)), line((9.0, 1.0), (3.0, 4.0)));
        assert_eq!(line((7.0, 1.0), (7.0, 9.0)).above_in_row(4, 20), 0..7);
        let point = Point::new(4.0, 4.0);
        assert_eq!(Waterline::through(point, point), Err(NoLine));
        assert_eq!(Waterline::through(point, Point::new(f64::NAN, 0.0)), Err(NoLine));
    }
}
