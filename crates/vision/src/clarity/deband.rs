//! Steps in smooth water, smoothed: equalisation widens the steps of 8-bit coding until they show.
//!
//! Where four pixels some way off on all sides are nearly of a pixel's level, it takes their mean, with a grain
//! that hides the step; where any of them differs more there is something to see and nothing changes. Each
//! colour by itself. Common practice for video, no single source. The grain is the same in every frame, so
//! nothing flickers.

use super::rgba::Rgba;

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

/// Pixels of a row that look equally far, so that they can be worked on together.
const SEGMENT: usize = 16;
/// Bytes of a pixel.
const PIXEL: usize = 4;

/// Smooths steps and writes to `out`.
pub fn deband(source: &Rgba<'_>, out: &mut Vec<u8>, options: DebandOptions) {
    let (width, height) = (source.width(), source.height());
    let bytes = source.bytes();
    let stride = width * PIXEL;
    let mut grain = Grain::new();
    let roundings: [Piece; GRAINS] = std::array::from_fn(|_| std::array::from_fn(|_| grain.below(4)));
    let reach = u8::try_from(options.reach_px.clamp(1, 64)).unwrap_or(64);
    out.resize(bytes.len(), 0);
    for (y, row) in out.chunks_mut(stride).enumerate() {
        for (segment, out) in row.chunks_mut(SEGMENT * PIXEL).enumerate() {
            let (x, count) = (segment * SEGMENT, out.len() / PIXEL);
            let away = 1 + usize::from(grain.below(reach));
            // At an edge it looks less far, or only along it.
            let across = away.min(x).min(width - x - count) * PIXEL;
            let down = away.min(y).min(height - 1 - y) * stride;
            let from = y * stride + x * PIXEL;
            let at = |from: usize| piece(&bytes[from..], out.len());
            let others = [from - across, from + across, from - down, from + down].map(at);
            let rounding = &roundings[usize::from(grain.below(64)) % GRAINS];
            let smoothed = smooth(&at(from), &others, rounding, options.step);
            out.copy_from_slice(&smoothed[..out.len()]);
        }
    }
}

type Piece = [u8; SEGMENT * PIXEL];

/// The first `length` bytes; the last segment of a row may be shorter than a piece.
fn piece(bytes: &[u8], length: usize) -> Piece {
    if let Some(whole) = bytes.first_chunk() {
        return *whole;
    }
    let mut piece = [0; SEGMENT * PIXEL];
    piece[..length].copy_from_slice(&bytes[..length]);
    piece
}

/// The mean of the four where all of them are near, else the pixel itself; opacity stays.
#[cfg_attr(target_arch = "wasm32", target_feature(enable = "simd128"))]
fn smooth(here: &Piece, others: &[Piece; 4], roundings: &Piece, step: u8) -> Piece {
    let [left, right, above, below] = others;
    let mut out = [0; SEGMENT * PIXEL];
    for index in 0..out.len() {
        let four = [left[index], right[index], above[index], below[index]];
        let farthest = four
            .iter()
            .fold(0, |farthest: u8, other| farthest.max(other.abs_diff(here[index])));
        let sum = four
            .iter()
            .fold(u16::from(roundings[index]), |sum, other| sum + u16::from(*other));
        #[expect(clippy::cast_possible_truncation, reason = "a mean of four bytes")]
        let mean = (sum / 4) as u8;
        out[index] = if farthest <= step { mean } else { here[index] };
    }
    for (out, here) in out
        .as_chunks_mut::<PIXEL>()
        .0
        .iter_mut()
        .zip(here.as_chunks::<PIXEL>().0)
    {
        out[3] = here[3];
    }
    out
}

/// How many rows of roundings there are to choose from.
const GRAINS: usize = 64;

/// Numbers that look random, the same in every frame: xorshift (Marsaglia 2003, J Stat Softw 8:14).
struct Grain(u32);

impl Grain {
    fn new() -> Self {
        Self(0x9e37_79b1)
    }

    /// From 0 to below `end`.
    fn below(&mut self, end: u8) -> u8 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        let [high, ..] = self.0.to_be_bytes();
        u8::try_from(u16::from(high) * u16::from(end) / 256).unwrap_or(0)
    }
}
