//! Contrast-limited adaptive histogram equalisation.
//!
//! Zuiderveld (1994), "Contrast limited adaptive histogram equalization", Graphics Gems IV: 474-485; tiles,
//! clipping and interpolation as OpenCV does them, with which it agrees within one grey level. A tile's
//! brightnesses are spread by its own histogram, no level by more than the limit allows; between tiles' middles
//! the tables are mixed.

use crate::luma::Luma;

use super::rgba::{Rgba, luma_of, pixels_of};

/// How fine and how strong.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EqualiseOptions {
    /// Tiles across, 1 to 64.
    pub tiles_across: usize,
    /// Tiles down, 1 to 64.
    pub tiles_down: usize,
    /// How many times its even share a grey level may have, 1 or more: larger is stronger.
    pub clip_limit: f64,
}

impl Default for EqualiseOptions {
    fn default() -> Self {
        Self {
            tiles_across: 8,
            tiles_down: 8,
            clip_limit: 2.0,
        }
    }
}

type Table = [u8; 256];

/// Spreads the contrast of a colour picture's luma and writes to `out`; each pixel's three colours are raised
/// or lowered alike.
pub fn equalise(source: &Rgba<'_>, out: &mut Vec<u8>, options: EqualiseOptions) {
    let pixels = source.pixels();
    let tables = Tables::of(source.width(), source.height(), options, |index| {
        luma_of(pixels[index])
    });
    let out = pixels_of(out, source);
    tables.for_each(|index, mix| {
        let [red, green, blue, opacity] = pixels[index];
        let before = luma_of(pixels[index]);
        let change = i16::from(mix.level(before)) - i16::from(before);
        let moved = |colour: u8| u8::try_from((i16::from(colour) + change).clamp(0, 255)).unwrap_or(0);
        out[index] = [moved(red), moved(green), moved(blue), opacity];
    });
}

/// The same for a luma picture; the result has no padding.
#[must_use]
pub fn equalise_luma(source: &Luma<'_>, options: EqualiseOptions) -> Vec<u8> {
    let (width, height) = source.size();
    let at = |index: usize| source.bytes()[index / width * source.stride() + index % width];
    let tables = Tables::of(width, height, options, at);
    let mut out = vec![0; width * height];
    tables.for_each(|index, mix| out[index] = mix.level(at(index)));
    out
}

/// Each tile's table.
struct Tables {
    width: usize,
    height: usize,
    across: usize,
    down: usize,
    tile_width: usize,
    tile_height: usize,
    tables: Vec<Table>,
}

impl Tables {
    fn of(width: usize, height: usize, options: EqualiseOptions, at: impl Fn(usize) -> u8) -> Self {
        let across = options.tiles_across.clamp(1, 64);
        let down = options.tiles_down.clamp(1, 64);
        let (tile_width, tile_height) = (width.div_ceil(across), height.div_ceil(down));
        let area = tile_width * tile_height;
        let limit = clip_count(options.clip_limit, area);
        let mut tables = Vec::with_capacity(across * down);
        for tile_y in 0..down {
            for tile_x in 0..across {
                let mut histogram = [0_u32; 256];
                for y in tile_y * tile_height..(tile_y + 1) * tile_height {
                    let row = mirrored(y, height) * width;
                    let (from, end) = (tile_x * tile_width, (tile_x + 1) * tile_width);
                    for x in from.min(width)..end.min(width) {
                        histogram[usize::from(at(row + x))] += 1;
                    }
                    // A picture that does not fill whole tiles is taken to be mirrored at its edges.
                    for x in from.max(width)..end.max(width) {
                        histogram[usize::from(at(row + mirrored(x, width)))] += 1;
                    }
                }
                clip(&mut histogram, limit);
                tables.push(table_of(&histogram, area));
            }
        }
        Self {
            width,
            height,
            across,
            down,
            tile_width,
            tile_height,
            tables,
        }
    }

    /// Calls `set` for every pixel with its index and what maps its level there.
    fn for_each(&self, mut set: impl FnMut(usize, Mix<'_>)) {
        let columns: Vec<Between> = (0..self.width)
            .map(|x| Between::of(x, self.tile_width, self.across))
            .collect();
        for y in 0..self.height {
            let rows = Between::of(y, self.tile_height, self.down);
            let row_of = |tile_y: usize| &self.tables[tile_y * self.across..(tile_y + 1) * self.across];
            let (upper, lower) = (row_of(rows.first), row_of(rows.second));
            for (x, columns) in columns.iter().enumerate() {
                let mix = Mix {
                    tables: [
                        &upper[columns.first],
                        &upper[columns.second],
                        &lower[columns.first],
                        &lower[columns.second],
                    ],
                    across: columns.share,
                    down: rows.share,
                };
                set(y * self.width + x, mix);
            }
        }
    }
}

/// Four tiles' tables and how much of each counts.
struct Mix<'tables> {
    tables: [&'tables Table; 4],
    across: u32,
    down: u32,
}

impl Mix<'_> {
    fn level(&self, level: u8) -> u8 {
        let [a, b, c, d] = self.tables.map(|table| u32::from(table[usize::from(level)]));
        let above = a * (SHARES - self.across) + b * self.across;
        let below = c * (SHARES - self.across) + d * self.across;
        let sum = above * (SHARES - self.down) + below * self.down + SHARES * SHARES / 2;
        #[expect(clippy::cast_possible_truncation, reason = "a mean of four bytes")]
        let level = (sum / (SHARES * SHARES)) as u8;
        level
    }
}

/// Parts of the way from one tile's middle to the next; 255 · 2^22 fits 32 bits.
const SHARES: u32 = 1 << 11;

/// Between which tiles' middles a pixel lies, and how far.
struct Between {
    first: usize,
    second: usize,
    share: u32,
}

impl Between {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a place within at most 64 tiles"
    )]
    fn of(place: usize, tile: usize, tiles: usize) -> Self {
        let along = place as f64 / tile as f64 - 0.5;
        let before = along.floor();
        let share = ((along - before) * f64::from(SHARES)).round() as u32;
        Self {
            first: before.max(0.0) as usize,
            second: ((before + 1.0) as usize).min(tiles - 1),
            share,
        }
    }
}

/// Index of the pixel that stands for one beyond the edge: mirrored, the edge itself not repeated.
fn mirrored(place: usize, size: usize) -> usize {
    if size == 1 {
        return 0;
    }
    let turn = place % (2 * size - 2);
    turn.min(2 * size - 2 - turn)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn clip_count(clip_limit: f64, area: usize) -> u32 {
    (clip_limit * area as f64 / 256.0).clamp(1.0, f64::from(u32::MAX)) as u32
}

/// Cuts every level's count to the limit and gives what was cut to all levels alike.
fn clip(histogram: &mut [u32; 256], limit: u32) {
    let mut cut = 0;
    for count in histogram.iter_mut() {
        cut += count.saturating_sub(limit);
        *count = (*count).min(limit);
    }
    let (each, rest) = (cut / 256, (cut % 256) as usize);
    for count in histogram.iter_mut() {
        *count += each;
    }
    if let Some(step) = 256_usize.checked_div(rest) {
        for count in histogram.iter_mut().step_by(step).take(rest) {
            *count += 1;
        }
    }
}

fn table_of(histogram: &[u32; 256], area: usize) -> Table {
    let scale = 255.0 / area as f64;
    let mut table = [0; 256];
    let mut sum = 0_u32;
    for (out, count) in table.iter_mut().zip(histogram) {
        sum += count;
        *out = super::rgba::level(f64::from(sum) * scale);
    }
    table
}
