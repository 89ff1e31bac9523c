//! What a frame rate is good for: the error on the gap before anything is filmed.

use serde::{Deserialize, Serialize};

/// What one frame rate gives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct GapError {
    /// Frames a second.
    pub rate_fps: f64,
    /// Standard uncertainty of one gap, ms.
    pub one_gap_ms: f64,
    /// Number of hand-overs that the mean is taken over.
    pub n: u32,
    /// Standard uncertainty of their mean gap, ms: no mark is shared between gaps, so it falls with √n.
    pub mean_gap_ms: f64,
}

/// Standard uncertainty of the time between two marks, s: 1/(fps·√6), since each mark is uniform over its
/// frame (variance d²/12). `metrics` derivation; simulated in `tests/uncertainty.rs`.
#[must_use]
pub fn interval_error_s(rate_fps: f64) -> f64 {
    1.0 / (rate_fps * 6.0_f64.sqrt())
}

/// The error on the gap for each rate, one gap and the mean of `n`; rates that are not positive are left out.
#[must_use]
pub fn gap_error_table(rates_fps: &[f64], n: u32) -> Vec<GapError> {
    rates_fps
        .iter()
        .copied()
        .filter(|rate_fps| rate_fps.is_finite() && *rate_fps > 0.0)
        .map(|rate_fps| {
            let one_gap_ms = 1e3 * interval_error_s(rate_fps);
            GapError {
                rate_fps,
                one_gap_ms,
                n,
                mean_gap_ms: one_gap_ms / f64::from(n.max(1)).sqrt(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_gap_at_the_usual_rates() {
        // Derived: 1000/(fps·√6) ms.
        let expected_ms = [
            (25.0, 16.33),
            (30.0, 13.61),
            (60.0, 6.80),
            (120.0, 3.40),
            (240.0, 1.70),
        ];
        let table = gap_error_table(&expected_ms.map(|(rate_fps, _)| rate_fps), 9);
        for (row, (_, one_gap_ms)) in table.iter().zip(expected_ms) {
            assert!((row.one_gap_ms - one_gap_ms).abs() < 0.005, "{row:?}");
            assert!((row.mean_gap_ms - row.one_gap_ms / 3.0).abs() < 1e-12);
        }
        assert_eq!(gap_error_table(&[0.0, f64::NAN, 50.0], 1).len(), 1);
    }
}
