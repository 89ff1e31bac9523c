//! The peaks of a signal's likeness with itself: one at each multiple of the period.

use crate::peak::vertex;

/// The peaks at the multiples of a lag.
pub(super) struct Ladder {
    /// The lag that fits all of them best, seconds.
    pub lag_s: f64,
    /// The likeness at each multiple, from the first on.
    pub heights: Vec<f64>,
}

impl Ladder {
    /// Climbs from multiple to multiple as long as there are peaks, each looked for within a quarter of the
    /// lag, weighing each by its height.
    pub(super) fn climb(likeness: &[f64], step_s: f64, first_s: f64, least: f64) -> Self {
        let (mut weighed, mut weights) = (0.0, 0.0);
        let mut lag_s = first_s;
        let mut heights = Vec::new();
        for multiple in 1_u32.. {
            let multiple = f64::from(multiple);
            let middle = whole(multiple * lag_s / step_s);
            let reach = whole(lag_s / step_s / 4.0).max(1);
            let (from, end) = (middle.saturating_sub(reach).max(1), middle + reach + 1);
            if end + 1 > likeness.len() {
                break;
            }
            let Some(peak) = (from..end).max_by(|a, b| likeness[*a].total_cmp(&likeness[*b])) else {
                break;
            };
            let is_peak = likeness[peak] >= likeness[peak - 1] && likeness[peak] >= likeness[peak + 1];
            if !is_peak || likeness[peak] < least {
                break;
            }
            let between = vertex(likeness[peak - 1], likeness[peak], likeness[peak + 1]);
            let peak_s = (peak as f64 + between) * step_s;
            // Least squares of peak = multiple × lag.
            let weight = likeness[peak];
            weighed += weight * multiple * peak_s;
            weights += weight * multiple * multiple;
            lag_s = weighed / weights;
            // The parabola's height, or a peak that falls between two steps would look lower.
            heights.push(likeness[peak] - (likeness[peak - 1] - likeness[peak + 1]) * between / 4.0);
        }
        Self { lag_s, heights }
    }

    /// How much better the even multiples are than the odd ones around them.
    pub(super) fn alternation(&self) -> Option<f64> {
        let differences: Vec<f64> = self
            .heights
            .windows(2)
            .enumerate()
            .map(|(index, pair)| {
                if index % 2 == 0 {
                    pair[1] - pair[0]
                } else {
                    pair[0] - pair[1]
                }
            })
            .collect();
        let count = differences.len() as f64;
        (!differences.is_empty()).then(|| differences.iter().sum::<f64>() / count)
    }
}

/// The height of the peak within an eighth of a lag, if there is one above zero.
pub(super) fn peak_near(likeness: &[f64], lag: f64) -> Option<f64> {
    let (middle, reach) = (whole(lag), whole(lag / 8.0).max(1));
    let from = middle.saturating_sub(reach).max(1);
    let end = (middle + reach + 1).min(likeness.len().saturating_sub(1));
    (from..end)
        .filter(|lag| likeness[*lag] >= likeness[lag - 1] && likeness[*lag] >= likeness[lag + 1])
        .map(|lag| likeness[lag])
        .filter(|height| *height > 0.1)
        .max_by(f64::total_cmp)
}

/// The nearest whole number of steps, 0 or more.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small and not negative"
)]
pub(super) fn whole(number: f64) -> usize {
    number.max(0.0).round() as usize
}
