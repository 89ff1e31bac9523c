//! Permutation tests: how rare is the difference among all ways of dealing the same values out again?
//!
//! Assumes nothing about the shape of the values, only that the labels could have been swapped. Exact up to
//! [`MOST_EXACT`] arrangements; above, a seeded draw of [`MOST_DRAWN`], with (b + 1)/(m + 1) so that p is never 0
//! (Phipson & Smyth 2010, Stat Appl Genet Mol Biol 9:39), ended early where the difference is plainly not rare
//! (Besag & Clifford 1991, Biometrika 78:301-304). Sources: Fisher 1935, The Design of Experiments;
//! Pitman 1937, J R Stat Soc Suppl 4:119-130. Checked against SciPy's `permutation_test` in `tests/reference`.

use crate::chance::Chance;

/// More arrangements than this are drawn by chance instead of gone through.
pub(crate) const MOST_EXACT: u64 = 100_000;
/// How many are drawn: the standard error of a p of 0.0025 is then 0.00035.
const MOST_DRAWN: u32 = 19_999;
/// So many are drawn of the largest sets: 1/2,500 is still rare enough among a hundred questions.
const FEWEST_DRAWN: u32 = 2_499;
/// Drawing ends once so many are as large: p is then known to one part in twenty, and it is far from rare.
const ENOUGH_AS_LARGE: u32 = 400;
/// Values dealt out in all draws of one test: more than 80 in a set make fewer draws, not a longer wait.
const MOST_DEALT: usize = 1_600_000;

/// A permutation test before any adjustment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Permuted {
    pub(crate) p: f64,
    pub(crate) arrangements: u32,
    pub(crate) exact: bool,
}

/// How many ways there are to choose `chosen` of `all`; `u64::MAX` where there are more than that.
pub(crate) fn arrangements(all: usize, chosen: usize) -> u64 {
    let chosen = chosen.min(all - chosen.min(all));
    (1..=chosen)
        .try_fold(1_u64, |ways, step| {
            let product = u128::from(ways) * (all - chosen + step) as u128 / step as u128;
            u64::try_from(product).ok()
        })
        .unwrap_or(u64::MAX)
}

/// Two independent samples, two-sided by the size of the difference of the means.
pub(crate) fn two_samples(before: &[f64], after: &[f64], seed: u64) -> Permuted {
    let mut pooled: Vec<f64> = before.iter().chain(after).copied().collect();
    centre(&mut pooled);
    let observed: f64 = pooled[..before.len()].iter().sum();
    // With the values centred, the difference of the means is proportional to the sum of either sample.
    let limit = observed.abs() - tolerance(&pooled);
    let ways = arrangements(pooled.len(), before.len());
    if ways <= MOST_EXACT && before.len() == after.len() {
        // The two halves of an arrangement are equally far from the middle: the half with the first value will do.
        let half = count_subsets(&pooled[1..], before.len() - 1, pooled[0], limit);
        exact(2 * half, ways)
    } else if ways <= MOST_EXACT {
        let chosen = before.len().min(after.len());
        exact(count_subsets(&pooled, chosen, 0.0, limit), ways)
    } else {
        let chosen = before.len().min(after.len());
        drawn(chosen, dealt(&mut pooled, chosen, limit, Chance::seeded(seed)))
    }
}

/// Deals the values out again and again; says of each time whether the difference is as large.
fn dealt(pooled: &mut [f64], chosen: usize, limit: f64, mut chance: Chance) -> impl FnMut() -> bool {
    move || {
        let mut sum = 0.0;
        for place in 0..chosen {
            let other = place + chance.below(pooled.len() - place);
            pooled.swap(place, other);
            sum += pooled[place];
        }
        sum.abs() >= limit
    }
}

/// Paired samples: each pair's difference could as well have had the other sign.
pub(crate) fn paired(differences: &[f64], seed: u64) -> Permuted {
    let observed: f64 = differences.iter().sum();
    let limit = observed.abs() - tolerance(differences);
    let ways = u32::try_from(differences.len())
        .ok()
        .and_then(|n| 1_u64.checked_shl(n));
    match ways {
        Some(ways) if ways <= MOST_EXACT => exact(count_signs(differences, 0.0, limit), ways),
        _ => {
            let mut chance = Chance::seeded(seed);
            drawn(differences.len(), || {
                let mut bits = 0;
                let sum: f64 = (0..)
                    .zip(differences)
                    .map(|(place, difference)| {
                        if place % 64 == 0 {
                            bits = chance.bits();
                        }
                        let sign = if bits >> (place % 64) & 1 == 0 { 1.0 } else { -1.0 };
                        sign * difference
                    })
                    .sum();
                sum.abs() >= limit
            })
        }
    }
}

/// Values that are equal on paper may differ in the last digits.
fn tolerance(values: &[f64]) -> f64 {
    1e-10 * values.iter().map(|value| value.abs()).sum::<f64>()
}

#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
fn centre(values: &mut [f64]) {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    for value in values {
        *value -= mean;
    }
}

#[expect(clippy::cast_precision_loss, reason = "at most 100,000")]
fn exact(as_large: u64, ways: u64) -> Permuted {
    Permuted {
        p: as_large as f64 / ways as f64,
        arrangements: u32::try_from(ways).unwrap_or(u32::MAX),
        exact: true,
    }
}

