//! A rectangle of whole pixels.

use serde::{Deserialize, Serialize};

use crate::Point;

/// A rectangle of whole pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Region {
    /// Its leftmost pixel.
    pub x: usize,
    /// Its topmost pixel.
    pub y: usize,
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
}

impl Region {
    /// The pixels at most `reach_px` from the pixel nearest to `centre`, as far as the picture of `width` ×
    /// `height` pixels has them; `None` where it has none of them.
    #[must_use]
    pub fn around(centre: Point, reach_px: usize, width: usize, height: usize) -> Option<Self> {
        let (x, across) = stretch(centre.x, reach_px, width)?;
        let (y, down) = stretch(centre.y, reach_px, height)?;
        Some(Self {
            x,
            y,
            width: across,
            height: down,
        })
    }
}

/// First pixel and number of pixels of one direction.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a number beyond the integers lies outside every picture and saturates"
)]
fn stretch(centre_px: f64, reach_px: usize, size: usize) -> Option<(usize, usize)> {
    if !centre_px.is_finite() {
        return None;
    }
    let (reach, size) = (i64::try_from(reach_px).ok()?, i64::try_from(size).ok()?);
    let nearest = centre_px.round() as i64;
    let first = nearest.saturating_sub(reach).max(0);
    let end = nearest.saturating_add(reach).saturating_add(1).min(size);
    let count = usize::try_from(end.checked_sub(first)?)
        .ok()
        .filter(|count| *count > 0)?;
    Some((usize::try_from(first).ok()?, count))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_region_is_cut_where_the_picture_ends() {
        let region = Region::around(Point::new(1.4, 98.6), 3, 160, 100).unwrap();
        assert_eq!((region.x, region.width, region.y, region.height), (0, 5, 96, 4));
        for outside in [
            Point::new(-4.0, 50.0),
            Point::new(f64::NAN, 1.0),
            Point::new(5.0, 1e300),
        ] {
            assert_eq!(Region::around(outside, 3, 160, 100), None, "{outside:?}");
        }
    }
}
