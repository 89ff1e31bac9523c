//! Frames that were probably left out, told from gaps in the frame table alone.
//!
//! A camera that runs out of light or memory skips frames, and the next frame's time then lies two or more
//! spacings later. That is evidence only where the spacing is otherwise regular.
//!
//! Not for: copied frames, which have times of their own; see [`crate::cadence`].

use serde::Serialize;

/// A gap between two successive frames that is a whole number of spacings long.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct DroppedFrames {
    /// The frame before the gap, counted in presentation order.
    pub after_frame: u32,
    /// The gap, ticks.
    pub gap: i64,
    /// How many frames would fill it at the median spacing.
    pub missing: u32,
}

/// A spacing this close to the median, as a share of it, counts as regular: the rounding of any rate to
/// any timescale in use (33 or 34 ms for 30 frames/s) stays within it. Common practice, no source.
const REGULAR_WITHIN: f64 = 0.25;
/// A clip is regular if at least this share of its spacings is. Common practice, no source.
const REGULAR_SHARE: f64 = 0.8;
/// From here on a gap is longer than any rounding of one spacing.
const GAP_FROM: f64 = 1.5;
/// Too few spacings say nothing about what is usual.
const FEWEST: usize = 8;

/// `spacings`: from each frame to the next, ticks, in presentation order.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "spacings are far below 2^53 ticks, and the ratio is checked to be positive and is clamped"
)]
pub(crate) fn suspected_dropped(spacings: &[i64]) -> Vec<DroppedFrames> {
    if spacings.len() < FEWEST {
        return Vec::new();
    }
    let mut sorted = spacings.to_vec();
    let middle = (sorted.len() - 1) / 2;
    let median = *sorted.select_nth_unstable(middle).1 as f64;
    let regular = spacings
        .iter()
        .filter(|spacing| (**spacing as f64 / median - 1.0).abs() <= REGULAR_WITHIN)
        .count();
    if median <= 0.0 || (regular as f64) < REGULAR_SHARE * spacings.len() as f64 {
        return Vec::new();
    }
    (0_u32..)
        .zip(spacings)
        .filter(|(_, gap)| **gap as f64 >= GAP_FROM * median)
        .map(|(after_frame, gap)| {
            let spans = (*gap as f64 / median).round().clamp(2.0, 1e9);
            DroppedFrames {
                after_frame,
                gap: *gap,
                missing: spans as u32 - 1,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_gaps_in_a_regular_clip_are_found_with_what_is_missing() {
        let mut spacings = vec![33, 34, 33, 33, 34, 33, 33, 34, 33, 33, 34, 33];
        spacings[4] = 67;
        spacings[9] = 133;
        let found = suspected_dropped(&spacings);
        let summary: Vec<_> = found.iter().map(|gap| (gap.after_frame, gap.missing)).collect();
        assert_eq!(summary, [(4, 1), (9, 3)]);
    }

    #[test]
    fn a_clip_that_varies_throughout_accuses_nobody() {
        let spacings: Vec<i64> = [4, 4, 4, 120, 8, 33, 4, 50, 17].repeat(4);
        assert_eq!(suspected_dropped(&spacings), []);
    }

    #[test]
    fn rounding_to_a_coarse_timescale_is_no_gap() {
        let spacings: Vec<i64> = (1..200_i64)
            .map(|frame| frame * 1000 / 240 - (frame - 1) * 1000 / 240)
            .collect();
        assert_eq!(suspected_dropped(&spacings), []);
    }
}
