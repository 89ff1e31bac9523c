//! The kernels in wasm's 128-bit vectors.
//!
//! Each function names the feature itself, so that the rest of the module needs no flag. Vectors are read
//! from arrays of their size, never from pointers.

use core::arch::wasm32::{
    i8x16_shuffle, i16x8, i16x8_add, i16x8_extadd_pairwise_u8x16, i16x8_q15mulr_sat, i16x8_shl, i16x8_shr,
    i16x8_splat, i16x8_sub, i32x4_add, i32x4_dot_i16x8, i32x4_extadd_pairwise_u16x8, i32x4_splat, i64x2_add,
    i64x2_extend_high_i32x4, i64x2_extend_low_i32x4, i64x2_extract_lane, i64x2_splat, u8x16_avgr,
    u8x16_sub_sat, u16x8_extend_high_u8x16, u16x8_extend_low_u8x16, u32x4_extract_lane, v128, v128_and,
    v128_or,
};

use super::scalar::{INNER, OUTER, row_product};
use super::{Agreement, Field, Kernels, LANES, Patch, SOUGHT, STRIDE, Share, Slopes, Template, WINDOW};

/// Wasm's 128-bit vectors.
#[derive(Clone, Copy, Debug)]
pub struct Simd128;

impl Kernels for Simd128 {
    fn absolute_difference(a: &[u8], b: &[u8]) -> u64 {
        absolute_difference(a, b)
    }

    fn halve(rows: [&[u8; 48]; 5]) -> [u8; 16] {
        halve(rows)
    }

    fn widen(row: &[u8; STRIDE]) -> [i16; STRIDE] {
        widen(row)
    }

    fn between(patch: &Patch, across: Share, down: Share, field: &mut Field) {
        between(patch, across, down, field);
    }

    fn slopes(field: &Field, template: &mut Template) -> Slopes {
        slopes(field, template)
    }

    fn mismatch(patch: &Patch, across: Share, down: Share, template: &Template) -> (i64, i64) {
        mismatch(patch, across, down, template)
    }

    fn agreement(field: &Field, template: &Template) -> Agreement {
        agreement(field, template)
    }

    fn product(sought: &[[i16; STRIDE]; SOUGHT], picture: &[u8], stride: usize) -> i64 {
        product(sought, picture, stride)
    }
}

/// Vectors of 8 values in a window's row.
const VECTORS: usize = LANES / 8;

#[inline]
#[target_feature(enable = "simd128")]
fn bytes(bytes: &[u8; 16]) -> v128 {
    bytemuck::cast(*bytes)
}

/// The vectors of `LANES` values that begin `FROM` values into a row.
#[inline]
#[target_feature(enable = "simd128")]
fn lanes<const FROM: usize>(row: &[i16; STRIDE]) -> [v128; VECTORS] {
    let (chunks, _) = row[FROM..].as_chunks::<8>();
    [
        bytemuck::cast(chunks[0]),
        bytemuck::cast(chunks[1]),
        bytemuck::cast(chunks[2]),
    ]
}

#[inline]
#[target_feature(enable = "simd128")]
fn window_lanes(row: &[i16; LANES]) -> [v128; VECTORS] {
    let (chunks, _) = row.as_chunks::<8>();
    [
        bytemuck::cast(chunks[0]),
        bytemuck::cast(chunks[1]),
        bytemuck::cast(chunks[2]),
    ]
}

#[inline]
#[target_feature(enable = "simd128")]
fn store(row: &mut [i16], values: [v128; VECTORS]) {
    for (out, value) in row.as_chunks_mut::<8>().0.iter_mut().zip(values) {
        *out = bytemuck::cast(value);
    }
}

/// Four sums of 32 bits as one of 64.
#[inline]
#[target_feature(enable = "simd128")]
fn total(sums: v128) -> i64 {
    let both = i64x2_add(i64x2_extend_low_i32x4(sums), i64x2_extend_high_i32x4(sums));
    i64x2_extract_lane::<0>(both) + i64x2_extract_lane::<1>(both)
}

