//! Looking for copied frames while a worker decodes: planes in, frame numbers out.
//!
//! Not for: decoding, or the judgement itself ([`clip::cadence`] has it).

use clip::cadence::{Cadence, CadenceError, LumaPlane};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use plain::to_plain;

/// Compares each frame's luma with that of the frame before it.
#[wasm_bindgen]
#[derive(Default)]
pub struct DuplicateFinder {
    cadence: Cadence,
    /// Luma made from what the browser gave; kept between frames so that it is allocated once.
    luma: Vec<u8>,
}

#[wasm_bindgen]
impl DuplicateFinder {
    /// Nothing seen yet.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes a luma plane of `bits` bits a pixel (8; or 9 to 16 in two bytes, low byte first), with
    /// `stride` bytes from row to row. Frames come in presentation order and may be left out.
    ///
    /// # Errors
    /// Throws a trouble when the plane is too short or the frame out of order.
    pub fn add_plane(
        &mut self,
        frame: u32,
        bytes: &[u8],
        width: usize,
        height: usize,
        stride: usize,
        bits: u32,
    ) -> Result<(), JsValue> {
        if bits <= 8 {
            let plane = LumaPlane {
                bytes,
                width,
                height,
                stride,
            };
            return self.cadence.add(frame, plane).map_err(|error| thrown(&error));
        }
        let shift = bits.min(16) - 8;
        self.luma.clear();
        self.luma
            .extend(bytes.chunks_exact(2).map(|pair| high_byte(pair, shift)));
        let plane = LumaPlane {
            bytes: &self.luma,
            width,
            height,
            stride: stride / 2,
        };
        self.cadence.add(frame, plane).map_err(|error| thrown(&error))
    }

    /// Takes a picture of four bytes a pixel (red, green, blue, and one that is not looked at).
    ///
    /// # Errors
    /// Throws a trouble when the picture is too short or the frame out of order.
    pub fn add_rgba(&mut self, frame: u32, bytes: &[u8], width: usize, height: usize) -> Result<(), JsValue> {
        self.luma.clear();
        self.luma.extend(bytes.chunks_exact(4).map(luma_of));
        let plane = LumaPlane {
            bytes: &self.luma,
            width,
            height,
            stride: width,
        };
        self.cadence.add(frame, plane).map_err(|error| thrown(&error))
    }

    /// `{duplicated: [frame], judged, too_still}` of the frames so far.
    ///
    /// # Errors
    /// Throws what could not be translated; nothing is known to cause it.
    pub fn judgement(&self) -> Result<JsValue, JsValue> {
        to_plain(&self.cadence.judgement())
    }
}

/// A sample of more than 8 bits as 8 bits.
fn high_byte(pair: &[u8], shift: u32) -> u8 {
    let value = u16::from_le_bytes([pair[0], pair[1]]) >> shift;
    u8::try_from(value).unwrap_or(u8::MAX)
}

/// Luma of a pixel; weights of Rec. ITU-R BT.709-6, item 3.2 (0.2126, 0.7152, 0.0722), in 256ths.
fn luma_of(pixel: &[u8]) -> u8 {
    let [red, green, blue] = [pixel[0], pixel[1], pixel[2]].map(u32::from);
    u8::try_from((54 * red + 183 * green + 19 * blue) >> 8).unwrap_or(u8::MAX)
}

/// A mistake of the worker's, in the shape that the page shows.
fn thrown(error: &CadenceError) -> JsValue {
    js_sys::Error::new(&error.to_string()).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_and_black_keep_their_luma() {
        assert_eq!(luma_of(&[255, 255, 255, 0]), 255);
        assert_eq!(luma_of(&[0, 0, 0, 255]), 0);
        assert_eq!(luma_of(&[0, 255, 0, 255]), 182);
    }

    #[test]
    fn ten_bits_become_eight() {
        assert_eq!(high_byte(&0x03ac_u16.to_le_bytes(), 2), 0xeb);
        assert_eq!(high_byte(&[0xff, 0xff], 2), u8::MAX);
    }
}
