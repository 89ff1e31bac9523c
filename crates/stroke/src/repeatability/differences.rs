//! From the differences between two markings to the standard error of measurement.
//!
//! SEM = SD of the differences / √2, MDC₉₅ = 1.96·√2·SEM (Weir 2005, J Strength Cond Res 19:231-240 [memory,
//! high]). The interval of the SEM is that of a standard deviation, by χ² (common statistics; checked against
//! SciPy in `tests/repeatability.rs`).
//!
//! The frames' share. A mark falls on a frame, whose true time is uniform over the frame's length d: variance
//! d²/12 for each of the two marks. The variance of a difference is therefore 2·(own² + d²/12) as soon as the
//! coach's own scatter is more than about a quarter of a frame (Sheppard 1898, Proc Lond Math Soc 29:353-380),
//! so that own² = SEM² − d²/12. Below that both marks mostly fall on the same frame, and own is given as 0: the
//! frames hide it.

use std::collections::BTreeSet;

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::{FEWEST_PAIRS, NORMAL_97_5, TooFewPairs};
use crate::statistics::{StudentQuantiles, mean, standard_deviation};

/// The differences of one kind of mark or measure, from all passes.
#[derive(Clone, Debug, Default)]
pub(super) struct Differences {
    values: Vec<f64>,
    /// The mean of the two markings' frame variances, for each value.
    frame_variances: Vec<f64>,
    /// What was marked again: a mark or cycle that was marked again twice counts once, since both differences
    /// share its first marking.
    different: BTreeSet<u64>,
}

/// What follows from them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Scatter {
    pub(super) n: u32,
    pub(super) sem: Option<f64>,
    pub(super) sem_interval: Option<[f64; 2]>,
    pub(super) mdc: Option<f64>,
    pub(super) own_sem: Option<f64>,
    pub(super) shift: Option<f64>,
    pub(super) shift_interval: Option<[f64; 2]>,
    pub(super) too_few: Option<TooFewPairs>,
}

impl Differences {
    /// Adds (again − earlier) of what is called `what`, with the two markings' variances from frames alone.
    pub(super) fn add(&mut self, what: u64, difference: f64, frame_variances: [f64; 2]) {
        self.values.push(difference);
        self.frame_variances
            .push(frame_variances[0].midpoint(frame_variances[1]));
        self.different.insert(what);
    }

    /// Then nothing scatters, whatever rounding makes of their mean.
    fn are_equal(&self) -> bool {
        self.values.windows(2).all(|pair| pair[0] == pair[1])
    }

    pub(super) fn scatter(&self) -> Scatter {
        let different = self.different.len();
        let spread =
            standard_deviation(&self.values).map(|spread| if self.are_equal() { 0.0 } else { spread });
        let shift = mean(&self.values);
        let half_width = spread.and_then(|spread| StudentQuantiles::default().half_width(different, spread));
        let pairs = u32::try_from(different).unwrap_or(u32::MAX);
        let enough = spread.filter(|_| pairs >= FEWEST_PAIRS);
        let sem = enough.map(|spread| spread / 2.0_f64.sqrt());
        Scatter {
            n: u32::try_from(self.values.len()).unwrap_or(u32::MAX),
            sem,
            sem_interval: sem.and_then(|sem| interval_of_deviation(sem, different)),
            mdc: sem.map(|sem| NORMAL_97_5 * 2.0_f64.sqrt() * sem),
            own_sem: sem.map(|sem| {
                let frames = mean(&self.frame_variances).unwrap_or(0.0);
                (sem * sem - frames).max(0.0).sqrt()
            }),
            shift,
            shift_interval: shift
                .zip(half_width)
                .map(|(shift, half_width)| [shift - half_width, shift + half_width]),
            too_few: sem.is_none().then(|| TooFewPairs::of(pairs)),
        }
    }
}

/// The 95 % interval of a standard deviation of `n` normal values; `None` where nothing scattered, since two
/// equal markings do not show an error of nought, only one that the frames hide.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 marks")]
fn interval_of_deviation(deviation: f64, n: usize) -> Option<[f64; 2]> {
    if n < 2 || deviation <= 0.0 {
        return None;
    }
    let freedom = (n - 1) as f64;
    let squares = ChiSquared::new(freedom).ok()?;
    let bound = |share| deviation * (freedom / squares.inverse_cdf(share)).sqrt();
    Some([bound(0.975), bound(0.025)])
}

