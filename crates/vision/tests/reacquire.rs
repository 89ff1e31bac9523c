//! Finding a lost point again, against known motion and against what must not be found.

#![cfg(not(target_arch = "wasm32"))]
#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/waves.rs"]
mod waves;

use proptest::prelude::*;
use waves::{Even, Texture};
use wetframe_vision::tracking::{Landmark, NotFound, ReacquireOptions, reacquire};
use wetframe_vision::{Luma, Point};

const SIZE: (usize, usize) = (320, 240);

#[test]
fn a_point_is_found_again_far_from_where_it_was() {
    let texture = Texture::new(3);
    let before = texture.frame(SIZE, (0.0, 0.0), 1.0, 1);
    for shift in [(0.0, 0.0), (31.0, -22.0), (-40.3, 17.6), (12.75, 44.5)] {
        let present = texture.frame(SIZE, shift, 1.0, 2);
        let point = Point::new(158.3, 121.8);
        let landmark = Landmark::of(&before, point).unwrap();
        let found = reacquire(&landmark, &present, point, ReacquireOptions::default()).unwrap();
        let truth = Point::new(point.x + shift.0, point.y + shift.1);
        assert!(
            found.point.distance(truth) < 0.1,
            "{found:?} instead of {truth:?}"
        );
        assert!(found.correlation > 0.95 && found.second_correlation.unwrap() < 0.9);
    }
}

/// Brightness and contrast change when a hand passes under the surface; the correlation does not mind.
#[test]
fn brightness_and_contrast_do_not_matter() {
    let before = Texture::new(6).frame(SIZE, (0.0, 0.0), 0.0, 1);
    let darker: Vec<u8> = before.bytes().iter().map(|pixel| 20 + pixel / 3).collect();
    let present = Luma::new(darker, SIZE.0, SIZE.1, SIZE.0).unwrap();
    let point = Point::new(100.0, 90.0);
    let found = reacquire(
        &Landmark::of(&before, point).unwrap(),
        &present,
        point,
        ReacquireOptions::default(),
    );
    assert!(found.unwrap().point.distance(point) < 0.05);
}

#[test]
fn what_cannot_be_trusted_is_not_offered() {
    let before = Texture::new(3).frame(SIZE, (0.0, 0.0), 1.0, 1);
    let point = Point::new(160.0, 120.0);
    let landmark = Landmark::of(&before, point).unwrap();
    let sought = |present: &Luma<'_>, near| reacquire(&landmark, present, near, ReacquireOptions::default());

    let other = Texture::new(90).frame(SIZE, (0.0, 0.0), 1.0, 1);
    assert!(matches!(sought(&other, point), Err(NotFound::TooUnlike { .. })));
    let plain = Luma::new(vec![90; SIZE.0 * SIZE.1], SIZE.0, SIZE.1, SIZE.0).unwrap();
    assert_eq!(
        sought(&plain, point),
        Err(NotFound::TooUnlike { correlation: 0.0 })
    );
    assert_eq!(Landmark::of(&plain, point).unwrap_err(), NotFound::NoContrast);
    assert_eq!(
        sought(&before, Point::new(-90.0, 120.0)),
        Err(NotFound::OutsidePicture)
    );
    assert_eq!(
        sought(&before, Point::new(f64::NAN, 120.0)),
        Err(NotFound::OutsidePicture)
    );
    assert_eq!(
        Landmark::of(&before, Point::new(10.0, 120.0)).unwrap_err(),
        NotFound::TooNearEdge
    );

    // The true place is the last that is looked at: a better one could lie beyond.
    let beyond = sought(&before, Point::new(160.0 - 48.0, 120.0));
    assert!(matches!(beyond, Err(NotFound::OnTheEdge { .. })), "{beyond:?}");

    // The same patch twice.
    let mut twice = plain.into_bytes();
    for y in 105..136 {
        let row: Vec<u8> = before.row(y)[145..176].to_vec();
        for from in [130, 170] {
            twice[y * SIZE.0 + from..y * SIZE.0 + from + 31].copy_from_slice(&row);
        }
    }
    let twice = Luma::new(twice, SIZE.0, SIZE.1, SIZE.0).unwrap();
    let found = sought(&twice, point);
    assert!(
        matches!(found, Err(NotFound::Ambiguous { second_correlation, .. }) if second_correlation > 0.99),
        "{found:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn no_input_is_too_odd(
        width in 1_usize..90,
        height in 1_usize..90,
        padding in 0_usize..5,
        seed in any::<u64>(),
        reach_px in 0_usize..60,
        near in (-100_f64..200.0, -100_f64..200.0),
        point in (0_f64..90.0, 0_f64..90.0),
    ) {
        let mut even = Even(seed);
        let stride = width + padding;
        let bytes: Vec<u8> = (0..stride * (height - 1) + width).map(|_| (even.draw() * 256.0) as u8).collect();
        let picture = Luma::new(bytes, width, height, stride).unwrap();
        if let Ok(landmark) = Landmark::of(&picture, Point::new(point.0, point.1)) {
            let options = ReacquireOptions { reach_px, least_correlation: -1.0, largest_second_share: 2.0 };
            if let Ok(found) = reacquire(&landmark, &picture, Point::new(near.0, near.1), options) {
                prop_assert!((-1.0001..=1.0001).contains(&found.correlation));
                prop_assert!(found.point.x.is_finite() && found.point.y.is_finite());
            }
        }
    }
}
