//! A peak between samples.

/// Where the parabola through three values one apart, the middle one the largest, has its peak.
pub(crate) fn vertex(before: f64, middle: f64, after: f64) -> f64 {
    let bend = before - 2.0 * middle + after;
    if bend < 0.0 {
        ((before - after) / (2.0 * bend)).clamp(-0.5, 0.5)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_has_its_peak_where_it_was_put() {
        for peak in [-0.5, -0.2, 0.0, 0.35] {
            let height = |x: f64| 3.0 - 2.0 * (x - peak) * (x - peak);
            assert!((vertex(height(-1.0), height(0.0), height(1.0)) - peak).abs() < 1e-12);
        }
        assert_eq!(vertex(1.0, 1.0, 1.0), 0.0);
    }
}