#[target_feature(enable = "simd128")]
fn absolute_difference(a: &[u8], b: &[u8]) -> u64 {
    let length = a.len().min(b.len());
    let (a, b) = (&a[..length], &b[..length]);
    let (pairs_a, rest_a) = a.as_chunks::<32>();
    let (pairs_b, rest_b) = b.as_chunks::<32>();
    let mut sum = 0;
    // Sixteen bits hold 64 sums of four differences; 32 bits hold a row.
    for (pairs_a, pairs_b) in pairs_a.chunks(64).zip(pairs_b.chunks(64)) {
        let mut sixteen = i16x8_splat(0);
        for (a, b) in pairs_a.iter().zip(pairs_b) {
            let (a, b) = (a.as_chunks::<16>().0, b.as_chunks::<16>().0);
            let first = difference(bytes(&a[0]), bytes(&b[0]));
            let second = difference(bytes(&a[1]), bytes(&b[1]));
            sixteen = i16x8_add(
                sixteen,
                i16x8_add(
                    i16x8_extadd_pairwise_u8x16(first),
                    i16x8_extadd_pairwise_u8x16(second),
                ),
            );
        }
        let four = i32x4_extadd_pairwise_u16x8(sixteen);
        sum += u64::from(
            u32x4_extract_lane::<0>(four)
                + u32x4_extract_lane::<1>(four)
                + u32x4_extract_lane::<2>(four)
                + u32x4_extract_lane::<3>(four),
        );
    }
    let rest: u32 = rest_a
        .iter()
        .zip(rest_b)
        .map(|(a, b)| u32::from(a.abs_diff(*b)))
        .sum();
    sum + u64::from(rest)
}

#[inline]
#[target_feature(enable = "simd128")]
fn difference(a: v128, b: v128) -> v128 {
    v128_or(u8x16_sub_sat(a, b), u8x16_sub_sat(b, a))
}

#[inline]
#[target_feature(enable = "simd128")]
fn binomial(a: v128, b: v128, c: v128, d: v128, e: v128) -> v128 {
    u8x16_avgr(u8x16_avgr(b, d), u8x16_avgr(u8x16_avgr(u8x16_avgr(a, e), c), c))
}

#[target_feature(enable = "simd128")]
fn halve(rows: [&[u8; 48]; 5]) -> [u8; 16] {
    let [r0, r1, r2, r3, r4] = rows.map(|row| row.as_chunks::<16>().0);
    let mut columns = [i16x8_splat(0); 3];
    for (part, column) in columns.iter_mut().enumerate() {
        *column = binomial(
            bytes(&r0[part]),
            bytes(&r1[part]),
            bytes(&r2[part]),
            bytes(&r3[part]),
            bytes(&r4[part]),
        );
    }
    let [first, second, third] = columns;
    let even = i8x16_shuffle::<0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30>(first, second);
    let odd = i8x16_shuffle::<1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23, 25, 27, 29, 31>(first, second);
    let even_next = i8x16_shuffle::<0, 2, 4, 6, 8, 10, 12, 14, 0, 2, 4, 6, 8, 10, 12, 14>(third, third);
    let odd_next = i8x16_shuffle::<1, 3, 5, 7, 9, 11, 13, 15, 1, 3, 5, 7, 9, 11, 13, 15>(third, third);
    let even_1 = i8x16_shuffle::<1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16>(even, even_next);
    let even_2 = i8x16_shuffle::<2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17>(even, even_next);
    let odd_1 = i8x16_shuffle::<1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16>(odd, odd_next);
    bytemuck::cast(binomial(even, odd, even_1, odd_1, even_2))
}

#[target_feature(enable = "simd128")]
fn widen(row: &[u8; STRIDE]) -> [i16; STRIDE] {
    let chunks = row.as_chunks::<16>().0;
    let (left, right) = (bytes(&chunks[0]), bytes(&chunks[1]));
    let wide: [[i16; 8]; 4] = [
        bytemuck::cast(i16x8_shl(u16x8_extend_low_u8x16(left), 5)),
        bytemuck::cast(i16x8_shl(u16x8_extend_high_u8x16(left), 5)),
        bytemuck::cast(i16x8_shl(u16x8_extend_low_u8x16(right), 5)),
        bytemuck::cast(i16x8_shl(u16x8_extend_high_u8x16(right), 5)),
    ];
    bytemuck::cast(wide)
}

/// `from` moved by `share` of the way to `to`.
#[inline]
#[target_feature(enable = "simd128")]
fn toward(from: v128, to: v128, share: v128) -> v128 {
    i16x8_add(from, i16x8_q15mulr_sat(i16x8_sub(to, from), share))
}

