//! Differences of means: Welch's t, the paired t, their 95 % intervals, and Hedges' g.
//!
//! Distributions by `statrs`. Sources: Welch 1947, Biometrika 34:28-35 (degrees of freedom as Satterthwaite
//! 1946); Hedges 1981, J Educ Stat 6:107-128 (exact correction). Checked against SciPy in `tests/reference`.

use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::function::gamma::ln_gamma;

/// A mean with the variance of one value: what a t test needs of a sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sample {
    pub(crate) n: f64,
    pub(crate) mean: f64,
    /// Of one value, n − 1 in the denominator.
    pub(crate) variance: f64,
}

/// A difference against its own uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct TTest {
    pub(crate) difference: f64,
    pub(crate) standard_error: f64,
    pub(crate) degrees_of_freedom: f64,
    pub(crate) t: f64,
    pub(crate) p: f64,
}

impl TTest {
    fn new(difference: f64, variance: f64, degrees_of_freedom: f64) -> Option<Self> {
        let standard_error = variance.sqrt();
        let t = difference / standard_error;
        let distribution = StudentsT::new(0.0, 1.0, degrees_of_freedom).ok()?;
        t.is_finite().then(|| Self {
            difference,
            standard_error,
            degrees_of_freedom,
            t,
            p: 2.0 * distribution.cdf(-t.abs()),
        })
    }

    /// Half the width of the two-sided interval that leaves `alpha` outside.
    pub(crate) fn half_width(&self, alpha: f64) -> Option<f64> {
        let distribution = StudentsT::new(0.0, 1.0, self.degrees_of_freedom).ok()?;
        Some(distribution.inverse_cdf(1.0 - alpha / 2.0) * self.standard_error)
    }
}

/// After − before of independent samples with variances of their own; `None` without any spread.
pub(crate) fn welch(before: Sample, after: Sample) -> Option<TTest> {
    let [of_before, of_after] = [before, after].map(|sample| sample.variance / sample.n);
    let variance = of_before + of_after;
    let degrees_of_freedom = variance * variance
        / (of_before * of_before / (before.n - 1.0) + of_after * of_after / (after.n - 1.0));
    TTest::new(after.mean - before.mean, variance, degrees_of_freedom)
}

/// The mean of paired differences against 0; `None` without any spread.
pub(crate) fn paired(differences: Sample) -> Option<TTest> {
    TTest::new(
        differences.mean,
        differences.variance / differences.n,
        differences.n - 1.0,
    )
}

/// The difference in pooled SDs, without the lean of small samples.
pub(crate) fn hedges_g(before: Sample, after: Sample) -> Option<f64> {
    let degrees_of_freedom = before.n + after.n - 2.0;
    let pooled = ((before.n - 1.0) * before.variance + (after.n - 1.0) * after.variance) / degrees_of_freedom;
    corrected((after.mean - before.mean) / pooled.sqrt(), degrees_of_freedom)
}

/// The mean of paired differences in SDs of the differences, without the lean of small samples.
pub(crate) fn hedges_g_paired(differences: Sample) -> Option<f64> {
    corrected(
        differences.mean / differences.variance.sqrt(),
        differences.n - 1.0,
    )
}

fn corrected(d: f64, degrees_of_freedom: f64) -> Option<f64> {
    let half = degrees_of_freedom / 2.0;
    let correction = libm::exp(ln_gamma(half) - ln_gamma(half - 0.5)) / half.sqrt();
    Some(d * correction).filter(|g| g.is_finite())
}
