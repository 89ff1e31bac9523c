//! The clarity filters against OpenCV's and the published formulas in NumPy (`tests/reference/vision/make.py`).

#![cfg(not(target_arch = "wasm32"))]
#![allow(clippy::unwrap_used, reason = "helpers of tests stop where a test would fail")]

#[path = "shared/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{luma, pixels, rgba};
use wetframe_vision::clarity::{
    Clarifier, Clarity, DebandOptions, EqualiseOptions, Rgba, compensate_red, deband, equalise,
    equalise_luma, grey_world, luma_of,
};
use wetframe_vision::{Luma, PictureError};

fn farthest(a: &[u8], b: &[u8]) -> u8 {
    assert_eq!(a.len(), b.len());
    a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap()
}

#[test]
fn equalisation_is_opencvs_within_one_grey_level() {
    for (name, size, clip_limit) in [("camera", (160, 160), 2.0), ("gravel", (150, 130), 4.0)] {
        let whole = luma(&format!("{name}_before.pgm"));
        let source = Luma::new(whole.bytes(), size.0, size.1, whole.stride()).unwrap();
        let options = EqualiseOptions {
            clip_limit,
            ..EqualiseOptions::default()
        };
        let ours = equalise_luma(&source, options);
        let (.., theirs) = pixels(&format!("{name}_equalised.pgm"));
        assert!(farthest(&ours, &theirs) <= 1, "{name}");
        let equal = ours
            .iter()
            .zip(&theirs)
            .filter(|(ours, theirs)| ours == theirs)
            .count();
        assert!(equal * 10 >= ours.len() * 9, "{name}: {equal} of {}", ours.len());
    }
}

#[test]
fn made_up_red_and_the_grey_world_are_the_formulas_within_one_level() {
    let (width, height, bytes) = rgba("coffee_under_water.ppm");
    let source = Rgba::new(&bytes, width, height).unwrap();
    let mut out = Vec::new();
    compensate_red(&source, &mut out, 1.0);
    assert!(farthest(&out, &rgba("coffee_red.ppm").2) <= 1);
    grey_world(&source, &mut out);
    assert!(farthest(&out, &rgba("coffee_grey_world.ppm").2) <= 1);
    let means = Rgba::new(&out, width, height).unwrap().means();
    assert!(
        (means[0] - means[1]).abs() < 1.0 && (means[1] - means[2]).abs() < 1.0,
        "{means:?}"
    );
}

#[test]
fn a_colour_picture_is_equalised_by_its_luma() {
    let (width, height, bytes) = rgba("coffee_under_water.ppm");
    let source = Rgba::new(&bytes, width, height).unwrap();
    let mut out = Vec::new();
    equalise(&source, &mut out, EqualiseOptions::default());
    let lumas: Vec<u8> = source.pixels().iter().copied().map(luma_of).collect();
    let wanted = equalise_luma(
        &Luma::new(&lumas, width, height, width).unwrap(),
        EqualiseOptions::default(),
    );
    for ((before, after), (luma, wanted)) in source
        .pixels()
        .iter()
        .zip(out.as_chunks::<4>().0)
        .zip(lumas.iter().zip(&wanted))
    {
        let change = i16::from(*wanted) - i16::from(*luma);
        for (before, after) in before[..3].iter().zip(&after[..3]) {
            assert_eq!(i16::from(*after), (i16::from(*before) + change).clamp(0, 255));
        }
        assert_eq!(before[3], after[3]);
    }
}

