//! Mean, standard deviation and 95 % t interval of a handful of strokes.
//!
//! Not for: frame error; that is `uncertain`. Source: Student 1908, Biometrika 6:1-25; quantiles by `statrs`,
//! checked against SciPy in `tests/reference`.

use std::collections::BTreeMap;

use statrs::distribution::{ContinuousCDF, StudentsT};

/// Fewer strokes than this give no interval.
pub(crate) const FEWEST_FOR_INTERVAL: usize = 3;

/// Mean; `None` of nothing.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
pub(crate) fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard deviation with n − 1; `None` of fewer than two.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
pub(crate) fn standard_deviation(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    if values.len() < 2 {
        return None;
    }
    let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    Some((squares / (values.len() - 1) as f64).sqrt())
}

/// A mean duration, its standard uncertainty and its interval, as those of the rate `numerator` / duration.
pub(crate) fn as_rate(
    numerator: f64,
    mean: f64,
    uncertainty: f64,
    interval: Option<[f64; 2]>,
) -> (f64, f64, Option<[f64; 2]>) {
    (
        numerator / mean,
        numerator / (mean * mean) * uncertainty,
        // An interval that reaches zero duration has no upper rate.
        interval
            .filter(|[low, _]| *low > 0.0)
            .map(|[low, high]| [numerator / high, numerator / low]),
    )
}

/// 97.5 % quantiles of Student's t, each computed once.
#[derive(Default)]
pub(crate) struct StudentQuantiles {
    known: BTreeMap<usize, f64>,
}

impl StudentQuantiles {
    /// Half the width of the 95 % interval of a mean of `n` values with that standard deviation.
    #[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
    pub(crate) fn half_width(&mut self, n: usize, standard_deviation: f64) -> Option<f64> {
        if n < FEWEST_FOR_INTERVAL {
            return None;
        }
        let quantile = match self.known.get(&n) {
            Some(quantile) => *quantile,
            None => {
                let quantile = StudentsT::new(0.0, 1.0, (n - 1) as f64).ok()?.inverse_cdf(0.975);
                self.known.insert(n, quantile);
                quantile
            }
        };
        Some(quantile * standard_deviation / (n as f64).sqrt())
    }
}
