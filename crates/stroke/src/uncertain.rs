//! A number that knows how much each mark moves it.
//!
//! Every derived quantity carries its value and its sparse gradient over the marks it came from (forward
//! accumulation). Marks shared by two terms then cancel or add as they must: the mean of consecutive
//! cycles keeps only its first and last entry.
//!
//! Not for: stroke-to-stroke variation; that is `statistics`.
//!
//! Source of the rule: law of propagation of uncertainty, JCGM 100:2008 (GUM) §5.1.2, first order. A
//! mark's own variance is that of a uniform distribution over its frame, d²/12 (GUM §4.3.7).

use std::ops::{Add, Div, Mul, Sub};

use smallvec::SmallVec;

/// Index of an input whose error is independent of every other: a mark's place in [`crate::ordered::Marks`],
/// or one past the last for the stated speed.
pub(crate) type Input = u32;

/// A value with its partial derivatives.
#[derive(Clone, Debug)]
pub(crate) struct Estimate {
    pub(crate) value: f64,
    gradient: SmallVec<[(Input, f64); 4]>,
}

impl Estimate {
    /// A constant: no input moves it.
    pub(crate) fn exact(value: f64) -> Self {
        Self {
            value,
            gradient: SmallVec::new(),
        }
    }

    /// A value that equals one input.
    pub(crate) fn of_input(value: f64, input: Input) -> Self {
        Self {
            value,
            gradient: SmallVec::from_slice(&[(input, 1.0)]),
        }
    }

    /// The length `value` from the time of mark `from` to the time of mark `to`.
    #[inline]
    pub(crate) fn between(value: f64, from: Input, to: Input) -> Self {
        if from == to {
            return Self::exact(value);
        }
        Self {
            value,
            gradient: SmallVec::from_slice(&[(from, -1.0), (to, 1.0)]),
        }
    }

    /// `numerator` / self.
    pub(crate) fn reciprocal(mut self, numerator: f64) -> Self {
        let slope = self.slope_of_reciprocal(numerator);
        self.value = numerator / self.value;
        for (_, partial) in &mut self.gradient {
            *partial *= slope;
        }
        self
    }

    /// The standard uncertainty of `numerator` / self, given the variance of each input.
    pub(crate) fn uncertainty_of_reciprocal(&self, numerator: f64, variances: &[f64]) -> f64 {
        self.uncertainty_times(self.slope_of_reciprocal(numerator), variances)
    }

    fn slope_of_reciprocal(&self, numerator: f64) -> f64 {
        -numerator / (self.value * self.value)
    }

    /// Every input that moves it, with the partial derivative.
    #[inline]
    pub(crate) fn gradient(&self) -> &[(Input, f64)] {
        &self.gradient
    }

    /// Standard uncertainty (1 SD), given the variance of each input.
    #[inline]
    pub(crate) fn uncertainty(&self, variances: &[f64]) -> f64 {
        self.uncertainty_times(1.0, variances)
    }

    /// Standard uncertainty of a function of this value whose slope here is `slope`.
    #[inline]
    fn uncertainty_times(&self, slope: f64, variances: &[f64]) -> f64 {
        let variance: f64 = self
            .gradient
            .iter()
            .map(|(input, partial)| {
                let partial = partial * slope;
                partial * partial * variances.get(*input as usize).copied().unwrap_or(0.0)
            })
            .sum();
        variance.sqrt()
    }

    #[inline]
    fn scale(&mut self, factor: f64) {
        self.value *= factor;
        for (_, partial) in &mut self.gradient {
            *partial *= factor;
        }
    }

    #[inline]
    fn accumulate(&mut self, other: &Self, weight: f64) {
        for (input, partial) in &other.gradient {
            match self.gradient.iter_mut().find(|(known, _)| known == input) {
                Some((_, sum)) => *sum += weight * partial,
                None => self.gradient.push((*input, weight * partial)),
            }
        }
    }
}

impl Add for Estimate {
    type Output = Self;

    fn add(mut self, other: Self) -> Self {
        self.value += other.value;
        self.accumulate(&other, 1.0);
        self
    }
}

impl Sub for Estimate {
    type Output = Self;

    fn sub(mut self, other: Self) -> Self {
        self.value -= other.value;
        self.accumulate(&other, -1.0);
        self
    }
}

impl Mul<f64> for Estimate {
    type Output = Self;

    #[inline]
    fn mul(mut self, factor: f64) -> Self {
        self.scale(factor);
        self
    }
}

impl Mul for Estimate {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        let (left, right) = (self.value, other.value);
        let mut product = self * right;
        product.accumulate(&other, left);
        product
    }
}

impl Div<&Estimate> for Estimate {
    type Output = Self;

    #[inline]
    fn div(mut self, divisor: &Estimate) -> Self {
        self.scale(1.0 / divisor.value);
        let slope = -self.value / divisor.value;
        self.accumulate(divisor, slope);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shared_mark_cancels_in_the_sum_of_neighbouring_spans() {
        let sum = Estimate::between(1.5, 0, 1) + Estimate::between(1.4, 1, 2);
        let partial = |input| {
            sum.gradient()
                .iter()
                .find(|(known, _)| *known == input)
                .map_or(0.0, |(_, p)| *p)
        };
        assert_eq!((partial(0), partial(1), partial(2)), (-1.0, 0.0, 1.0));
    }

    #[test]
    fn products_and_quotients_follow_the_finite_difference() {
        let at = |a: f64, b: f64, c: f64| {
            let pull = Estimate::between(b - a, 0, 1);
            let cycle = Estimate::between(c - a, 0, 2);
            (pull.clone() * cycle.clone()) / &cycle.reciprocal(3.0)
        };
        let times = [0.2, 0.7, 1.9];
        let estimate = at(times[0], times[1], times[2]);
        for (input, partial) in estimate.gradient() {
            let step = 1e-6;
            let mut up = times;
            let mut down = times;
            up[*input as usize] += step;
            down[*input as usize] -= step;
            let slope = (at(up[0], up[1], up[2]).value - at(down[0], down[1], down[2]).value) / (2.0 * step);
            assert!((slope - partial).abs() < 1e-7, "{slope} against {partial}");
        }
    }
}
