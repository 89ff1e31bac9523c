//! A colour picture, as canvases and decoders give it.

use crate::luma::PictureError;

/// Red, green, blue and opacity of each pixel, 8 bits each, rows without padding. Never empty.
#[derive(Clone, Copy, Debug)]
pub struct Rgba<'bytes> {
    bytes: &'bytes [u8],
    width: usize,
    height: usize,
}

impl<'bytes> Rgba<'bytes> {
    /// A picture over `bytes`.
    ///
    /// # Errors
    /// [`PictureError::Empty`], [`PictureError::TooLarge`], [`PictureError::TooShort`].
    pub fn new(bytes: &'bytes [u8], width: usize, height: usize) -> Result<Self, PictureError> {
        PictureError::check_size(width, height)?;
        let needed = width * height * 4;
        match bytes.get(..needed) {
            Some(bytes) => Ok(Self { bytes, width, height }),
            None => Err(PictureError::TooShort {
                width,
                height,
                needed,
                bytes: bytes.len(),
            }),
        }
    }

    /// Pixels across, 1 or more.
    #[must_use]
    pub fn width(&self) -> usize {
        self.width
    }

    /// Pixels down, 1 or more.
    #[must_use]
    pub fn height(&self) -> usize {
        self.height
    }

    /// All bytes.
    #[must_use]
    pub fn bytes(&self) -> &'bytes [u8] {
        self.bytes
    }

    /// All pixels, row by row.
    #[must_use]
    pub fn pixels(&self) -> &'bytes [[u8; 4]] {
        self.bytes.as_chunks::<4>().0
    }

    /// Mean red, green and blue, 0 to 255.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "sums over a picture are below 2^53")]
    pub fn means(&self) -> [f64; 3] {
        let mut sums = [0_u64; 3];
        for row in self.pixels().chunks(self.width) {
            let mut row_sums = [0_u32; 3];
            for [red, green, blue, _] in row {
                row_sums[0] += u32::from(*red);
                row_sums[1] += u32::from(*green);
                row_sums[2] += u32::from(*blue);
            }
            for (sum, row_sum) in sums.iter_mut().zip(row_sums) {
                *sum += u64::from(row_sum);
            }
        }
        sums.map(|sum| sum as f64 / (self.width * self.height) as f64)
    }
}

/// Luma of a pixel; weights of Rec. ITU-R BT.709-6, item 3.2 (0.2126, 0.7152, 0.0722), in 256ths.
#[must_use]
pub fn luma_of([red, green, blue, _]: [u8; 4]) -> u8 {
    let [red, green, blue] = [red, green, blue].map(u32::from);
    u8::try_from((54 * red + 183 * green + 19 * blue) >> 8).unwrap_or(u8::MAX)
}

/// Makes `out` as long as the picture and gives its pixels.
pub(super) fn pixels_of<'out>(out: &'out mut Vec<u8>, source: &Rgba<'_>) -> &'out mut [[u8; 4]] {
    out.resize(source.bytes.len(), 0);
    out.as_chunks_mut::<4>().0
}

/// A level, rounded and kept within 0 to 255.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
pub(super) fn level(value: f64) -> u8 {
    value.round().clamp(0.0, 255.0) as u8
}