#[inline]
#[target_feature(enable = "simd128")]
fn between_columns(row: &[i16; STRIDE], across: v128) -> [v128; VECTORS] {
    let ([a0, a1, a2], [b0, b1, b2]) = (lanes::<0>(row), lanes::<1>(row));
    [
        toward(a0, b0, across),
        toward(a1, b1, across),
        toward(a2, b2, across),
    ]
}

#[target_feature(enable = "simd128")]
fn between(patch: &Patch, across: Share, down: Share, field: &mut Field) {
    let (across, down) = (i16x8_splat(across), i16x8_splat(down));
    let mut above = between_columns(&patch[0], across);
    for (row, out) in patch[1..].iter().zip(field) {
        let below = between_columns(row, across);
        store(
            out,
            [
                toward(above[0], below[0], down),
                toward(above[1], below[1], down),
                toward(above[2], below[2], down),
            ],
        );
        above = below;
    }
}

/// Slope per pixel from differences over two pixels: 3-10-3 sixteenths and half of that.
#[inline]
#[target_feature(enable = "simd128")]
fn scharr(outer: v128, inner: v128) -> v128 {
    let sum = i16x8_add(
        i16x8_q15mulr_sat(outer, i16x8_splat(OUTER)),
        i16x8_q15mulr_sat(inner, i16x8_splat(INNER)),
    );
    i16x8_shr(i16x8_add(sum, i16x8_splat(1)), 1)
}

/// Which of a row's last eight values belong to the window.
#[inline]
#[target_feature(enable = "simd128")]
fn inside() -> v128 {
    i16x8(-1, -1, -1, -1, -1, 0, 0, 0)
}

#[target_feature(enable = "simd128")]
fn slopes(field: &Field, template: &mut Template) -> Slopes {
    let zero = i32x4_splat(0);
    // 126 products of at most 4,081² in each of four sums fit 32 bits.
    let (mut xx, mut xy, mut yy) = (zero, zero, zero);
    for y in 0..WINDOW {
        let (above, middle, below) = (&field[y], &field[y + 1], &field[y + 2]);
        let (above_0, above_1, above_2) = (lanes::<0>(above), lanes::<1>(above), lanes::<2>(above));
        let (middle_0, middle_1, middle_2) = (lanes::<0>(middle), lanes::<1>(middle), lanes::<2>(middle));
        let (below_0, below_1, below_2) = (lanes::<0>(below), lanes::<1>(below), lanes::<2>(below));
        let (mut across, mut down) = ([zero; VECTORS], [zero; VECTORS]);
        for part in 0..VECTORS {
            let outer = i16x8_add(
                i16x8_sub(above_2[part], above_0[part]),
                i16x8_sub(below_2[part], below_0[part]),
            );
            across[part] = scharr(outer, i16x8_sub(middle_2[part], middle_0[part]));
            let outer = i16x8_add(
                i16x8_sub(below_0[part], above_0[part]),
                i16x8_sub(below_2[part], above_2[part]),
            );
            down[part] = scharr(outer, i16x8_sub(below_1[part], above_1[part]));
        }
        across[VECTORS - 1] = v128_and(across[VECTORS - 1], inside());
        down[VECTORS - 1] = v128_and(down[VECTORS - 1], inside());
        for (across, down) in across.into_iter().zip(down) {
            xx = i32x4_add(xx, i32x4_dot_i16x8(across, across));
            xy = i32x4_add(xy, i32x4_dot_i16x8(across, down));
            yy = i32x4_add(yy, i32x4_dot_i16x8(down, down));
        }
        store(&mut template.level[y], middle_1);
        store(&mut template.across[y], across);
        store(&mut template.down[y], down);
    }
    Slopes {
        xx: total(xx),
        xy: total(xy),
        yy: total(yy),
    }
}

