//! A standard error from estimates that leave out one block of the data each.

/// Standard error from the estimates with one block left out each.
pub(super) fn jackknife_error(estimates: &[f64]) -> f64 {
    let count = estimates.len() as f64;
    if estimates.len() < 2 {
        return 0.0;
    }
    let mean = estimates.iter().sum::<f64>() / count;
    let squares: f64 = estimates
        .iter()
        .map(|estimate| (estimate - mean) * (estimate - mean))
        .sum();
    (squares * (count - 1.0) / count).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For the mean the jackknife gives the textbook's standard error exactly.
    #[test]
    fn of_a_mean_it_is_the_standard_error() {
        let values = [3.0, 4.5, 1.0, 7.25, 2.0];
        let count = values.len() as f64;
        let total: f64 = values.iter().sum();
        let left_out: Vec<f64> = values
            .iter()
            .map(|value| (total - value) / (count - 1.0))
            .collect();
        let squares: f64 = values.iter().map(|value| (value - total / count).powi(2)).sum();
        let standard_error = (squares / (count - 1.0) / count).sqrt();
        assert!((jackknife_error(&left_out) - standard_error).abs() < 1e-12);
        assert_eq!(jackknife_error(&[1.0]), 0.0);
    }
}
