//! The tests, intervals and sample sizes against SciPy and statsmodels, and against a published example;
//! `tests/reference/statistics` says how their numbers were made.

use serde_json::Value;

use super::holm::holm;
use super::permutation;
use super::plan::{POWER, cycles_for};
use super::t_test::{Sample, TTest, hedges_g, hedges_g_paired, paired, welch};
use crate::statistics::{mean, standard_deviation};

fn reference() -> Value {
    let text = include_str!("../../../../tests/reference/statistics/comparison.json");
    serde_json::from_str(text).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|number| number.as_f64().unwrap())
        .collect()
}

fn sample(values: &[f64]) -> Sample {
    Sample {
        n: values.len() as f64,
        mean: mean(values).unwrap(),
        variance: standard_deviation(values).unwrap().powi(2),
    }
}

#[track_caller]
fn assert_near(actual: f64, expected: f64, relative: f64, what: &str) {
    let error = (actual - expected).abs() / expected.abs();
    assert!(error <= relative, "{what}: {actual} is not {expected}");
}

fn assert_t_test(test: &TTest, case: &Value) {
    let name = case["name"].as_str().unwrap();
    let number = |field: &str| case[field].as_f64().unwrap();
    assert_near(test.difference, number("difference"), 1e-12, name);
    assert_near(test.t, number("t"), 1e-10, name);
    assert_near(test.degrees_of_freedom, number("degrees_of_freedom"), 1e-10, name);
    assert_near(test.p, number("p"), 1e-8, name);
    let half_width = test.half_width(0.05).unwrap();
    let [low, high] = numbers(&case["interval"])[..] else {
        panic!("an interval has two ends")
    };
    assert_near(test.difference - half_width, low, 1e-7, name);
    assert_near(test.difference + half_width, high, 1e-7, name);
}

#[test]
fn independent_samples_equal_scipys() {
    let reference = reference();
    let cases = reference["two_samples"].as_array().unwrap();
    assert_eq!(cases.len(), 8);
    for case in cases {
        let name = case["name"].as_str().unwrap();
        let (before, after) = (numbers(&case["before"]), numbers(&case["after"]));
        assert_t_test(&welch(sample(&before), sample(&after)).unwrap(), case);
        let permuted = permutation::two_samples(&before, &after, 1);
        assert!(permuted.exact, "{name}");
        assert_near(permuted.p, case["permutation_p"].as_f64().unwrap(), 1e-12, name);
        let g = hedges_g(sample(&before), sample(&after)).unwrap();
        assert_near(g, case["hedges_g"].as_f64().unwrap(), 1e-10, name);
    }
}

#[test]
fn paired_samples_equal_scipys() {
    let reference = reference();
    let cases = reference["paired"].as_array().unwrap();
    assert_eq!(cases.len(), 3);
    for case in cases {
        let name = case["name"].as_str().unwrap();
        let differences = differences(&numbers(&case["before"]), &numbers(&case["after"]));
        assert_t_test(&paired(sample(&differences)).unwrap(), case);
        let permuted = permutation::paired(&differences, 1);
        assert!(permuted.exact, "{name}");
        assert_near(permuted.p, case["permutation_p"].as_f64().unwrap(), 1e-12, name);
        let g = hedges_g_paired(sample(&differences)).unwrap();
        assert_near(g, case["hedges_g"].as_f64().unwrap(), 1e-10, name);
    }
}

fn differences(before: &[f64], after: &[f64]) -> Vec<f64> {
    before
        .iter()
        .zip(after)
        .map(|(before, after)| after - before)
        .collect()
}

/// Swimming speed of twelve swimmers with and without a wetsuit: de Lucas et al. 2000, J Sci Med Sport 3:1-8,
/// table 3, with the figures of the paper; some public copies have another third row.
#[test]
fn the_published_pairs_to_all_digits_given() {
    const WETSUIT: [f64; 12] = [
        1.57, 1.47, 1.42, 1.35, 1.22, 1.75, 1.64, 1.57, 1.56, 1.53, 1.49, 1.51,
    ];
    const SWIMSUIT: [f64; 12] = [
        1.49, 1.37, 1.35, 1.27, 1.12, 1.64, 1.59, 1.52, 1.50, 1.45, 1.44, 1.41,
    ];
    let differences = differences(&SWIMSUIT, &WETSUIT);
    let of_pairs = sample(&differences);
    let test = paired(of_pairs).unwrap();
    let half_width = test.half_width(0.05).unwrap();
    let given = |value: f64, digits: usize| format!("{value:.digits$}");
    assert_eq!(given(test.difference, 4), "0.0775");
    assert_eq!(given(of_pairs.variance.sqrt(), 6), "0.021794");
    assert_eq!(given(test.degrees_of_freedom, 0), "11");
    assert_eq!(given(test.t, 5), "12.31815");
    assert_eq!(format!("{:.3e}", test.p), "8.885e-8");
    assert_eq!(given(test.difference - half_width, 6), "0.063652");
    assert_eq!(given(test.difference + half_width, 6), "0.091348");
    // All twelve are faster: the rank test of the paper (W = 0) and this one look at the same two arrangements.
    assert_eq!(given(permutation::paired(&differences, 1).p, 8), "0.00048828");
    let wilcoxon = &reference()["wilcoxon"];
    assert_eq!(
        (wilcoxon["w"].as_f64(), wilcoxon["p"].as_f64()),
        (Some(0.0), Some(0.000_488_281_25))
    );
    // The same numbers as if they were of different people.
    let unpaired = welch(sample(&SWIMSUIT), sample(&WETSUIT)).unwrap();
    assert_eq!(
        (given(unpaired.t, 4), given(unpaired.p, 4)),
        ("1.3688".into(), "0.1849".into())
    );
}

#[test]
fn adjusted_p_equal_those_of_statsmodels() {
    let reference = reference();
    let cases = reference["holm"].as_array().unwrap();
    assert_eq!(cases.len(), 5);
    for case in cases {
        let p = numbers(&case["p"]);
        let tests: Vec<(usize, f64)> = p.iter().copied().enumerate().collect();
        let (adjusted, questions) = holm(&tests);
        assert_eq!(questions as usize, p.len());
        for (adjusted, expected) in adjusted.iter().zip(numbers(&case["p_holm"])) {
            assert_near(adjusted.p_holm, expected, 1e-12, "Holm");
        }
    }
}

/// Against the noncentral t: one cycle more, since the permutation test has to agree, give or take one.
#[test]
fn sample_sizes_are_statsmodels_and_one_more() {
    assert_eq!(POWER, 0.8);
    let reference = reference();
    let cases = reference["sample_sizes"].as_array().unwrap();
    assert_eq!(cases.len(), 21);
    for case in cases {
        let (effect, questions) = (
            case["effect"].as_f64().unwrap(),
            case["questions"].as_u64().unwrap(),
        );
        let n = case["n"].as_f64().unwrap();
        let cycles = cycles_for(effect, [1.0, 1.0], questions as u32).unwrap();
        // The rarest arrangement of fewer cycles is not rare enough, whatever the t test says.
        let fewest = super::plan::fewest_cycles(questions as f64);
        let expected = (n.ceil() as u32 + 1).max(fewest);
        assert!(
            cycles.abs_diff(expected) <= 1,
            "{effect} SD, {questions} questions: {cycles} against {n}"
        );
    }
}
