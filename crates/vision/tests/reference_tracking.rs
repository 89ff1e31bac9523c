//! Tracking and correlation against OpenCV and scikit-image on real pictures moved by known motions
//! (`tests/reference/vision/make.py`).

#![cfg(not(target_arch = "wasm32"))]
#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/reference.rs"]
mod reference;
#[path = "shared/waves.rs"]
mod waves;

use std::collections::BTreeMap;

use reference::{luma, numbers, rows};
use waves::quantile;
use wetframe_vision::Point;
use wetframe_vision::tracking::{
    Landmark, LucasKanade, PointTracker, ReacquireOptions, Start, TrackOptions, reacquire,
};

/// Issue 4: positions agree with OpenCV's within 0.05 px in the median, and both are compared with the truth.
#[test]
fn points_end_where_opencv_ends_them_and_no_farther_from_the_truth() {
    let mut by_picture: BTreeMap<String, Vec<[Point; 3]>> = BTreeMap::new();
    for row in rows("tracking.csv") {
        let place = |from: usize| {
            let numbers = numbers(&row, from);
            Point::new(numbers[0], numbers[1])
        };
        by_picture
            .entry(row[0].clone())
            .or_default()
            .push([place(1), place(3), place(5)]);
    }
    assert_eq!(by_picture.len(), 4);
    for (picture, points) in by_picture {
        let mut tracker = LucasKanade::new(TrackOptions::default());
        tracker.advance(luma(&format!("{picture}_before.pgm"))).unwrap();
        tracker.advance(luma(&format!("{picture}_present.pgm"))).unwrap();
        let starts: Vec<Start> = points.iter().map(|[start, ..]| Start::from(*start)).collect();
        let steps = tracker.track(&starts);
        let found: Vec<Point> = steps
            .iter()
            .map(|step| {
                assert_eq!(step.lost, None, "{picture}");
                step.point
            })
            .collect();
        let distances = |to: fn(&[Point; 3]) -> Point| -> Vec<f64> {
            found
                .iter()
                .zip(&points)
                .map(|(found, point)| found.distance(to(point)))
                .collect()
        };
        let from_opencv = distances(|point| point[2]);
        let ours = distances(|point| point[1]);
        let theirs: Vec<f64> = points
            .iter()
            .map(|[_, truth, opencv]| opencv.distance(*truth))
            .collect();
        let median = |values: &[f64]| quantile(values, 0.5);
        assert!(
            median(&from_opencv) < 0.01,
            "{picture}: {:.4} px from OpenCV",
            median(&from_opencv)
        );
        assert!(
            quantile(&from_opencv, 0.95) < 0.05,
            "{picture}: {:.4}",
            quantile(&from_opencv, 0.95)
        );
        assert!(
            median(&ours) <= 1.1 * median(&theirs) + 0.001,
            "{picture}: {:.4} px from the truth, OpenCV {:.4}",
            median(&ours),
            median(&theirs)
        );
        assert!(quantile(&ours, 0.95) <= 1.1 * quantile(&theirs, 0.95) + 0.002);
    }
}

#[test]
fn correlation_peaks_are_those_of_opencv_and_scikit_image() {
    let rows = rows("correlation.csv");
    assert_eq!(rows.len(), 8);
    for row in rows {
        let values = numbers(&row, 1);
        let [x, y, peak_x, peak_y, by_opencv, by_skimage, second] = values.try_into().unwrap();
        let before = luma(&format!("{}_before.pgm", row[0]));
        let present = luma(&format!("{}_present.pgm", row[0]));
        let start = Point::new(x, y);
        let options = ReacquireOptions {
            reach_px: 30,
            ..ReacquireOptions::default()
        };
        let found = reacquire(&Landmark::of(&before, start).unwrap(), &present, start, options).unwrap();
        assert!((found.correlation - by_skimage).abs() < 1e-8, "{row:?} {found:?}");
        // OpenCV's own sums are in 32-bit floats.
        assert!((found.correlation - by_opencv).abs() < 1e-5);
        assert!((found.second_correlation.unwrap() - second).abs() < 1e-8);
        assert!((found.point.x - peak_x).abs() <= 0.5 && (found.point.y - peak_y).abs() <= 0.5);
    }
}
