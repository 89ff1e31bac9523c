//! Signs beside each other where their values lie close: each as near to the line as the ones before it leave room.

/// How far each sign stands off the line, in steps up (−) and down (+), at most `most` either way.
///
/// `places` are along the line; signs closer than `breadth` to each other never share a step, unless all steps are
/// taken. The order of the signs does not matter to where the swarm as a whole stands.
pub fn steps_of(places: &[f64], breadth: f64, most: i32) -> Vec<i32> {
    let mut order: Vec<usize> = (0..places.len()).collect();
    tiny_sort::stable::sort_by(&mut order, |one, other| {
        places[*one].total_cmp(&places[*other]).then(one.cmp(other))
    });
    let mut steps = vec![0; places.len()];
    for (rank, &index) in order.iter().enumerate() {
        let near: Vec<usize> = order[..rank]
            .iter()
            .copied()
            .filter(|other| places[index] - places[*other] < breadth)
            .collect();
        let taken = |step: i32| near.iter().filter(|other| steps[**other] == step).count();
        let outward = (0..=most).flat_map(|step| [-step, step]);
        steps[index] = outward.min_by_key(|step| taken(*step)).unwrap_or(0);
    }
    steps
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn signs_apart_stay_on_the_line_and_close_ones_step_aside() {
        assert_eq!(steps_of(&[0.0, 20.0, 40.0], 12.0, 3), [0, 0, 0]);
        assert_eq!(steps_of(&[0.0, 5.0, 5.0], 12.0, 3), [0, -1, 1]);
        assert_eq!(steps_of(&[], 12.0, 3), Vec::<i32>::new());
    }

    #[test]
    fn equal_values_fill_all_steps_before_they_cover_each_other() {
        let steps = steps_of(&[7.0; 9], 12.0, 2);
        assert!((-2..=2).all(|step| steps.iter().filter(|taken| **taken == step).count() >= 1));
    }

    proptest! {
        #[test]
        fn two_signs_that_would_touch_stand_on_different_steps(places in prop::collection::vec(0.0..300.0_f64, 0..24)) {
            let steps = steps_of(&places, 10.0, 24);
            for (one, &a) in places.iter().enumerate() {
                for (other, &b) in places.iter().enumerate().skip(one + 1) {
                    prop_assert!(steps[one] != steps[other] || (a - b).abs() >= 10.0);
                }
            }
        }
    }
}
