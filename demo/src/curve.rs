//! A smooth curve through keyed values that never overshoots them.
//!
//! The interpolant is the monotone piecewise cubic of Fritsch & Butland (1984, SIAM J Sci Stat Comput
//! 5:300-304): its slope is zero exactly at a key that is higher or lower than both its neighbours and
//! nowhere else between monotone keys, so a hand that is keyed to turn back at the catch turns back there.

/// Values keyed by strictly increasing times.
#[derive(Clone, Debug, Default)]
pub struct Curve {
    times: Vec<f64>,
    values: Vec<f64>,
    slopes: Vec<f64>,
}

impl Curve {
    /// Through `keys` of (time, value); a key that does not come after the one before it is left out.
    #[must_use]
    pub fn through(keys: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut times: Vec<f64> = Vec::new();
        let mut values: Vec<f64> = Vec::new();
        for (time, value) in keys {
            if times.last().is_none_or(|last| time > *last) {
                times.push(time);
                values.push(value);
            }
        }
        let secants: Vec<f64> = times
            .windows(2)
            .zip(values.windows(2))
            .map(|(time, value)| (value[1] - value[0]) / (time[1] - time[0]))
            .collect();
        let mut slopes = vec![0.0; times.len()];
        for middle in 1..times.len().saturating_sub(1) {
            let (before, after) = (secants[middle - 1], secants[middle]);
            if before * after > 0.0 {
                let (left, right) = (
                    times[middle] - times[middle - 1],
                    times[middle + 1] - times[middle],
                );
                let share = (2.0 * right + left) / (3.0 * (left + right));
                slopes[middle] = before * after / (share * after + (1.0 - share) * before);
            }
        }
        Self {
            times,
            values,
            slopes,
        }
    }

    /// The value at `time`; before the first key and after the last one, theirs. 0 without keys.
    #[must_use]
    pub fn at(&self, time: f64) -> f64 {
        let after = self.times.partition_point(|key| *key <= time);
        if after == 0 {
            return self.values.first().copied().unwrap_or(0.0);
        }
        if after == self.times.len() {
            return self.values[after - 1];
        }
        let width = self.times[after] - self.times[after - 1];
        let x = (time - self.times[after - 1]) / width;
        let (start, end) = (self.values[after - 1], self.values[after]);
        let (leave, arrive) = (self.slopes[after - 1] * width, self.slopes[after] * width);
        let (x2, x3) = (x * x, x * x * x);
        start * (2.0 * x3 - 3.0 * x2 + 1.0)
            + leave * (x3 - 2.0 * x2 + x)
            + end * (3.0 * x2 - 2.0 * x3)
            + arrive * (x3 - x2)
    }
}

/// 0 below `low`, 1 above `high`, smooth between.
#[must_use]
pub fn smooth_step(low: f64, high: f64, value: f64) -> f64 {
    let x = ((value - low) / (high - low)).clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_through_its_keys_and_turns_only_at_them() {
        let curve = Curve::through([(0.0, 0.0), (1.0, 3.0), (1.5, 4.0), (3.0, -1.0)]);
        for (time, value) in [(0.0, 0.0), (1.0, 3.0), (1.5, 4.0), (3.0, -1.0)] {
            assert!((curve.at(time) - value).abs() < 1e-12);
        }
        for step in 0..150 {
            let time = f64::from(step) * 0.01;
            assert!(
                curve.at(time + 0.01) > curve.at(time),
                "rises until 1.5, not at {time}"
            );
        }
        for step in 150..299 {
            let time = f64::from(step) * 0.01;
            assert!(
                curve.at(time + 0.01) < curve.at(time),
                "falls after 1.5, not at {time}"
            );
        }
    }
}
