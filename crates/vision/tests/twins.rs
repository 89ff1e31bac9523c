//! Every kernel in vectors gives the bits of its scalar twin, over seeded random input with the extremes in it.
//!
//! Runs as wasm in Node (`cargo xtask test wasm`); natively there is only the scalar twin.

#![cfg(target_arch = "wasm32")]

use wasm_bindgen_test::wasm_bindgen_test;
use wetframe_vision::kernels::{
    Field, Kernels, PATCH_ROWS, Patch, SOUGHT, STRIDE, Scalar, Share, Simd128, Template, WINDOW,
};

const CASES: u32 = 400;

/// A small generator: proptest asks the system for entropy, which plain wasm has not.
struct Even(u64);

impl Even {
    fn next(&mut self) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as u32
    }

    fn below(&mut self, end: usize) -> usize {
        self.next() as usize % end
    }

    /// A way to draw pixels: noise, only black and white, or one level.
    fn pixels(&mut self) -> Box<dyn Fn(&mut Self) -> u8> {
        match self.below(4) {
            0 => Box::new(|even| if even.next() & 1 == 0 { 0 } else { 255 }),
            1 => {
                let level = self.next() as u8;
                Box::new(move |_| level)
            }
            _ => Box::new(|even| even.next() as u8),
        }
    }

    fn share(&mut self) -> Share {
        match self.below(4) {
            0 => 0,
            1 => Share::MAX,
            _ => self.below(1 << 15) as Share,
        }
    }

    fn patch(&mut self) -> Patch {
        let draw = self.pixels();
        let mut patch = [[0; STRIDE]; PATCH_ROWS];
        for row in &mut patch {
            *row = Scalar::widen(&std::array::from_fn(|_| draw(self)));
        }
        patch
    }

    /// A field and a template that a patch gives, as tracking makes them.
    fn template(&mut self) -> (Field, Template) {
        let (mut field, mut template) = ([[0; STRIDE]; PATCH_ROWS - 1], Template::new());
        Scalar::between(&self.patch(), self.share(), self.share(), &mut field);
        Scalar::slopes(&field, &mut template);
        (field, template)
    }
}

fn cases(check: impl Fn(&mut Even)) {
    for case in 0..CASES {
        check(&mut Even(u64::from(case)));
    }
}

#[wasm_bindgen_test]
fn absolute_differences() {
    cases(|even| {
        let draw = even.pixels();
        let [a, b]: [Vec<u8>; 2] = std::array::from_fn(|_| {
            let length = even.below(9_000);
            (0..length).map(|_| draw(even)).collect()
        });
        assert_eq!(
            Simd128::absolute_difference(&a, &b),
            Scalar::absolute_difference(&a, &b)
        );
    });
    let (black, white) = (vec![0; 100_001], vec![255; 100_001]);
    assert_eq!(Simd128::absolute_difference(&black, &white), 255 * 100_001);
}

#[wasm_bindgen_test]
fn halves() {
    cases(|even| {
        let draw = even.pixels();
        let rows: [[u8; 48]; 5] = std::array::from_fn(|_| std::array::from_fn(|_| draw(even)));
        assert_eq!(Simd128::halve(rows.each_ref()), Scalar::halve(rows.each_ref()));
    });
}

#[wasm_bindgen_test]
fn widened_rows() {
    cases(|even| {
        let row = std::array::from_fn(|_| even.next() as u8);
        assert_eq!(Simd128::widen(&row), Scalar::widen(&row));
    });
}

#[wasm_bindgen_test]
fn brightness_between_pixels() {
    cases(|even| {
        let (patch, across, down) = (even.patch(), even.share(), even.share());
        let (mut vectors, mut plain) = ([[7; STRIDE]; PATCH_ROWS - 1], [[7; STRIDE]; PATCH_ROWS - 1]);
        Simd128::between(&patch, across, down, &mut vectors);
        Scalar::between(&patch, across, down, &mut plain);
        assert_eq!(vectors, plain);
    });
}

#[wasm_bindgen_test]
fn slopes() {
    cases(|even| {
        let (field, _) = even.template();
        let (mut vectors, mut plain) = (Template::new(), Template::new());
        assert_eq!(
            Simd128::slopes(&field, &mut vectors),
            Scalar::slopes(&field, &mut plain)
        );
        assert_eq!(vectors, plain);
    });
}

#[wasm_bindgen_test]
fn mismatches() {
    cases(|even| {
        let (_, template) = even.template();
        let (patch, across, down) = (even.patch(), even.share(), even.share());
        assert_eq!(
            Simd128::mismatch(&patch, across, down, &template),
            Scalar::mismatch(&patch, across, down, &template)
        );
    });
}

#[wasm_bindgen_test]
fn agreements() {
    cases(|even| {
        let (_, template) = even.template();
        let (field, _) = even.template();
        assert_eq!(
            Simd128::agreement(&field, &template),
            Scalar::agreement(&field, &template)
        );
    });
}

#[wasm_bindgen_test]
fn products() {
    cases(|even| {
        let draw = even.pixels();
        let sought: [[i16; STRIDE]; SOUGHT] =
            std::array::from_fn(|_| std::array::from_fn(|_| i16::from(draw(even))));
        let stride = STRIDE + even.below(40);
        let length = stride * SOUGHT - even.below(3 * stride);
        let picture: Vec<u8> = (0..length).map(|_| draw(even)).collect();
        assert_eq!(
            Simd128::product(&sought, &picture, stride),
            Scalar::product(&sought, &picture, stride)
        );
    });
}

#[wasm_bindgen_test]
fn the_steepest_picture_overflows_nothing() {
    // Columns of black and white in pairs give the steepest slopes, and their negative the largest mismatch.
    let steep = |turn: usize| -> Patch {
        std::array::from_fn(|y| {
            std::array::from_fn(|x| {
                if (x / 2 + y / 2 + turn).is_multiple_of(2) {
                    0
                } else {
                    8_160
                }
            })
        })
    };
    let (mut field, mut template) = ([[0; STRIDE]; PATCH_ROWS - 1], Template::new());
    Scalar::between(&steep(0), 0, 0, &mut field);
    let sums = Scalar::slopes(&field, &mut template);
    assert!(sums.xx > 441 * 1_000_000);
    for turn in 0..2 {
        assert_eq!(
            Simd128::mismatch(&steep(turn), 0, 0, &template),
            Scalar::mismatch(&steep(turn), 0, 0, &template)
        );
    }
    assert_eq!(WINDOW, 21);
}
