//! A picture and its coarser levels, made only where somebody looks.
//!
//! Level n has half the width and height of level n − 1, rounded up; its pixel (x, y) lies at pixel (2x, 2y)
//! of the finer level. Tracking ten points looks at a few hundredths of a picture, so levels consist of tiles
//! that are made when first asked for and kept as long as the picture is.
//!
//! Beyond its edges a picture is taken to go on as its outermost pixels are.

use crate::kernels::{Fastest, Kernels, PATCH_ROWS, Patch, STRIDE};
use crate::luma::Luma;

/// Pixels across a tile: what one call of [`Kernels::halve`] makes.
const TILE_WIDTH: usize = 16;
/// Rows of a tile: few, so that little is made that nobody looks at.
const TILE_HEIGHT: usize = 4;
/// Columns and rows that one row of a tile is made from.
const SOURCE_WIDTH: usize = 48;
const SOURCE_ROWS: usize = 5;
/// Columns of a patch that count.
const PATCH_COLUMNS: usize = 25;

/// A picture with the levels above it.
#[derive(Clone, Debug)]
pub struct Pyramid<'bytes> {
    base: Luma<'bytes>,
    coarser: Vec<Level>,
}

#[derive(Clone, Debug)]
struct Level {
    width: usize,
    height: usize,
    /// Whole tiles; what is not made yet holds anything.
    pixels: Vec<u8>,
    /// Bytes from row to row, a multiple of the tile's width and some room for a patch's unused columns.
    stride: usize,
    made: Vec<bool>,
    tiles_across: usize,
}

impl<'bytes> Pyramid<'bytes> {
    /// The picture itself as level 0 and `levels` − 1 coarser ones, none of which is made yet; fewer where the
    /// picture gets smaller than a pixel.
    #[must_use]
    pub fn new(base: Luma<'bytes>, levels: usize) -> Self {
        let mut pyramid = Self {
            base,
            coarser: Vec::new(),
        };
        pyramid.lay_out(levels);
        pyramid
    }

    /// Takes another picture in place of this one and gives this one back; the levels' memory is used again.
    pub fn replace(&mut self, base: Luma<'bytes>) -> Luma<'bytes> {
        let levels = self.levels();
        let changed = base.size() != self.base.size();
        let before = std::mem::replace(&mut self.base, base);
        if changed {
            self.lay_out(levels);
        } else {
            for level in &mut self.coarser {
                level.made.fill(false);
            }
        }
        before
    }

    fn lay_out(&mut self, levels: usize) {
        self.coarser.clear();
        let (mut width, mut height) = self.base.size();
        while self.coarser.len() + 1 < levels && (width > 1 || height > 1) {
            (width, height) = (width.div_ceil(2), height.div_ceil(2));
            let tiles_across = width.div_ceil(TILE_WIDTH);
            let tiles_down = height.div_ceil(TILE_HEIGHT);
            let stride = tiles_across * TILE_WIDTH + STRIDE;
            self.coarser.push(Level {
                width,
                height,
                pixels: vec![0; stride * tiles_down * TILE_HEIGHT],
                stride,
                made: vec![false; tiles_across * tiles_down],
                tiles_across,
            });
        }
    }

    /// The picture.
    #[must_use]
    pub fn base(&self) -> &Luma<'bytes> {
        &self.base
    }

    /// How many levels there are, the picture itself among them.
    #[must_use]
    pub fn levels(&self) -> usize {
        self.coarser.len() + 1
    }

    /// Pixels across and down of a level; of the coarsest where there is none.
    #[must_use]
    pub fn size(&self, level: usize) -> (usize, usize) {
        let coarse = level.min(self.coarser.len()).checked_sub(1);
        match coarse.and_then(|index| self.coarser.get(index)) {
            Some(level) => (level.width, level.height),
            None => self.base.size(),
        }
    }

    /// Share of all tiles that have been made, 0 to 1.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a picture has fewer than 2^24 tiles")]
    pub fn made_share(&self) -> f64 {
        let tiles: usize = self.coarser.iter().map(|level| level.made.len()).sum();
        let made: usize = self
            .coarser
            .iter()
            .map(|level| level.made.iter().filter(|made| **made).count())
            .sum();
        made as f64 / tiles.max(1) as f64
    }

