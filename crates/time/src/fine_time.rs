//! A point in time between two ticks, exactly.

use std::cmp::Ordering;
use std::num::NonZeroU64;

use crate::Ticks;

/// `whole` ticks and `over`/`of` of one more, with `over < of`: what a share of a stretch of time comes to.
///
/// Not for marks or frames, which stand on whole ticks.
#[derive(Clone, Copy, Debug)]
pub struct FineTime {
    whole: Ticks,
    over: u64,
    of: NonZeroU64,
}

impl FineTime {
    /// The time that is `over`/`of` of the way from `start` to `end`, computed in integers without rounding;
    /// `over > of` lies beyond `end`. Saturates at the ends of 64 bits.
    #[must_use]
    pub fn between(start: Ticks, end: Ticks, over: u64, of: NonZeroU64) -> Self {
        let length = i128::from(end.0) - i128::from(start.0);
        let parts = length.saturating_mul(i128::from(over));
        let whole = i128::from(start.0).saturating_add(parts.div_euclid(i128::from(of.get())));
        Self {
            whole: Ticks(i64::try_from(whole).unwrap_or(if whole < 0 { i64::MIN } else { i64::MAX })),
            // Below `of`, which has 64 bits.
            over: u64::try_from(parts.rem_euclid(i128::from(of.get()))).unwrap_or(0),
            of,
        }
    }

    /// The last tick at or before it.
    #[must_use]
    pub fn whole(self) -> Ticks {
        self.whole
    }

    /// In ticks, rounded to a float's precision: for showing, not for comparing.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "it is said to be rounded")]
    pub fn ticks(self) -> f64 {
        self.whole.0 as f64 + self.over as f64 / self.of.get() as f64
    }

    /// Whether it lies before, on or after the middle between two ticks.
    pub(crate) fn against_middle_of(self, one: Ticks, other: Ticks) -> Ordering {
        let of = i128::from(self.of.get());
        let twice = 2 * (i128::from(self.whole.0) * of + i128::from(self.over));
        twice.cmp(&((i128::from(one.0) + i128::from(other.0)) * of))
    }
}

impl PartialEq for FineTime {
    fn eq(&self, other: &Self) -> bool {
        let [one, two] = [(self, other), (other, self)]
            .map(|(time, against)| u128::from(time.over) * u128::from(against.of.get()));
        self.whole == other.whole && one == two
    }
}

impl Eq for FineTime {}

impl From<Ticks> for FineTime {
    fn from(whole: Ticks) -> Self {
        Self {
            whole,
            over: 0,
            of: NonZeroU64::MIN,
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const THREE: NonZeroU64 = NonZeroU64::new(3).unwrap();

    #[test]
    fn a_third_of_ten_ticks_is_three_and_a_third_from_either_end() {
        let third = FineTime::between(Ticks(-10), Ticks(0), 1, THREE);
        assert_eq!((third.whole(), third.over), (Ticks(-7), 1));
        assert_eq!(third, FineTime::between(Ticks(0), Ticks(-10), 2, THREE));
        assert!((third.ticks() + 20.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn beyond_64_bits_it_stops_at_the_last_tick() {
        let far = FineTime::between(Ticks(i64::MIN), Ticks(i64::MAX), u64::MAX, NonZeroU64::MIN);
        assert_eq!(far.whole(), Ticks(i64::MAX));
    }

    proptest! {
        #[test]
        fn it_lies_between_its_ends_and_grows_with_its_share(
            start in -1_000_000_i64..1_000_000, length in 0_i64..1_000_000, of in 1_u64..(1 << 52), at in 0.0..1.0_f64,
        ) {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a test picks a share")]
            let over = (at * of as f64) as u64;
            let of = NonZeroU64::new(of).unwrap();
            let (start, end) = (Ticks(start), Ticks(start + length));
            let time = FineTime::between(start, end, over, of);
            prop_assert!(start <= time.whole() && time.whole() <= end);
            let later = FineTime::between(start, end, (over + 1).min(of.get()), of);
            prop_assert!(time.whole() <= later.whole() && time.ticks() <= later.ticks());
            prop_assert_eq!(FineTime::between(start, end, 0, of).ticks(), FineTime::from(start).ticks());
        }
    }
}
