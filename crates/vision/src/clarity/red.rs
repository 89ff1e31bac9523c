//! Red that the water took, made up for from green.
//!
//! Ancuti, Ancuti, De Vleeschouwer & Bekaert (2018), "Color balance and fusion for underwater image
//! enhancement", IEEE Trans Image Process 27:379-393, equation 4, with all values from 0 to 1:
//! r + α · (mean g − mean r) · (1 − r) · g. (The formula as two independent implementations of the paper have
//! it.) Where red is not the weaker colour nothing changes.

use super::rgba::{Rgba, pixels_of};

/// Makes up for red with strength `alpha` (1 in the paper; 0 to 2 is taken) and writes to `out`.
pub fn compensate_red(source: &Rgba<'_>, out: &mut Vec<u8>, alpha: f64) {
    let [red, green, _] = source.means();
    let strength = alpha.clamp(0.0, 2.0) * ((green - red) / 255.0).max(0.0);
    // (255 − r) · g is below 2^16, the factor below 2^16 as well.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 514")]
    let factor = (strength / 255.0 * f64::from(1 << 16)).round() as u32;
    for (out, pixel) in pixels_of(out, source).iter_mut().zip(source.pixels()) {
        let [red, green, blue, opacity] = *pixel;
        let added = (factor * u32::from(255 - red) * u32::from(green) + (1 << 15)) >> 16;
        let red = u8::try_from(u32::from(red) + added).unwrap_or(u8::MAX);
        *out = [red, green, blue, opacity];
    }
}
