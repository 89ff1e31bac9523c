//! Mean, standard deviation and 95 % t interval against SciPy; `tests/reference/statistics` says how its
//! numbers were made.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use common::{Marks, analyse, assert_near, mean_of, millisecond_clock};
use wetframe_stroke::{MarkKind, MeasureKind, Side};

#[test]
fn t_intervals_equal_scipys() {
    let reference = include_str!("../../../tests/reference/statistics/mean_sd_t_interval.csv");
    let rows: Vec<Vec<f64>> = reference
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').map(|number| number.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 11);
    for row in rows {
        let [n, mean_s, sd_s, low_s, high_s] = row[..5] else {
            unreachable!("five figures come first")
        };
        let mut marks = Marks::default();
        let mut entry_ms = 0;
        marks.push(MarkKind::Entry, Some(Side::Left), 0);
        for duration_ms in &row[5..] {
            entry_ms += *duration_ms as i64;
            marks.push(MarkKind::Entry, Some(Side::Left), entry_ms);
        }
        let analysis = analyse(&millisecond_clock(entry_ms as f64 / 1000.0 + 1.0), &marks.0);
        let mean = mean_of(&analysis, MeasureKind::CycleDuration, Some(Side::Left));
        assert_near(f64::from(mean.n), n, 0.0);
        assert_near(mean.quantity.unwrap().value, mean_s, 1e-12);
        assert_near(mean.sd.unwrap(), sd_s, 1e-12);
        match mean.interval {
            Some([low, high]) => {
                assert_near(low, low_s, 1e-8);
                assert_near(high, high_s, 1e-8);
                // The rate's interval is the duration's, turned over.
                let rate = mean_of(&analysis, MeasureKind::CycleRate, Some(Side::Left))
                    .interval
                    .unwrap();
                assert_near(rate[0], 60.0 / high_s, 1e-6);
                assert_near(rate[1], 60.0 / low_s, 1e-6);
            }
            None => assert!(n < 3.0, "an interval is missing at n = {n}"),
        }
    }
}
