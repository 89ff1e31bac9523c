//! White balance by the grey-world assumption: over a whole scene the colours' means are alike.
//!
//! Buchsbaum (1980), "A spatial processor model for object colour perception", J Franklin Inst 310:1-26.

use super::rgba::{Rgba, level, pixels_of};

/// A channel is raised or lowered by this factor at most: what the water took wholly is noise only.
const LARGEST_GAIN: f64 = 4.0;
/// A mean below this many grey levels says nothing about a colour.
const LEAST_MEAN: f64 = 1.0;

/// Scales red, green and blue so that their means become the mean of the three, and writes to `out`.
pub fn grey_world(source: &Rgba<'_>, out: &mut Vec<u8>) {
    let means = source.means();
    let grey = means.iter().sum::<f64>() / 3.0;
    let [red, green, blue] = means.map(|mean| {
        let gain = if mean < LEAST_MEAN { 1.0 } else { grey / mean };
        let gain = gain.clamp(1.0 / LARGEST_GAIN, LARGEST_GAIN);
        let mut table = [0; 256];
        for (value, out) in (0_u32..).zip(&mut table) {
            *out = level(gain * f64::from(value));
        }
        table
    });
    for (out, pixel) in pixels_of(out, source).iter_mut().zip(source.pixels()) {
        *out = [
            red[usize::from(pixel[0])],
            green[usize::from(pixel[1])],
            blue[usize::from(pixel[2])],
            pixel[3],
        ];
    }
}
