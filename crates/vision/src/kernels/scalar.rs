//! The kernels as plain loops.

use super::{
    Agreement, Field, Kernels, LANES, PATCH_ROWS, Patch, Plane, SOUGHT, STRIDE, Share, Slopes, Template,
    UNIT, WINDOW,
};

/// Plain loops, for every machine.
#[derive(Clone, Copy, Debug)]
pub struct Scalar;

impl Kernels for Scalar {
    fn absolute_difference(a: &[u8], b: &[u8]) -> u64 {
        // In pieces whose sums fit 32 bits, which the compiler turns into vectors.
        a.chunks(4096)
            .zip(b.chunks(4096))
            .map(|(a, b)| {
                let sum: u32 = a.iter().zip(b).map(|(a, b)| u32::from(a.abs_diff(*b))).sum();
                u64::from(sum)
            })
            .sum()
    }

    fn halve(rows: [&[u8; 48]; 5]) -> [u8; 16] {
        let mut column = [0_u8; 48];
        let [r0, r1, r2, r3, r4] = rows;
        for (x, value) in column.iter_mut().enumerate() {
            *value = binomial(r0[x], r1[x], r2[x], r3[x], r4[x]);
        }
        let mut out = [0; 16];
        for (x, value) in out.iter_mut().enumerate() {
            let c = &column[2 * x..2 * x + 5];
            *value = binomial(c[0], c[1], c[2], c[3], c[4]);
        }
        out
    }

    fn widen(row: &[u8; STRIDE]) -> [i16; STRIDE] {
        row.map(|pixel| i16::from(pixel) * UNIT)
    }

    fn between(patch: &Patch, across: Share, down: Share, field: &mut Field) {
        let mut above = between_columns(&patch[0], across);
        for (row, out) in patch[1..].iter().zip(field) {
            let below = between_columns(row, across);
            for (out, (above, below)) in out.iter_mut().zip(above.iter().zip(&below)) {
                *out = above + share_of(below - above, down);
            }
            above = below;
        }
    }

    fn slopes(field: &Field, template: &mut Template) -> Slopes {
        let mut sums = Slopes::default();
        for y in 0..WINDOW {
            let (above, middle, below) = (&field[y], &field[y + 1], &field[y + 2]);
            template.level[y].copy_from_slice(&middle[1..=LANES]);
            for x in 0..WINDOW {
                let outer = (above[x + 2] - above[x]) + (below[x + 2] - below[x]);
                let across = scharr(outer, middle[x + 2] - middle[x]);
                let outer = (below[x] - above[x]) + (below[x + 2] - above[x + 2]);
                let down = scharr(outer, below[x + 1] - above[x + 1]);
                template.across[y][x] = across;
                template.down[y][x] = down;
                let (across, down) = (i64::from(across), i64::from(down));
                sums.xx += across * across;
                sums.xy += across * down;
                sums.yy += down * down;
            }
            template.across[y][WINDOW..].fill(0);
            template.down[y][WINDOW..].fill(0);
        }
        sums
    }

    fn mismatch(patch: &Patch, across: Share, down: Share, template: &Template) -> (i64, i64) {
        let mut sums = (0, 0);
        let mut above = between_columns(&patch[0], across);
        for y in 0..WINDOW {
            let below = between_columns(&patch[y + 1], across);
            let (level, to_right, downward) = (&template.level[y], &template.across[y], &template.down[y]);
            // One row's products fit 32 bits: 24 · 8,160 · 4,081.
            let (mut row_x, mut row_y) = (0_i32, 0_i32);
            for x in 0..LANES {
                let found = above[x] + share_of(below[x] - above[x], down);
                let difference = i32::from(found) - i32::from(level[x]);
                row_x += difference * i32::from(to_right[x]);
                row_y += difference * i32::from(downward[x]);
            }
            sums.0 += i64::from(row_x);
            sums.1 += i64::from(row_y);
            above = below;
        }
        sums
    }

    fn agreement(field: &Field, template: &Template) -> Agreement {
        let mut sums = Agreement::default();
        for (found, template) in field.iter().zip(&template.level) {
            for (found, template) in found.iter().zip(&template[..WINDOW]) {
                let (found, template) = (i64::from(*found), i64::from(*template));
                sums.template += template;
                sums.found += found;
                sums.template_squared += template * template;
                sums.found_squared += found * found;
                sums.product += template * found;
            }
        }
        sums
    }

    fn product(sought: &[[i16; STRIDE]; SOUGHT], picture: &[u8], stride: usize) -> i64 {
        let rows = sought.iter().enumerate();
        rows.map(|(y, sought)| {
            let row = picture.get(y.saturating_mul(stride)..).unwrap_or(&[]);
            i64::from(row_product(sought, row))
        })
        .sum()
    }
}

/// Σ sought · picture over one row, as far as both reach.
pub(super) fn row_product(sought: &[i16; STRIDE], row: &[u8]) -> i32 {
    let products = row.iter().zip(sought);
    products
        .map(|(picture, sought)| i32::from(*picture) * i32::from(*sought))
        .sum()
}

/// (a + b) / 2, halves up: what vector machines have in one instruction.
fn mean(a: u8, b: u8) -> u8 {
    a.midpoint(b) + ((a ^ b) & 1)
}

/// 1-4-6-4-1 sixteenths as means of means.
fn binomial(a: u8, b: u8, c: u8, d: u8, e: u8) -> u8 {
    mean(mean(b, d), mean(mean(mean(a, e), c), c))
}

/// `share` 32,768ths of `value`, rounded to the nearest, halves up.
fn share_of(value: i16, share: Share) -> i16 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a share of a 16-bit number has 16 bits"
    )]
    let part = ((i32::from(value) * i32::from(share) + (1 << 14)) >> 15) as i16;
    part
}

fn between_columns(row: &[i16; STRIDE], across: Share) -> [i16; LANES] {
    let mut out = [0; LANES];
    for (out, pair) in out.iter_mut().zip(row.windows(2)) {
        *out = pair[0] + share_of(pair[1] - pair[0], across);
    }
    out
}

/// Three sixteenths, of both outer differences, and ten sixteenths.
pub(super) const OUTER: Share = 3 * 2048;
pub(super) const INNER: Share = 10 * 2048;

/// Slope per pixel from differences over two pixels: 3-10-3 sixteenths and half of that.
fn scharr(outer: i16, inner: i16) -> i16 {
    (share_of(outer, OUTER) + share_of(inner, INNER) + 1) >> 1
}

const _: () = assert!(PATCH_ROWS == WINDOW + 3 && LANES >= WINDOW && STRIDE >= LANES + 2);
const _: () = assert!(size_of::<Plane>() == 2 * LANES * WINDOW);
