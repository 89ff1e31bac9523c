//! Readings at uneven times, put on even ones and freed from slow drift.

/// Values at even times.
#[derive(Clone, Debug, PartialEq)]
pub struct EvenSignal {
    /// Seconds from one value to the next.
    pub step_s: f64,
    /// The values.
    pub values: Vec<f64>,
}

/// Values below this spacing would cost much and tell nothing about strokes, seconds.
const SHORTEST_STEP_S: f64 = 0.01;
/// A longer clip gets a wider spacing, so that the work stays bounded.
const MOST_VALUES: usize = 40_000;

impl EvenSignal {
    /// Means of the readings over even steps of the readings' median spacing (but 1/100 s at least), the
    /// readings joined by straight lines. `times_s` must increase. Fewer than two readings give no values.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counts of steps below 2^16"
    )]
    pub fn from_readings(times_s: &[f64], values: &[f64]) -> Self {
        let count = times_s.len().min(values.len());
        let mut spacings: Vec<f64> = times_s[..count]
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .collect();
        if spacings.is_empty() {
            return Self {
                step_s: SHORTEST_STEP_S,
                values: Vec::new(),
            };
        }
        let middle = spacings.len() / 2;
        let median = *spacings.select_nth_unstable_by(middle, f64::total_cmp).1;
        let (first, last) = (times_s[0], times_s[count - 1]);
        let step_s = median
            .max(SHORTEST_STEP_S)
            .max((last - first) / MOST_VALUES as f64);
        let steps = ((last - first) / step_s + 1e-9).floor() as usize;
        let integral = Integral::of(&times_s[..count], &values[..count]);
        let mut cursor = 0;
        let edges: Vec<f64> = (0..=steps)
            .map(|step| integral.until((first + step as f64 * step_s).min(last), &mut cursor))
            .collect();
        Self {
            step_s,
            values: edges
                .windows(2)
                .map(|pair| (pair[1] - pair[0]) / step_s)
                .collect(),
        }
    }

    /// The signal without what changes faster than over a few `spread_s` seconds: means under a Gaussian of that
    /// standard deviation.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counts of values below 2^16"
    )]
    pub fn smoothed(&self, spread_s: f64) -> Self {
        let spread = (spread_s / self.step_s).max(1e-3);
        let reach = (3.0 * spread).ceil() as usize;
        let weights: Vec<f64> = (0..=reach)
            .map(|away| libm::exp(-0.5 * (away as f64 / spread) * (away as f64 / spread)))
            .collect();
        let smooth = |index: usize| {
            let (from, end) = (
                index.saturating_sub(reach),
                (index + reach + 1).min(self.values.len()),
            );
            let (mut sum, mut total) = (0.0, 0.0);
            for (other, value) in (from..end).zip(&self.values[from..end]) {
                let weight = weights[index.abs_diff(other)];
                sum += weight * value;
                total += weight;
            }
            sum / total
        };
        Self {
            step_s: self.step_s,
            values: (0..self.values.len()).map(smooth).collect(),
        }
    }

    /// The signal without what changes more slowly than over `window_s` seconds: the mean around each value is
    /// taken off. A window that reaches over an end is cut there on both sides, so that it stays centred, and
    /// has a quarter of its length at least.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counts of values below 2^16"
    )]
    pub fn without_drift(&self, window_s: f64) -> Self {
        let count = self.values.len();
        let half = ((window_s / self.step_s / 2.0).round() as usize).max(1);
        let mut sums = vec![0.0];
        let mut total = 0.0;
        for value in &self.values {
            total += value;
            sums.push(total);
        }
        let freed: Vec<f64> = self
            .values
            .iter()
            .enumerate()
            .map(|(index, value)| {
                let reach = half
                    .min(index.max(half / 4))
                    .min((count - 1 - index).max(half / 4));
                let (from, end) = (index.saturating_sub(reach), (index + reach + 1).min(count));
                value - (sums[end] - sums[from]) / (end - from) as f64
            })
            .collect();
        let mean = freed.iter().sum::<f64>() / count.max(1) as f64;
        Self {
            step_s: self.step_s,
            values: freed.into_iter().map(|value| value - mean).collect(),
        }
    }
}

/// The area under the straight lines from reading to reading.
struct Integral<'readings> {
    times_s: &'readings [f64],
    values: &'readings [f64],
    /// Up to each reading.
    areas: Vec<f64>,
}

impl<'readings> Integral<'readings> {
    fn of(times_s: &'readings [f64], values: &'readings [f64]) -> Self {
        let mut areas = vec![0.0];
        let mut area = 0.0;
        for (times, values) in times_s.windows(2).zip(values.windows(2)) {
            area += (times[1] - times[0]) * (values[0] + values[1]) / 2.0;
            areas.push(area);
        }
        Self {
            times_s,
            values,
            areas,
        }
    }

    /// Up to `time_s`, which is not before the last one asked for with the same cursor.
    fn until(&self, time_s: f64, cursor: &mut usize) -> f64 {
        while *cursor + 2 < self.times_s.len() && self.times_s[*cursor + 1] < time_s {
            *cursor += 1;
        }
        let (from, to) = (self.times_s[*cursor], self.times_s[*cursor + 1]);
        let (start, end) = (self.values[*cursor], self.values[*cursor + 1]);
        let share = ((time_s - from) / (to - from)).clamp(0.0, 1.0);
        let at = start + share * (end - start);
        self.areas[*cursor] + (time_s - from) * (start + at) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_stays_one_whatever_the_spacing() {
        let times_s = [0.0, 0.03, 0.05, 0.11, 0.12, 0.2, 0.27, 0.3];
        let values: Vec<f64> = times_s.iter().map(|time| 2.0 + 10.0 * time).collect();
        let even = EvenSignal::from_readings(&times_s, &values);
        for (index, value) in even.values.iter().enumerate() {
            let middle_s = (index as f64 + 0.5) * even.step_s;
            assert!((value - (2.0 + 10.0 * middle_s)).abs() < 1e-9, "{index}: {value}");
        }
        assert!(
            even.without_drift(0.1)
                .values
                .iter()
                .all(|value| value.abs() < 1e-9)
        );
    }

    #[test]
    fn too_few_readings_give_nothing() {
        assert!(EvenSignal::from_readings(&[], &[]).values.is_empty());
        assert!(EvenSignal::from_readings(&[1.0], &[2.0]).values.is_empty());
    }
}