    /// The 24 rows of 25 pixels of a level that begin at (`x`, `y`), which may lie outside.
    pub(crate) fn patch(&mut self, level: usize, x: i64, y: i64, patch: &mut Patch) {
        let rows = PATCH_ROWS as i64;
        let columns = PATCH_COLUMNS as i64;
        let (width, height) = self.size(level);
        let (x_from, x_end) = (clamped(x, width), clamped(x + columns - 1, width) + 1);
        let (y_from, y_end) = (clamped(y, height), clamped(y + rows - 1, height) + 1);
        let (pixels, stride) = match level.checked_sub(1).filter(|index| *index < self.coarser.len()) {
            None => (self.base.bytes(), self.base.stride()),
            Some(index) => {
                make(
                    &self.base,
                    &mut self.coarser[..=index],
                    (x_from, x_end),
                    (y_from, y_end),
                );
                let level = &self.coarser[index];
                (&level.pixels[..], level.stride)
            }
        };
        let within = x_end - x_from == PATCH_COLUMNS;
        for (row, out) in (y..).zip(patch.iter_mut()) {
            let row = &pixels[clamped(row, height) * stride..];
            let whole = within.then(|| row[x_from..].first_chunk::<STRIDE>()).flatten();
            *out = match whole {
                Some(whole) => Fastest::widen(whole),
                None => Fastest::widen(&edge_row(&row[..width], x)),
            };
        }
    }
}

/// The pixel of a direction of `size` pixels that stands for pixel `at`.
fn clamped(at: i64, size: usize) -> usize {
    usize::try_from(at).unwrap_or(0).min(size - 1)
}

/// A patch's row over the edge of a picture.
fn edge_row(row: &[u8], x: i64) -> [u8; STRIDE] {
    let mut out = [0; STRIDE];
    for (column, out) in (x..).zip(&mut out[..PATCH_COLUMNS]) {
        *out = row[clamped(column, row.len())];
    }
    out
}

/// Makes the tiles of the last of `levels` that hold the pixels from (`x_from`, `y_from`) up to (`x_end`,
/// `y_end`), and whatever they are made from.
fn make(
    base: &Luma<'_>,
    levels: &mut [Level],
    (x_from, x_end): (usize, usize),
    (y_from, y_end): (usize, usize),
) {
    let Some((level, finer)) = levels.split_last_mut() else {
        return;
    };
    let across = x_from / TILE_WIDTH..x_end.div_ceil(TILE_WIDTH);
    let down = y_from / TILE_HEIGHT..y_end.div_ceil(TILE_HEIGHT);
    for tile_y in down {
        for tile_x in across.clone() {
            let tile = tile_y * level.tiles_across + tile_x;
            if level.made[tile] {
                continue;
            }
            level.made[tile] = true;
            let (x, y) = (tile_x * TILE_WIDTH, tile_y * TILE_HEIGHT);
            if !finer.is_empty() {
                let (finer_width, finer_height) = finer[finer.len() - 1].size();
                let columns = (2 * x).saturating_sub(2)..(2 * (x + TILE_WIDTH) + 1).min(finer_width);
                let rows = (2 * y).saturating_sub(2)..(2 * (y + TILE_HEIGHT) + 1).min(finer_height);
                make(base, finer, (columns.start, columns.end), (rows.start, rows.end));
            }
            let source = match finer.last() {
                Some(finer) => Source {
                    pixels: &finer.pixels,
                    stride: finer.stride,
                    size: finer.size(),
                },
                None => Source {
                    pixels: base.bytes(),
                    stride: base.stride(),
                    size: base.size(),
                },
            };
            level.make_tile(&source, x, y);
        }
    }
}

/// The next finer level.
struct Source<'pixels> {
    pixels: &'pixels [u8],
    stride: usize,
    size: (usize, usize),
}