#[target_feature(enable = "simd128")]
fn mismatch(patch: &Patch, across: Share, down: Share, template: &Template) -> (i64, i64) {
    /// Rows whose products fit 32 bits: 7 · 6 · 8,160 · 4,081.
    const ROWS: usize = 7;
    const _: () = assert!(WINDOW.is_multiple_of(ROWS));
    let (across, down) = (i16x8_splat(across), i16x8_splat(down));
    let (mut sum_x, mut sum_y) = (i64x2_splat(0), i64x2_splat(0));
    let mut above = between_columns(&patch[0], across);
    for band in 0..WINDOW / ROWS {
        let (mut band_x, mut band_y) = (i32x4_splat(0), i32x4_splat(0));
        for y in band * ROWS..(band + 1) * ROWS {
            let below = between_columns(&patch[y + 1], across);
            let level = window_lanes(&template.level[y]);
            let to_right = window_lanes(&template.across[y]);
            let downward = window_lanes(&template.down[y]);
            for part in 0..VECTORS {
                let found = toward(above[part], below[part], down);
                let difference = i16x8_sub(found, level[part]);
                band_x = i32x4_add(band_x, i32x4_dot_i16x8(difference, to_right[part]));
                band_y = i32x4_add(band_y, i32x4_dot_i16x8(difference, downward[part]));
            }
            above = below;
        }
        sum_x = i64x2_add(sum_x, i64x2_extend_low_i32x4(band_x));
        sum_x = i64x2_add(sum_x, i64x2_extend_high_i32x4(band_x));
        sum_y = i64x2_add(sum_y, i64x2_extend_low_i32x4(band_y));
        sum_y = i64x2_add(sum_y, i64x2_extend_high_i32x4(band_y));
    }
    (
        i64x2_extract_lane::<0>(sum_x) + i64x2_extract_lane::<1>(sum_x),
        i64x2_extract_lane::<0>(sum_y) + i64x2_extract_lane::<1>(sum_y),
    )
}

#[target_feature(enable = "simd128")]
fn agreement(field: &Field, template: &Template) -> Agreement {
    let one = i16x8_splat(1);
    let mut sums = Agreement::default();
    for (found, level) in field.iter().zip(&template.level) {
        let (mut found, mut level) = (lanes::<0>(found), window_lanes(level));
        found[VECTORS - 1] = v128_and(found[VECTORS - 1], inside());
        level[VECTORS - 1] = v128_and(level[VECTORS - 1], inside());
        let zero = i32x4_splat(0);
        let (mut row_t, mut row_f, mut row_tt, mut row_ff, mut row_tf) = (zero, zero, zero, zero, zero);
        for (found, level) in found.into_iter().zip(level) {
            row_t = i32x4_add(row_t, i32x4_dot_i16x8(level, one));
            row_f = i32x4_add(row_f, i32x4_dot_i16x8(found, one));
            row_tt = i32x4_add(row_tt, i32x4_dot_i16x8(level, level));
            row_ff = i32x4_add(row_ff, i32x4_dot_i16x8(found, found));
            row_tf = i32x4_add(row_tf, i32x4_dot_i16x8(level, found));
        }
        sums.template += total(row_t);
        sums.found += total(row_f);
        sums.template_squared += total(row_tt);
        sums.found_squared += total(row_ff);
        sums.product += total(row_tf);
    }
    sums
}

#[target_feature(enable = "simd128")]
fn product(sought: &[[i16; STRIDE]; SOUGHT], picture: &[u8], stride: usize) -> i64 {
    let mut sums = i32x4_splat(0);
    let mut rest = 0;
    for (y, sought) in sought.iter().enumerate() {
        let row = picture.get(y.saturating_mul(stride)..).unwrap_or(&[]);
        let Some(whole) = row.first_chunk::<STRIDE>() else {
            // The last row may end where the picture does.
            rest += row_product(sought, row);
            continue;
        };
        let chunks = whole.as_chunks::<16>().0;
        let (left, right) = (bytes(&chunks[0]), bytes(&chunks[1]));
        let sought = sought.as_chunks::<8>().0;
        let products = [
            i32x4_dot_i16x8(u16x8_extend_low_u8x16(left), bytemuck::cast(sought[0])),
            i32x4_dot_i16x8(u16x8_extend_high_u8x16(left), bytemuck::cast(sought[1])),
            i32x4_dot_i16x8(u16x8_extend_low_u8x16(right), bytemuck::cast(sought[2])),
            i32x4_dot_i16x8(u16x8_extend_high_u8x16(right), bytemuck::cast(sought[3])),
        ];
        for products in products {
            sums = i32x4_add(sums, products);
        }
    }
    total(sums) + i64::from(rest)
}
