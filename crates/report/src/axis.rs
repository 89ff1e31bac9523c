//! A straight axis: where values stand on it, and which round numbers are written along it.
//!
//! Not for: drawing.

/// From values to places along a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

/// A round number on an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tick {
    /// The value that is written.
    pub value: f64,
    /// Where.
    pub at: f64,
}

/// Steps between round numbers, within a power of ten.
const STEPS: [f64; 4] = [1.0, 2.0, 5.0, 10.0];
/// What an axis spans where all its values are equal, as a share of the value.
const LEAST_SPAN: f64 = 0.02;

impl Axis {
    /// The axis over these values between two places, with `air` (a share of the span) at both ends. Values
    /// that are no number are passed over; without any, or where all are equal, it spans a little all the same.
    #[must_use]
    pub fn over(values: impl IntoIterator<Item = f64>, air: f64, from: f64, to: f64) -> Self {
        let (low, high) = values
            .into_iter()
            .filter(|value| value.is_finite())
            .fold(None, |range: Option<(f64, f64)>, value| {
                Some(range.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
            })
            .unwrap_or((0.0, 1.0));
        let least = (low.abs().max(high.abs()) * LEAST_SPAN).max(1e-6);
        let (low, high) = if high - low < least {
            (low - least / 2.0, high + least / 2.0)
        } else {
            (low, high)
        };
        let air = (high - low) * air;
        Self {
            low: low - air,
            high: high + air,
            from,
            to,
        }
    }

    /// The same places for values counted from `zero`: an axis of differences below an axis of values.
    #[must_use]
    pub fn counted_from(self, zero: f64) -> Self {
        Self {
            low: self.low - zero,
            high: self.high - zero,
            ..self
        }
    }

    /// Where a value stands; values beyond the axis stand at its end.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.from + share * (self.to - self.from)
    }

    /// At most `most` round numbers along the axis, and the decimals that they are written with.
    #[must_use]
    pub fn ticks(&self, most: usize) -> (Vec<Tick>, usize) {
        let span = self.high - self.low;
        let rough = span / most.max(1) as f64;
        let power = libm::floor(libm::log10(rough));
        let unit = libm::pow(10.0, power);
        let step = STEPS
            .iter()
            .map(|step| step * unit)
            .find(|step| *step >= rough)
            .unwrap_or(10.0 * unit);
        let (first, last) = (libm::ceil(self.low / step), libm::floor(self.high / step));
        let mut ticks = Vec::new();
        let mut count = first;
        while count <= last {
            let value = count * step;
            ticks.push(Tick {
                value,
                at: self.at(value),
            });
            count += 1.0;
        }
        let decimals = (-libm::floor(libm::log10(step) + 1e-9)).clamp(0.0, 6.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 0 and 6"
        )]
        let decimals = decimals as usize;
        (ticks, decimals)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn round_numbers_stand_where_their_values_do() {
        let axis = Axis::over([62.0, 148.0], 0.0, 0.0, 86.0);
        let (ticks, decimals) = axis.ticks(5);
        let values: Vec<f64> = ticks.iter().map(|tick| tick.value).collect();
        assert_eq!((values, decimals), (vec![80.0, 100.0, 120.0, 140.0], 0));
        assert_eq!(ticks[0].at, 18.0);
    }

    #[test]
    fn a_difference_stands_below_the_value_that_it_leads_to() {
        let axis = Axis::over([60.0, 140.0], 0.1, 0.0, 300.0);
        let differences = axis.counted_from(131.0);
        assert!((differences.at(84.0 - 131.0) - axis.at(84.0)).abs() < 1e-9);
    }

    #[test]
    fn equal_values_and_none_still_give_an_axis() {
        for values in [vec![], vec![0.0], vec![80.0, 80.0], vec![f64::NAN]] {
            let axis = Axis::over(values, 0.06, 0.0, 100.0);
            assert!(!axis.ticks(5).0.is_empty());
        }
    }

    proptest! {
        #[test]
        fn ticks_lie_on_the_axis_in_order_and_are_not_too_many(low in -1e4..1e4_f64, span in 1e-3..1e4_f64, most in 2_usize..9) {
            let axis = Axis::over([low, low + span], 0.05, 10.0, 300.0);
            let (ticks, _) = axis.ticks(most);
            prop_assert!(ticks.len() <= most + 1);
            prop_assert!(ticks.iter().all(|tick| (10.0..=300.0).contains(&tick.at)));
            prop_assert!(ticks.windows(2).all(|pair| pair[0].at < pair[1].at));
        }
    }
}