/// A ramp in steps of three levels, a third of a step apart, and one real edge.
#[test]
fn steps_are_smoothed_and_edges_are_kept() {
    let (width, height) = (240, 80);
    let bytes: Vec<u8> = (0..width * height)
        .flat_map(|index| {
            let x = index % width;
            let ramp = u8::try_from(60 + x / 16 * 3).unwrap();
            let level = if x >= 200 { 200 } else { ramp };
            [level, level, level, 255]
        })
        .collect();
    let source = Rgba::new(&bytes, width, height).unwrap();
    let mut out = Vec::new();
    deband(&source, &mut out, DebandOptions::default());
    // Away from the picture's border, distance from the true ramp, summed over columns' means.
    let column = |pixels: &[u8], x: usize| -> f64 {
        (20..60)
            .map(|y| f64::from(pixels[(y * width + x) * 4]))
            .sum::<f64>()
            / 40.0
    };
    let roughness = |pixels: &[u8]| -> f64 {
        (25..170)
            .map(|x| (column(pixels, x + 1) - column(pixels, x)).powi(2))
            .sum()
    };
    assert!(
        roughness(&out) < roughness(&bytes) / 2.0,
        "{} {}",
        roughness(&out),
        roughness(&bytes)
    );
    for x in [199, 200] {
        assert_eq!(column(&out, x), column(&bytes, x), "the edge at {x}");
    }
}

#[test]
fn all_filters_make_a_murky_picture_clearer_and_leave_the_source_alone() {
    let (width, height, mut bytes) = rgba("coffee_under_water.ppm");
    // Much water in between: a third of the contrast is left.
    for pixel in bytes.as_chunks_mut::<4>().0 {
        pixel[..3].iter_mut().for_each(|level| *level = 40 + *level / 3);
    }
    let kept = bytes.clone();
    let source = Rgba::new(&bytes, width, height).unwrap();
    let mut clarifier = Clarifier::new();
    assert_eq!(clarifier.apply(&source, Clarity::default()), bytes);
    let cleared = clarifier.apply(&source, Clarity::all()).to_vec();
    let contrast = |bytes: &[u8]| {
        let lumas: Vec<f64> = bytes
            .as_chunks::<4>()
            .0
            .iter()
            .map(|pixel| luma_of(*pixel).into())
            .collect();
        let mean = lumas.iter().sum::<f64>() / lumas.len() as f64;
        (lumas
            .iter()
            .map(|luma| (luma - mean) * (luma - mean))
            .sum::<f64>()
            / lumas.len() as f64)
            .sqrt()
    };
    let cast = |bytes: &[u8]| {
        let [red, green, _] = Rgba::new(bytes, width, height).unwrap().means();
        (green - red).abs()
    };
    assert!(contrast(&cleared) > 1.2 * contrast(&bytes));
    assert!(cast(&cleared) < cast(&bytes) / 4.0);
    assert_eq!(bytes, kept);
}

#[test]
fn pictures_that_cannot_be_are_refused() {
    assert!(matches!(
        Rgba::new(&[0; 15], 2, 2),
        Err(PictureError::TooShort { needed: 16, .. })
    ));
    assert!(matches!(Rgba::new(&[], 0, 2), Err(PictureError::Empty { .. })));
    assert!(matches!(
        Rgba::new(&[], usize::MAX, 2),
        Err(PictureError::TooLarge { .. })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn no_input_is_too_odd(
        width in 1_usize..70,
        height in 1_usize..50,
        seed in any::<u32>(),
        tiles in (0_usize..90, 0_usize..90),
        clip_limit in prop_oneof![Just(f64::NAN), -3.0_f64..1e12],
        red in prop_oneof![Just(f64::NAN), -5.0_f64..5.0],
        step in any::<u8>(),
        reach_px in 0_usize..100,
    ) {
        let mut state = seed;
        let bytes: Vec<u8> = (0..width * height * 4).map(|_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            state.to_be_bytes()[0]
        }).collect();
        let source = Rgba::new(&bytes, width, height).unwrap();
        let clarity = Clarity {
            red: Some(red),
            grey_world: true,
            equalise: Some(EqualiseOptions { tiles_across: tiles.0, tiles_down: tiles.1, clip_limit }),
            deband: Some(DebandOptions { step, reach_px }),
        };
        let mut clarifier = Clarifier::new();
        let out = clarifier.apply(&source, clarity);
        prop_assert_eq!(out.len(), bytes.len());
        for (before, after) in bytes.as_chunks::<4>().0.iter().zip(out.as_chunks::<4>().0) {
            prop_assert_eq!(before[3], after[3]);
        }
    }
}
