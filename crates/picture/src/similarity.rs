//! Moved, turned and scaled alike in all directions: what two points on each of two pictures decide.
//!
//! With points as complex numbers, p′ = a·p + b; two pairs of points give a = (q₂ − q₁)/(p₂ − p₁) and
//! b = q₁ − a·p₁ (plain algebra). Right for a camera that was moved along, turned about its own axis, zoomed
//! or stood nearer, for points at one distance from it; never for one that looks from another side.

use serde::Serialize;
use thiserror::Error;

use crate::Point;

/// Reference points nearer than this to each other decide nothing: a slip of one pixel would turn the picture
/// by more than 3 degrees.
const LEAST_APART_PX: f64 = 16.0;

/// Takes a point of one picture to where it lies in another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Similarity {
    /// Scale times cosine of the turn.
    pub along: f64,
    /// Scale times sine of the turn; positive is clockwise, since y points down.
    pub across: f64,
    /// Where the first picture's corner lies, pixels of the second.
    pub right: f64,
    /// Where the first picture's corner lies, pixels of the second.
    pub down: f64,
}

/// Why two pairs of points decide nothing.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum NoSimilarity {
    /// Two points on one picture that are too near to each other.
    #[error(
        "the two points lie {apart_px:.0} pixels apart; put them at least {LEAST_APART_PX} apart, the farther the better"
    )]
    TooNear {
        /// Pixels between them.
        apart_px: f64,
    },
    /// A coordinate that is no number.
    #[error("a point is no place in the picture")]
    NoPlace,
}

impl Similarity {
    /// The one that takes both points of one picture to those of the other.
    ///
    /// # Errors
    /// [`NoSimilarity`] where the points of a picture nearly coincide, or are no numbers.
    pub fn from_two_points(of_one: [Point; 2], of_other: [Point; 2]) -> Result<Self, NoSimilarity> {
        for [first, second] in [of_one, of_other] {
            let apart_px = first.distance(second);
            if !apart_px.is_finite() {
                return Err(NoSimilarity::NoPlace);
            }
            if apart_px < LEAST_APART_PX {
                return Err(NoSimilarity::TooNear { apart_px });
            }
        }
        let [(from_x, from_y), (to_x, to_y)] =
            [of_one, of_other].map(|[first, second]| (second.x - first.x, second.y - first.y));
        let squared = from_x * from_x + from_y * from_y;
        let along = (to_x * from_x + to_y * from_y) / squared;
        let across = (to_y * from_x - to_x * from_y) / squared;
        let [first, _] = of_one;
        Ok(Self {
            along,
            across,
            right: of_other[0].x - (along * first.x - across * first.y),
            down: of_other[0].y - (across * first.x + along * first.y),
        })
    }

    /// One picture fitted whole into the other, in its middle: where no points are picked. Sizes are width and
    /// height, pixels.
    #[must_use]
    pub fn fitted(one: [f64; 2], into: [f64; 2]) -> Self {
        let along = (into[0] / one[0]).min(into[1] / one[1]);
        Self {
            along,
            across: 0.0,
            right: (into[0] - along * one[0]) / 2.0,
            down: (into[1] - along * one[1]) / 2.0,
        }
    }

    /// Where a point of the first picture lies in the second.
    #[must_use]
    pub fn apply(&self, point: Point) -> Point {
        Point {
            x: self.along * point.x - self.across * point.y + self.right,
            y: self.across * point.x + self.along * point.y + self.down,
        }
    }

    /// How many pixels of the second picture one of the first becomes.
    #[must_use]
    pub fn scale(&self) -> f64 {
        libm::hypot(self.along, self.across)
    }

    /// How far the first picture is turned, degrees clockwise, −180 to 180.
    #[must_use]
    pub fn turn_deg(&self) -> f64 {
        libm::atan2(self.across, self.along).to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn point() -> impl Strategy<Value = Point> {
        (-4000.0..4000.0_f64, -4000.0..4000.0_f64).prop_map(|(x, y)| Point { x, y })
    }

    #[test]
    fn a_quarter_turn_clockwise_takes_right_to_down() {
        let corner = Point { x: 0.0, y: 0.0 };
        let right = Point { x: 100.0, y: 0.0 };
        let down = Point { x: 0.0, y: 200.0 };
        let turned = Similarity::from_two_points([corner, right], [corner, down]).unwrap();
        assert!((turned.turn_deg() - 90.0).abs() < 1e-12);
        assert!((turned.scale() - 2.0).abs() < 1e-12);
        let below = turned.apply(Point { x: 0.0, y: 50.0 });
        assert!(below.distance(Point { x: -100.0, y: 0.0 }) < 1e-9);
    }

    #[test]
    fn points_that_nearly_coincide_are_refused_in_words() {
        let [one, near, far] = [0.0, 5.0, 300.0].map(|x| Point { x, y: 10.0 });
        let refused = Similarity::from_two_points([one, far], [one, near]).unwrap_err();
        assert_eq!(refused, NoSimilarity::TooNear { apart_px: 5.0 });
        assert!(refused.to_string().contains("5 pixels apart"), "{refused}");
        let nowhere = Point { x: f64::NAN, y: 0.0 };
        assert_eq!(
            Similarity::from_two_points([one, far], [one, nowhere]),
            Err(NoSimilarity::NoPlace)
        );
    }

    #[test]
    fn without_points_a_picture_is_fitted_whole_into_the_middle() {
        let fitted = Similarity::fitted([640.0, 360.0], [1280.0, 1024.0]);
        let [top_left, bottom_right] =
            [(0.0, 0.0), (640.0, 360.0)].map(|(x, y)| fitted.apply(Point { x, y }));
        assert_eq!(top_left, Point { x: 0.0, y: 152.0 });
        assert_eq!(bottom_right, Point { x: 1280.0, y: 872.0 });
    }

    proptest! {
        #[test]
        fn both_points_fall_on_their_counterparts(one in [point(), point()], other in [point(), point()]) {
            prop_assume!(one[0].distance(one[1]) >= LEAST_APART_PX && other[0].distance(other[1]) >= LEAST_APART_PX);
            let laid = Similarity::from_two_points(one, other).unwrap();
            for (point, expected) in one.into_iter().zip(other) {
                prop_assert!(laid.apply(point).distance(expected) < 1e-6);
            }
        }

        #[test]
        fn all_distances_grow_alike_and_nothing_is_mirrored(
            one in [point(), point()], other in [point(), point()], probe in [point(), point(), point()],
        ) {
            prop_assume!(one[0].distance(one[1]) >= LEAST_APART_PX && other[0].distance(other[1]) >= LEAST_APART_PX);
            let laid = Similarity::from_two_points(one, other).unwrap();
            let seen = probe.map(|point| laid.apply(point));
            let scale = laid.scale();
            prop_assert!((seen[0].distance(seen[1]) - scale * probe[0].distance(probe[1])).abs() < 1e-6 * (1.0 + scale * 8000.0));
            let area = |[a, b, c]: [Point; 3]| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
            prop_assert!((area(seen) - scale * scale * area(probe)).abs() < 1e-6 * (1.0 + scale * scale * 6.4e7));
        }
    }
}