/// `dealt` values make one draw.
fn drawn(dealt: usize, mut is_as_large: impl FnMut() -> bool) -> Permuted {
    let affordable = u32::try_from(MOST_DEALT / dealt.max(1)).unwrap_or(u32::MAX);
    let draws = affordable.clamp(FEWEST_DRAWN, MOST_DRAWN);
    let mut as_large = 0;
    for drawn in 1..=draws {
        as_large += u32::from(is_as_large());
        if as_large == ENOUGH_AS_LARGE {
            return Permuted {
                p: f64::from(as_large) / f64::from(drawn),
                arrangements: drawn,
                exact: false,
            };
        }
    }
    Permuted {
        p: f64::from(as_large + 1) / f64::from(draws + 1),
        arrangements: draws,
        exact: false,
    }
}

/// How many ways to take `chosen` of the values bring |sum| to the limit.
fn count_subsets(values: &[f64], chosen: usize, sum: f64, limit: f64) -> u64 {
    match chosen {
        0 => u64::from(sum.abs() >= limit),
        1 => values
            .iter()
            .map(|value| u64::from((sum + value).abs() >= limit))
            .sum(),
        _ => (0..=values.len() - chosen)
            .map(|first| count_subsets(&values[first + 1..], chosen - 1, sum + values[first], limit))
            .sum(),
    }
}

fn count_signs(differences: &[f64], sum: f64, limit: f64) -> u64 {
    match differences {
        [] => u64::from(sum.abs() >= limit),
        [first, rest @ ..] => count_signs(rest, sum + first, limit) + count_signs(rest, sum - first, limit),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Chance alone decides: the drawn p is within five standard errors of the exact one.
    #[test]
    fn drawn_arrangements_agree_with_all_of_them() {
        let before = [0.15, 0.12, 0.17, 0.14, 0.13, 0.16, 0.15, 0.12];
        let after = [0.13, 0.12, 0.14, 0.11, 0.12, 0.15, 0.13, 0.10];
        let all = two_samples(&before, &after, 1);
        assert!(all.exact && all.arrangements == 12_870);
        let mut pooled: Vec<f64> = before.iter().chain(&after).copied().collect();
        centre(&mut pooled);
        let observed: f64 = pooled[..8].iter().sum();
        let limit = observed.abs() - tolerance(&pooled);
        let by_chance = drawn(8, dealt(&mut pooled, 8, limit, Chance::seeded(3)));
        assert!(!by_chance.exact && by_chance.arrangements < MOST_DRAWN);
        let standard_error = (all.p * (1.0 - all.p) / f64::from(by_chance.arrangements)).sqrt();
        assert!(
            (by_chance.p - all.p).abs() < 5.0 * standard_error,
            "{all:?} {by_chance:?}"
        );
    }

    #[test]
    fn ways_to_choose_are_counted_and_never_overflow() {
        assert_eq!(arrangements(16, 8), 12_870);
        assert_eq!(arrangements(19, 9), 92_378);
        assert_eq!(arrangements(5, 0), 1);
        assert_eq!(arrangements(2_000, 1_000), u64::MAX);
    }

    #[test]
    fn values_that_are_all_equal_are_never_rare() {
        assert!((two_samples(&[0.1; 5], &[0.1; 6], 1).p - 1.0).abs() < 1e-12);
        assert!((paired(&[0.0; 7], 1).p - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_thousand_values_draw_fewer_arrangements_and_the_same_each_time() {
        let before: Vec<f64> = (0..1_000).map(|place| f64::from(place % 17)).collect();
        let after: Vec<f64> = (0..1_000).map(|place| 5.0 + f64::from(place % 19)).collect();
        let once = two_samples(&before, &after, 7);
        assert_eq!(once.arrangements, FEWEST_DRAWN);
        assert!((once.p - 1.0 / f64::from(FEWEST_DRAWN + 1)).abs() < 1e-12);
        assert_eq!(once, two_samples(&before, &after, 7));
    }

    proptest! {
        #[test]
        fn neither_place_nor_scale_nor_order_changes_p(
            before in prop::collection::vec(-50..50_i32, 3..7),
            after in prop::collection::vec(-50..50_i32, 3..7),
            shift in -1000..1000_i32,
        ) {
            let numbers = |values: &[i32], factor: f64, shift: i32| -> Vec<f64> {
                values.iter().map(|value| factor * f64::from(value + shift)).collect()
            };
            let p = |before: &[f64], after: &[f64]| two_samples(before, after, 1).p;
            let plain = p(&numbers(&before, 1.0, 0), &numbers(&after, 1.0, 0));
            prop_assert!((plain - p(&numbers(&before, 0.001, shift), &numbers(&after, 0.001, shift))).abs() < 1e-12);
            prop_assert!((plain - p(&numbers(&after, 1.0, 0), &numbers(&before, 1.0, 0))).abs() < 1e-12);
            let mut turned = before.clone();
            turned.reverse();
            prop_assert!((plain - p(&numbers(&turned, 1.0, 0), &numbers(&after, 1.0, 0))).abs() < 1e-12);
        }
    }
}
