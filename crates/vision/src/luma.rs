//! One picture's brightness, 8 bits a pixel, borrowed or owned.
//!
//! Not for: colour (see [`crate::clarity`]), decoding.

use std::borrow::Cow;

use thiserror::Error;

/// A picture of 8-bit luma. Never empty; its bytes always hold the whole picture.
#[derive(Clone, Debug)]
pub struct Luma<'bytes> {
    bytes: Cow<'bytes, [u8]>,
    width: usize,
    height: usize,
    stride: usize,
}

/// A picture that cannot be used, or not beside the one before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum PictureError {
    /// No pixel at all.
    #[error("the picture is empty: {width}×{height} pixels")]
    Empty {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
    },
    /// Larger than any video's.
    #[error("the picture of {width}×{height} pixels is too large; a side may have up to {largest}")]
    TooLarge {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// What a side may have.
        largest: usize,
    },
    /// Rows that overlap.
    #[error("rows of {stride} bytes cannot hold {width} pixels")]
    StrideTooShort {
        /// Bytes from row to row.
        stride: usize,
        /// Pixels across.
        width: usize,
    },
    /// Fewer bytes than the picture needs.
    #[error("a picture of {width}×{height} pixels needs {needed} bytes but there are {bytes}")]
    TooShort {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// Bytes that it needs.
        needed: usize,
        /// Bytes given.
        bytes: usize,
    },
    /// The picture's size is not that of the pictures before it.
    #[error(
        "the picture is {width}×{height} pixels but the ones before it were {width_before}×{height_before}; begin anew where the size changes"
    )]
    SizeChanged {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// Pixels across, before.
        width_before: usize,
        /// Pixels down, before.
        height_before: usize,
    },
}

/// Pixels a side may have: twice an 8K picture's longer one. Keeps every sum of this crate within its integers.
pub const LARGEST_SIDE: usize = 16_384;

impl PictureError {
    /// Whether pictures of this size are taken.
    ///
    /// # Errors
    /// [`Self::Empty`], [`Self::TooLarge`].
    pub(crate) fn check_size(width: usize, height: usize) -> Result<(), Self> {
        if width == 0 || height == 0 {
            return Err(Self::Empty { width, height });
        }
        if width > LARGEST_SIDE || height > LARGEST_SIDE {
            return Err(Self::TooLarge {
                width,
                height,
                largest: LARGEST_SIDE,
            });
        }
        Ok(())
    }
}

impl<'bytes> Luma<'bytes> {
    /// A picture over `bytes`, whose rows start every `stride` bytes.
    ///
    /// # Errors
    /// [`PictureError`], except [`PictureError::SizeChanged`].
    pub fn new(
        bytes: impl Into<Cow<'bytes, [u8]>>,
        width: usize,
        height: usize,
        stride: usize,
    ) -> Result<Self, PictureError> {
        let bytes = bytes.into();
        PictureError::check_size(width, height)?;
        if stride < width {
            return Err(PictureError::StrideTooShort { stride, width });
        }
        let needed = stride.saturating_mul(height - 1).saturating_add(width);
        if bytes.len() < needed {
            return Err(PictureError::TooShort {
                width,
                height,
                needed,
                bytes: bytes.len(),
            });
        }
        Ok(Self {
            bytes,
            width,
            height,
            stride,
        })
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

    /// Bytes from one row's start to the next's.
    #[must_use]
    pub fn stride(&self) -> usize {
        self.stride
    }

    /// All bytes, padding included.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The bytes, to be filled again; copied only where they were borrowed.
    #[must_use]
    pub fn into_bytes(self) -> Vec<u8> {
        self.bytes.into_owned()
    }

    /// The same picture, lent.
    #[must_use]
    pub fn lent(&self) -> Luma<'_> {
        Luma {
            bytes: Cow::Borrowed(&self.bytes),
            width: self.width,
            height: self.height,
            stride: self.stride,
        }
    }

    /// The pixels of row `y`, counted from the top; empty below the picture.
    #[must_use]
    pub fn row(&self, y: usize) -> &[u8] {
        if y >= self.height {
            return &[];
        }
        let start = y * self.stride;
        &self.bytes[start..start + self.width]
    }

    /// All rows from the top.
    pub fn rows(&self) -> impl DoubleEndedIterator<Item = &[u8]> {
        (0..self.height).map(|y| self.row(y))
    }

    /// Whether this picture may stand beside one of `width` × `height` pixels.
    ///
    /// # Errors
    /// [`PictureError::SizeChanged`].
    pub fn same_size_as(&self, (width_before, height_before): (usize, usize)) -> Result<(), PictureError> {
        if (self.width, self.height) == (width_before, height_before) {
            return Ok(());
        }
        Err(PictureError::SizeChanged {
            width: self.width,
            height: self.height,
            width_before,
            height_before,
        })
    }

    /// Pixels across and down.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_leave_the_padding_out() {
        let bytes: Vec<u8> = (0..11).collect();
        let luma = Luma::new(&bytes, 3, 3, 4).unwrap();
        let rows: Vec<&[u8]> = luma.rows().collect();
        assert_eq!(rows, [&[0, 1, 2][..], &[4, 5, 6], &[8, 9, 10]]);
        assert_eq!((luma.row(3), luma.row(usize::MAX)), (&[][..], &[][..]));
        assert_eq!(luma.lent().size(), (3, 3));
    }

    #[test]
    fn a_picture_that_cannot_be_is_refused_by_name() {
        let bytes = [0_u8; 10];
        let refused = |width, height, stride| Luma::new(&bytes[..], width, height, stride).unwrap_err();
        assert_eq!(refused(0, 3, 4), PictureError::Empty { width: 0, height: 3 });
        assert_eq!(
            refused(3, 2, 2),
            PictureError::StrideTooShort { stride: 2, width: 3 }
        );
        assert!(matches!(
            refused(3, 3, 4),
            PictureError::TooShort {
                needed: 11,
                bytes: 10,
                ..
            }
        ));
        assert!(matches!(
            refused(usize::MAX, 1, usize::MAX),
            PictureError::TooLarge { .. }
        ));
        assert!(matches!(refused(5, 9, usize::MAX), PictureError::TooShort { .. }));
    }

    #[test]
    fn a_changed_size_says_both_sizes() {
        let bytes = [0_u8; 12];
        let luma = Luma::new(&bytes[..], 4, 3, 4).unwrap();
        assert_eq!(luma.same_size_as((4, 3)), Ok(()));
        let message = luma.same_size_as((3, 4)).unwrap_err().to_string();
        assert!(message.contains("4×3") && message.contains("3×4"), "{message}");
    }
}
