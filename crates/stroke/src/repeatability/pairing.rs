//! Which of the second marking belongs to which of the first: nearest in time, within half the spacing to the
//! neighbours.
//!
//! So a slip to the neighbouring stroke is not taken for an error of a whole cycle: it stays without a partner
//! and is counted.

/// Whoever has no neighbour is looked for this far around, s: half the shortest cycle a swimmer can have.
pub(super) const LONE_REACH_S: f64 = 0.3;

/// The partners, by their places in the two lists.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Pairing {
    /// (place in the first, place in the second), in order of the first.
    pub(super) pairs: Vec<(usize, usize)>,
    pub(super) unpaired_first: usize,
    pub(super) unpaired_second: usize,
}

/// Pairs the times of the same event, s, of two markings; both lists are sorted.
pub(super) fn pair_in_time(first: &[f64], second: &[f64]) -> Pairing {
    let mut pairing = Pairing::default();
    let mut taken = 0;
    for (place, time) in first.iter().enumerate() {
        let half_before = place
            .checked_sub(1)
            .and_then(|before| first.get(before))
            .map(|before| (time - before) / 2.0);
        let half_after = first.get(place + 1).map(|after| (after - time) / 2.0);
        let reach_before = half_before.or(half_after).unwrap_or(LONE_REACH_S);
        let reach_after = half_after.or(half_before).unwrap_or(LONE_REACH_S);
        let start = second.partition_point(|other| *other < time - reach_before);
        // On the border between two it belongs to the earlier one.
        let start = start.max(taken);
        let end = second.partition_point(|other| *other <= time + reach_after);
        let nearest = (start..end).min_by(|one, other| {
            let off = |place: &usize| (second[*place] - time).abs();
            off(one).total_cmp(&off(other))
        });
        if let Some(nearest) = nearest {
            pairing.pairs.push((place, nearest));
        }
        taken = taken.max(end);
    }
    pairing.unpaired_first = first.len() - pairing.pairs.len();
    pairing.unpaired_second = second.len() - pairing.pairs.len();
    pairing
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_slip_to_the_next_stroke_stays_without_a_partner() {
        // The second event was marked on the third stroke's.
        let pairing = pair_in_time(&[0.0, 1.5, 3.0], &[0.02, 2.97, 3.01]);
        assert_eq!(pairing.pairs, [(0, 0), (2, 2)]);
        assert_eq!((pairing.unpaired_first, pairing.unpaired_second), (1, 1));
    }

    #[test]
    fn the_reach_is_half_the_way_to_the_neighbour_and_at_the_ends_that_of_the_other_side() {
        assert_eq!(
            pair_in_time(&[0.0, 1.0, 3.0], &[0.49, 1.9, 4.1]).pairs,
            [(0, 0), (1, 1)]
        );
        assert_eq!(pair_in_time(&[5.0], &[5.29]).pairs, [(0, 0)]);
        assert_eq!(pair_in_time(&[5.0], &[5.31]).pairs, []);
        // Exactly between two: the earlier one's.
        assert_eq!(pair_in_time(&[0.0, 1.0], &[0.5]).pairs, [(0, 0)]);
    }

    proptest! {
        #[test]
        fn nobody_has_two_partners_and_all_are_counted(
            mut first in prop::collection::vec(0.0..20.0_f64, 0..30),
            mut second in prop::collection::vec(0.0..20.0_f64, 0..30),
        ) {
            tiny_sort::unstable::sort_by(&mut first, f64::total_cmp);
            tiny_sort::unstable::sort_by(&mut second, f64::total_cmp);
            let pairing = pair_in_time(&first, &second);
            prop_assert_eq!(pairing.pairs.len() + pairing.unpaired_first, first.len());
            prop_assert_eq!(pairing.pairs.len() + pairing.unpaired_second, second.len());
            prop_assert!(pairing.pairs.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1));
        }

        #[test]
        fn a_hand_that_errs_by_less_than_half_the_least_spacing_keeps_every_partner(
            steps in prop::collection::vec((0.4..2.0_f64, -0.19..0.19_f64), 2..30),
        ) {
            let mut time = 0.0;
            let (mut first, mut second) = (Vec::new(), Vec::new());
            for (step, error) in steps {
                time += step;
                first.push(time);
                second.push(time + error);
            }
            let pairing = pair_in_time(&first, &second);
            prop_assert_eq!(pairing.pairs, (0..first.len()).map(|place| (place, place)).collect::<Vec<_>>());
        }
    }
}
