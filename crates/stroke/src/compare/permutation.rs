//! Permutation tests: how rare is the difference among all ways of dealing the same values out again?
//!
//! Assumes nothing about the shape of the values, only that the labels could have been swapped. Exact up to
//! [`MOST_EXACT`] arrangements; above, a seeded draw of [`DRAWN`], with (b + 1)/(m + 1) so that p is never 0
//! (Phipson & Smyth 2010, Stat Appl Genet Mol Biol 9:39). Sources: Fisher 1935, The Design of Experiments;
//! Pitman 1937, J R Stat Soc Suppl 4:119-130. Checked against SciPy's `permutation_test` in `tests/reference`.

use crate::chance::Chance;

/// More arrangements than this are drawn by chance instead of gone through.
pub(crate) const MOST_EXACT: u64 = 100_000;
/// How many are drawn: the standard error of a p of 0.0025 is then 0.00035.
pub(crate) const DRAWN: u32 = 19_999;

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
        let mut chance = Chance::seeded(seed);
        let chosen = before.len().min(after.len());
        drawn(|| {
            let mut sum = 0.0;
            for place in 0..chosen {
                let other = place + chance.below(pooled.len() - place);
                pooled.swap(place, other);
                sum += pooled[place];
            }
            sum.abs() >= limit
        })
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
            drawn(|| {
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

fn drawn(mut is_as_large: impl FnMut() -> bool) -> Permuted {
    let as_large: u32 = (0..DRAWN).map(|_| u32::from(is_as_large())).sum();
    Permuted {
        p: f64::from(as_large + 1) / f64::from(DRAWN + 1),
        arrangements: DRAWN,
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