impl TooFewPairs {
    fn of(pairs: u32) -> Self {
        let missing = FEWEST_PAIRS.saturating_sub(pairs);
        Self {
            pairs,
            needed: FEWEST_PAIRS,
            message: format!("{pairs} marked again; {FEWEST_PAIRS} are needed."),
            hint: format!("Mark {missing} more of them again."),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn scatter_of(values: &[f64], frame_variance: f64) -> Scatter {
        let mut differences = Differences::default();
        for (what, value) in (0..).zip(values) {
            differences.add(what, *value, [frame_variance; 2]);
        }
        differences.scatter()
    }

    #[test]
    fn the_worked_example() {
        // Derived: ±a with n values and n even has SD a·√(n/(n−1)); a chosen so that SD = 4.
        let a = 4.0 * (7.0_f64 / 8.0).sqrt();
        let scatter = scatter_of(&[a, -a, a, -a, a, -a, a, -a], 0.0);
        let sem = 4.0 / 2.0_f64.sqrt();
        assert!((scatter.sem.unwrap() - sem).abs() < 1e-12);
        // 1.96·√2·SEM = 1.96·SD of the differences.
        assert!((scatter.mdc.unwrap() - 7.84).abs() < 1e-12);
        assert!(scatter.shift.unwrap().abs() < 1e-12);
        assert_eq!(scatter.own_sem, scatter.sem);
    }

    #[test]
    fn the_factor_from_sem_to_smallest_change_is_that_of_weir() {
        // Weir 2005 [memory, high; re-computed]: SD 4 and an intraclass correlation of 0.90 give SEM = SD·√(1 − 0.90) = 1.2649
        // and MDC = 1.96·√2·SEM = 3.5062.
        let sem = 4.0 * (1.0_f64 - 0.90).sqrt();
        assert!((sem - 1.2649).abs() < 5e-5);
        let a = sem * 2.0_f64.sqrt() * (5.0_f64 / 6.0).sqrt();
        let scatter = scatter_of(&[a, -a, a, -a, a, -a], 0.0);
        assert!((scatter.sem.unwrap() - 1.2649).abs() < 5e-5);
        assert!((scatter.mdc.unwrap() - 3.5062).abs() < 5e-5);
    }

    #[test]
    fn below_six_there_is_a_reason_and_the_shift_is_told_all_the_same() {
        let scatter = scatter_of(&[2.0, 4.0, 3.0], 0.0);
        assert_eq!((scatter.n, scatter.sem, scatter.mdc), (3, None, None));
        assert_eq!(scatter.shift, Some(3.0));
        let too_few = scatter.too_few.unwrap();
        assert_eq!((too_few.pairs, too_few.needed), (3, 6));
        assert_eq!(too_few.message, "3 marked again; 6 are needed.");
        assert_eq!(too_few.hint, "Mark 3 more of them again.");
    }

    #[test]
    fn the_same_marks_again_a_third_time_are_not_six() {
        let mut differences = Differences::default();
        for what in [1, 2, 3, 1, 2, 3] {
            differences.add(what, 1.0, [0.0; 2]);
        }
        let scatter = differences.scatter();
        assert_eq!(scatter.n, 6);
        assert_eq!(scatter.too_few.unwrap().pairs, 3);
    }

    #[test]
    fn equal_markings_show_no_interval_and_nothing_of_ones_own() {
        let scatter = scatter_of(&[0.0; 8], 23.0);
        assert_eq!(
            (scatter.sem, scatter.own_sem, scatter.sem_interval),
            (Some(0.0), Some(0.0), None)
        );
    }

    proptest! {
        #[test]
        fn a_shift_of_all_is_a_shift_and_no_scatter(
            values in prop::collection::vec(-50.0..50.0_f64, 6..40),
            shift in -100.0..100.0_f64,
        ) {
            let plain = scatter_of(&values, 0.0);
            let moved: Vec<f64> = values.iter().map(|value| value + shift).collect();
            let moved = scatter_of(&moved, 0.0);
            prop_assert!((moved.sem.unwrap() - plain.sem.unwrap()).abs() < 1e-9);
            prop_assert!((moved.shift.unwrap() - plain.shift.unwrap() - shift).abs() < 1e-9);
        }

        #[test]
        fn first_and_second_can_change_places(values in prop::collection::vec(-50.0..50.0_f64, 6..40)) {
            let plain = scatter_of(&values, 0.0);
            let turned: Vec<f64> = values.iter().map(|value| -value).collect();
            let turned = scatter_of(&turned, 0.0);
            prop_assert!((turned.sem.unwrap() - plain.sem.unwrap()).abs() < 1e-12);
            prop_assert_eq!(turned.shift.map(|shift| -shift), plain.shift);
        }

        #[test]
        fn twice_the_differences_are_twice_everything(values in prop::collection::vec(-50.0..50.0_f64, 6..40)) {
            let plain = scatter_of(&values, 0.0);
            let twice: Vec<f64> = values.iter().map(|value| 2.0 * value).collect();
            let twice = scatter_of(&twice, 0.0);
            prop_assert!((twice.mdc.unwrap() - 2.0 * plain.mdc.unwrap()).abs() < 1e-9);
            prop_assert!((twice.mdc.unwrap() - 1.96 * 2.0_f64.sqrt() * twice.sem.unwrap()).abs() < 1e-9);
            let [low, high] = twice.sem_interval.unwrap();
            prop_assert!(low < twice.sem.unwrap() && twice.sem.unwrap() < high);
        }
    }
}
