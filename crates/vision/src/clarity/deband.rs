//! Steps in smooth water, smoothed: equalisation widens the steps of 8-bit coding until they show.
//!
//! Where four pixels some way off on all sides are nearly of a pixel's level, it takes their mean, with a grain
//! that hides the step; where any of them differs more there is something to see and nothing changes. Common
//! practice for video, no single source. The grain is the same in every frame, so nothing flickers.

use super::rgba::{Rgba, pixels_of};

/// How gently.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DebandOptions {
    /// Grey levels that a step may have.
    pub step: u8,
    /// How far off the four pixels are at most, pixels; 1 to 64.
    pub reach_px: usize,
}

impl Default for DebandOptions {
    fn default() -> Self {
        Self {
            step: 4,
            reach_px: 16,
        }
    }
}

/// Smooths steps and writes to `out`.
pub fn deband(source: &Rgba<'_>, out: &mut Vec<u8>, options: DebandOptions) {
    let (width, height) = (source.width(), source.height());
    let pixels = source.pixels();
    let out = pixels_of(out, source);
    let reach = options.reach_px.clamp(1, 64);
    for y in 0..height {
        for x in 0..width {
            let index = y * width + x;
            let pixel = pixels[index];
            let grain = grain(x, y);
            // Within the picture on all sides, or a step at its edge would be smoothed one-sidedly.
            let room = x.min(y).min(width - 1 - x).min(height - 1 - y);
            let away = (1 + grain as usize % reach).min(room);
            if away == 0 {
                out[index] = pixel;
                continue;
            }
            let others = [
                pixels[index - away],
                pixels[index + away],
                pixels[index - away * width],
                pixels[index + away * width],
            ];
            out[index] = pixel;
            for (channel, out) in out[index][..3].iter_mut().enumerate() {
                let levels = others.map(|other| other[channel]);
                if levels
                    .iter()
                    .all(|level| level.abs_diff(pixel[channel]) <= options.step)
                {
                    let sum: u16 = levels.iter().copied().map(u16::from).sum();
                    // A quarter of a level is rounded up as often as it is down.
                    let rounding = (grain >> 16) as u16 % 4;
                    *out = u8::try_from((sum + rounding) / 4).unwrap_or(u8::MAX);
                }
            }
        }
    }
}

/// A number that looks random, the same for the same pixel in every frame (two rounds of xorshift-multiply).
#[expect(clippy::cast_possible_truncation, reason = "a picture's side is below 2^16")]
fn grain(x: usize, y: usize) -> u32 {
    let mut value = (x as u32).wrapping_mul(0x9e37_79b1) ^ (y as u32).wrapping_mul(0x85eb_ca77);
    value = (value ^ (value >> 15)).wrapping_mul(0x2c1b_3c6d);
    value = (value ^ (value >> 12)).wrapping_mul(0x297a_2d39);
    value ^ (value >> 15)
}
