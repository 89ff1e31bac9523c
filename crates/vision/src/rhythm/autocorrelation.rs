//! A signal's likeness with itself some steps later.

use super::even_times::EvenSignal;

/// Sums over pairs of values `lag` steps apart.
#[derive(Clone, Debug)]
pub struct Autocorrelation {
    step_s: f64,
    /// Of all pairs, by lag.
    all: Vec<Pairs>,
    /// Of the pairs that begin or end in a block of the signal, `[block][lag]`.
    touching: Vec<Vec<Pairs>>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Pairs {
    product: f64,
    earlier_squared: f64,
    later_squared: f64,
}

impl Pairs {
    fn of(earlier: &[f64], later: &[f64]) -> Self {
        let mut sums = Self::default();
        for (earlier, later) in earlier.iter().zip(later) {
            sums.product += earlier * later;
            sums.earlier_squared += earlier * earlier;
            sums.later_squared += later * later;
        }
        sums
    }

    fn plus(self, other: Self) -> Self {
        Self {
            product: self.product + other.product,
            earlier_squared: self.earlier_squared + other.earlier_squared,
            later_squared: self.later_squared + other.later_squared,
        }
    }

    fn minus(self, other: Self) -> Self {
        Self {
            product: self.product - other.product,
            earlier_squared: self.earlier_squared - other.earlier_squared,
            later_squared: self.later_squared - other.later_squared,
        }
    }

    fn likeness(self) -> f64 {
        let spread = self.earlier_squared.max(0.0).sqrt() * self.later_squared.max(0.0).sqrt();
        if spread > 0.0 { self.product / spread } else { 0.0 }
    }
}

impl Autocorrelation {
    /// Lags from 0 up to `longest_s` seconds, for a signal in `blocks` parts of equal length.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a lag within the signal"
    )]
    pub fn of(signal: &EvenSignal, longest_s: f64, blocks: usize) -> Self {
        let values = &signal.values;
        let count = values.len();
        let lags = ((longest_s / signal.step_s).ceil() as usize + 1).min(count);
        let blocks = blocks.clamp(1, count.max(1));
        // Pairs that begin from `from` on and before `end`.
        let pairs = |from: usize, end: usize, lag: usize| {
            let end = end.min(count - lag);
            Pairs::of(
                values.get(from..end).unwrap_or(&[]),
                values.get(from + lag..).unwrap_or(&[]),
            )
        };
        let touching = (0..blocks).map(|block| {
            let (from, end) = (block * count / blocks, (block + 1) * count / blocks);
            let of_lag = |lag: usize| {
                let ends_here = (from.saturating_sub(lag), end.saturating_sub(lag).min(from));
                pairs(from, end, lag).plus(pairs(ends_here.0, ends_here.1, lag))
            };
            (0..lags).map(of_lag).collect()
        });
        Self {
            step_s: signal.step_s,
            all: (0..lags).map(|lag| pairs(0, count, lag)).collect(),
            touching: touching.collect(),
        }
    }

    /// Seconds from lag to lag.
    #[must_use]
    pub fn step_s(&self) -> f64 {
        self.step_s
    }

    /// How many blocks there are.
    #[must_use]
    pub fn blocks(&self) -> usize {
        self.touching.len()
    }

    /// The likeness at each lag, −1 to 1: Σ x(t)·x(t + lag) over the root of Σ x(t)² · Σ x(t + lag)², all over
    /// the pairs there are, so that it does not fall off where pairs get few. With `without`, as if that block
    /// had not been read.
    #[must_use]
    pub fn likeness(&self, without: Option<usize>) -> Vec<f64> {
        let left_out = without.and_then(|block| self.touching.get(block));
        self.all
            .iter()
            .enumerate()
            .map(|(lag, all)| match left_out {
                Some(touching) => all.minus(touching[lag]).likeness(),
                None => all.likeness(),
            })
            .collect()
    }
}
