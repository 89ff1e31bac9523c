//! Several questions asked at once: Holm's adjustment.
//!
//! Keeps the chance of any false answer in the whole family at the level of one, however the questions hang
//! together. Source: Holm 1979, Scand J Stat 6:65-70.

use std::collections::BTreeMap;

/// One adjusted p.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Adjusted {
    pub(crate) p_holm: f64,
    /// What this question's p was multiplied by: the number of questions with no smaller p.
    pub(crate) factor: u32,
}

/// Adjusts the p of each test. Tests with the same key ask the same question: they count once, with the
/// largest p among them. Returns one for each test, in the given order, and the number of questions.
pub(crate) fn holm<K: Ord + Copy>(tests: &[(K, f64)]) -> (Vec<Adjusted>, u32) {
    let mut questions: BTreeMap<K, f64> = BTreeMap::new();
    for (key, p) in tests {
        let largest = questions.entry(*key).or_insert(*p);
        *largest = largest.max(*p);
    }
    let mut ordered: Vec<(K, f64)> = questions.into_iter().collect();
    tiny_sort::stable::sort_by(&mut ordered, |(_, p), (_, other)| p.total_cmp(other));
    let count = u32::try_from(ordered.len()).unwrap_or(u32::MAX);
    let mut so_far: f64 = 0.0;
    let adjusted: BTreeMap<K, Adjusted> = (0..count)
        .zip(ordered)
        .map(|(place, (key, p))| {
            let factor = count - place;
            so_far = so_far.max((p * f64::from(factor)).min(1.0));
            (
                key,
                Adjusted {
                    p_holm: so_far,
                    factor,
                },
            )
        })
        .collect();
    let of_tests = tests
        .iter()
        .filter_map(|(key, _)| adjusted.get(key).copied())
        .collect();
    (of_tests, count)
}