impl Level {
    fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    fn make_tile(&mut self, source: &Source<'_>, x: usize, y: usize) {
        let (width, height) = source.size;
        let first_column = 2 * x as i64 - 2;
        // Only the first 35 of the 48 columns count; a picture's last row may end before the 48th.
        let inside = first_column >= 0 && 2 * x + 2 * TILE_WIDTH < width;
        for row in y..(y + TILE_HEIGHT).min(self.height) {
            let mut spare = [[0; SOURCE_WIDTH]; SOURCE_ROWS];
            let mut rows: [Option<&[u8; SOURCE_WIDTH]>; SOURCE_ROWS] = [None; SOURCE_ROWS];
            for (tap, (slot, spare)) in rows.iter_mut().zip(&mut spare).enumerate() {
                let from = clamped((2 * row + tap) as i64 - 2, height) * source.stride;
                let direct = inside
                    .then(|| source.pixels[from + 2 * x - 2..].first_chunk::<SOURCE_WIDTH>())
                    .flatten();
                *slot = Some(direct.unwrap_or_else(|| {
                    let line = &source.pixels[from..from + width];
                    for (column, out) in (first_column..).zip(spare.iter_mut()) {
                        *out = line[clamped(column, width)];
                    }
                    spare
                }));
            }
            let empty = &[0; SOURCE_WIDTH];
            let made = Fastest::halve(rows.map(|row| row.unwrap_or(empty)));
            let at = row * self.stride + x;
            self.pixels[at..at + TILE_WIDTH].copy_from_slice(&made);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noise(width: usize, height: usize) -> Luma<'static> {
        let mut state = 9_u32;
        let bytes: Vec<u8> = (0..width * height)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                state.to_be_bytes()[0]
            })
            .collect();
        Luma::new(bytes, width, height, width).unwrap()
    }

    /// The definition, in real numbers and without tiles.
    fn halved(luma: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let weights = [1.0, 4.0, 6.0, 4.0, 1.0];
        let (width, height) = (luma[0].len(), luma.len());
        (0..height.div_ceil(2))
            .map(|y| {
                (0..width.div_ceil(2))
                    .map(|x| {
                        let mut sum = 0.0;
                        for (j, down) in (-2..).zip(weights) {
                            for (i, across) in (-2..).zip(weights) {
                                let row = clamped(2 * y as i64 + j, height);
                                sum += down * across * luma[row][clamped(2 * x as i64 + i, width)];
                            }
                        }
                        sum / 256.0
                    })
                    .collect()
            })
            .collect()
    }

    #[test]
    fn levels_are_the_binomial_mean_of_the_finer_ones_up_to_rounding() {
        for (width, height) in [(160, 120), (97, 53), (33, 7), (5, 64)] {
            let luma = noise(width, height);
            let base: Vec<Vec<f64>> = luma
                .rows()
                .map(|row| row.iter().copied().map(f64::from).collect())
                .collect();
            let wanted = halved(&halved(&base));
            let mut pyramid = Pyramid::new(luma, 3);
            let (across, down) = pyramid.size(2);
            assert_eq!((across, down), (wanted[0].len(), wanted.len()));
            let mut patch = [[0; STRIDE]; PATCH_ROWS];
            let (mut sum, mut count) = (0.0, 0.0);
            for y in (0..down).step_by(PATCH_ROWS) {
                for x in (0..across).step_by(PATCH_COLUMNS) {
                    pyramid.patch(2, x as i64, y as i64, &mut patch);
                    for (row, found) in (y..down).zip(&patch) {
                        for (column, found) in (x..across).zip(&found[..PATCH_COLUMNS]) {
                            let difference = f64::from(*found) / 32.0 - wanted[row][column];
                            // Each rounded mean adds up to half a level; the same for both frames of a pair.
                            assert!(
                                (-1.0..=4.0).contains(&difference),
                                "{difference} at {column}, {row}"
                            );
                            sum += difference;
                            count += 1.0;
                        }
                    }
                }
            }
            assert!((2.2..2.6).contains(&(sum / count)), "mean {}", sum / count);
        }
    }

    #[test]
    fn only_what_is_looked_at_is_made() {
        let mut pyramid = Pyramid::new(noise(1280, 720), 3);
        let mut patch = [[0; STRIDE]; PATCH_ROWS];
        pyramid.patch(0, 600, 300, &mut patch);
        assert_eq!(pyramid.made_share(), 0.0);
        pyramid.patch(2, 150, 80, &mut patch);
        assert!(
            (0.001..0.05).contains(&pyramid.made_share()),
            "{}",
            pyramid.made_share()
        );
        let before = pyramid.made_share();
        pyramid.patch(2, 150, 80, &mut patch);
        assert_eq!(pyramid.made_share(), before);
        pyramid.replace(noise(1280, 720));
        assert_eq!(pyramid.made_share(), 0.0);
    }

    #[test]
    fn beyond_the_edges_the_outermost_pixels_go_on() {
        let luma = noise(40, 30);
        let corner = i16::from(luma.row(0)[0]) * 32;
        let mut pyramid = Pyramid::new(luma, 1);
        let mut patch = [[0; STRIDE]; PATCH_ROWS];
        pyramid.patch(0, -60, -60, &mut patch);
        assert!(
            patch
                .iter()
                .all(|row| row[..PATCH_COLUMNS].iter().all(|pixel| *pixel == corner))
        );
        pyramid.patch(0, -3, -2, &mut patch);
        assert_eq!((patch[0][0], patch[2][3]), (corner, corner));
    }
}
