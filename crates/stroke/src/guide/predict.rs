//! Guesses: robust, from few values, since one slip of the finger must not lead the next guess astray.

use crate::guide::plan::Basis;
use crate::{MarkKind, Side};

/// One event to ask for.
#[derive(Clone, Debug)]
pub(super) struct Question {
    pub(super) kind: MarkKind,
    pub(super) side: Side,
    pub(super) ticks: f64,
    pub(super) basis: Basis,
    pub(super) search_ticks: f64,
}

/// How many earlier values a guess looks back on: enough to average a frame or two of scatter, few enough to
/// follow a swimmer who slows down.
pub(super) const LOOK_BACK: usize = 5;

/// The median; the mean of the two middle ones when their number is even.
pub(super) fn median(values: &mut [f64]) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    tiny_sort::unstable::sort_by(values, f64::total_cmp);
    let middle = values.len() / 2;
    if values.len() % 2 == 1 {
        values.get(middle).copied()
    } else {
        Some(values[middle - 1].midpoint(values[middle]))
    }
}

/// The lower of the two middle ones when their number is even: of two cycles, one of which has a hole, the
/// shorter.
pub(super) fn lower_median(values: &mut [f64]) -> Option<f64> {
    tiny_sort::unstable::sort_by(values, f64::total_cmp);
    values.get(values.len().checked_sub(1)? / 2).copied()
}

/// The median of those values whose place is nearest to `place`, and how far they scatter about it (median
/// absolute deviation, scaled to a standard deviation of normal scatter).
pub(super) fn nearest_median(values: &[(usize, f64)], place: usize) -> Option<(f64, f64)> {
    let after = values.partition_point(|(at, _)| *at < place);
    let first = after
        .saturating_sub(LOOK_BACK)
        .min(values.len().saturating_sub(LOOK_BACK));
    let nearest = &values[first..values.len().min(first + LOOK_BACK)];
    let mut own: Vec<f64> = nearest.iter().map(|(_, value)| *value).collect();
    let middle = median(&mut own)?;
    let mut off: Vec<f64> = own.iter().map(|value| (value - middle).abs()).collect();
    Some((middle, 1.4826 * median(&mut off)?))
}

/// The value at `place` of the line through the points, by the median of all slopes and the median of what is
/// left (Theil 1950, Sen 1968 J Am Stat Assoc 63:1379-1389).
pub(super) fn line_at(points: &[(f64, f64)], place: f64) -> Option<f64> {
    let mut slopes = Vec::new();
    for (index, (x, y)) in points.iter().enumerate() {
        for (other_x, other_y) in &points[index + 1..] {
            slopes.push((other_y - y) / (other_x - x));
        }
    }
    let slope = median(&mut slopes)?;
    let mut rests: Vec<f64> = points.iter().map(|(x, y)| y - slope * x).collect();
    Some(median(&mut rests)? + slope * place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_not_led_astray_by_one_point() {
        let points = [(0.0, 1.0), (1.0, 3.0), (2.0, 5.0), (3.0, 47.0), (4.0, 9.0)];
        assert_eq!(line_at(&points, 5.0), Some(11.0));
        assert_eq!(line_at(&points[..1], 5.0), None);
    }

    #[test]
    fn the_nearest_values_decide() {
        let values: Vec<(usize, f64)> = (0..20)
            .map(|place| (place, f64::from(u8::try_from(place).unwrap())))
            .collect();
        assert_eq!(nearest_median(&values, 20).unwrap().0, 17.0);
        assert_eq!(nearest_median(&values, 0).unwrap().0, 2.0);
        assert_eq!(nearest_median(&[], 3), None);
    }
}
