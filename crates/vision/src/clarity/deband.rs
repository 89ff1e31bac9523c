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
    let grains = grains(options.reach_px.clamp(1, 64));
    for (y, out) in out.chunks_mut(width).enumerate() {
        let grains = &grains[y % GRAINS];
        let room_y = y.min(height - 1 - y);
        for (x, out) in out.iter_mut().enumerate() {
            let index = y * width + x;
            let pixel = pixels[index];
            let grain = grains[x % GRAINS];
            // Within the picture on all sides, or a step at its edge would be smoothed one-sidedly.
            let away = grain.away.min(room_y).min(x).min(width - 1 - x);
            let others = [
                pixels[index - away],
                pixels[index + away],
                pixels[index - away * width],
                pixels[index + away * width],
            ];
            *out = if others.iter().all(|other| is_near(*other, pixel, options.step)) {
                mean(others, grain.rounding, pixel[3])
            } else {
                pixel
            };
        }
    }
}

fn is_near(one: [u8; 4], other: [u8; 4], step: u8) -> bool {
    one[0].abs_diff(other[0]) <= step
        && one[1].abs_diff(other[1]) <= step
        && one[2].abs_diff(other[2]) <= step
}

fn mean(pixels: [[u8; 4]; 4], rounding: u16, opacity: u8) -> [u8; 4] {
    let mut out = [opacity; 4];
    for (channel, out) in out[..3].iter_mut().enumerate() {
        let sum: u16 = pixels.iter().map(|pixel| u16::from(pixel[channel])).sum();
        *out = u8::try_from((sum + rounding) / 4).unwrap_or(u8::MAX);
    }
    out
}

/// Side of the square of grains that is laid over the picture again and again; too large to be seen.
const GRAINS: usize = 64;

#[derive(Clone, Copy, Default)]
struct Grain {
    /// How far off the four pixels are.
    away: usize,
    /// 0 to 3: a quarter of a level is rounded up as often as it is down.
    rounding: u16,
}

/// Numbers that look random, the same in every frame.
fn grains(reach: usize) -> [[Grain; GRAINS]; GRAINS] {
    let mut grains = [[Grain::default(); GRAINS]; GRAINS];
    let mut state = 0x9e37_79b1_u32;
    for grain in grains.iter_mut().flatten() {
        // Xorshift (Marsaglia 2003, J Stat Softw 8:14).
        state ^= state << 13;
        state ^= state >> 17;
        state ^= state << 5;
        let [high, .., low] = state.to_be_bytes();
        *grain = Grain {
            away: 1 + usize::from(high) * reach / 256,
            rounding: u16::from(low % 4),
        };
    }
    grains
}
