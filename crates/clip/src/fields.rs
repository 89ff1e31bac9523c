//! Big-endian fields of a leaf of the index, taken one after the other.

use crate::error::ClipError;

/// A leaf's bytes and where in the file they stand.
#[derive(Clone)]
pub(crate) struct Fields<'bytes> {
    bytes: &'bytes [u8],
    at: usize,
    offset: u64,
    what: &'static str,
}

impl<'bytes> Fields<'bytes> {
    /// `what` completes the sentence "the file's index is damaged: …" when the bytes run out.
    pub(crate) fn new(bytes: &'bytes [u8], offset: u64, what: &'static str) -> Self {
        Self {
            bytes,
            at: 0,
            offset,
            what,
        }
    }

    /// Where in the file the next field stands.
    pub(crate) fn place(&self) -> u64 {
        self.offset.saturating_add(self.at as u64)
    }

    /// What has not been taken yet.
    pub(crate) fn rest(&self) -> &'bytes [u8] {
        self.bytes.get(self.at..).unwrap_or_default()
    }

    pub(crate) fn take(&mut self, count: usize) -> Result<&'bytes [u8], ClipError> {
        let taken = self
            .rest()
            .get(..count)
            .ok_or_else(|| ClipError::malformed(self.place(), self.what))?;
        self.at += count;
        Ok(taken)
    }

    pub(crate) fn skip(&mut self, count: usize) -> Result<(), ClipError> {
        self.take(count).map(|_| ())
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], ClipError> {
        let mut array = [0; N];
        array.copy_from_slice(self.take(N)?);
        Ok(array)
    }

    pub(crate) fn u16(&mut self) -> Result<u16, ClipError> {
        self.array().map(u16::from_be_bytes)
    }

    pub(crate) fn u32(&mut self) -> Result<u32, ClipError> {
        self.array().map(u32::from_be_bytes)
    }

    pub(crate) fn i32(&mut self) -> Result<i32, ClipError> {
        self.array().map(i32::from_be_bytes)
    }

    pub(crate) fn u64(&mut self) -> Result<u64, ClipError> {
        self.array().map(u64::from_be_bytes)
    }

    pub(crate) fn i64(&mut self) -> Result<i64, ClipError> {
        self.array().map(i64::from_be_bytes)
    }

    /// 32 or 64 bits wide, as the version of the box says.
    pub(crate) fn wide(&mut self, wide: bool) -> Result<u64, ClipError> {
        if wide {
            self.u64()
        } else {
            self.u32().map(u64::from)
        }
    }

    /// Version and flags, with which every full box begins.
    pub(crate) fn version_and_flags(&mut self) -> Result<(u8, u32), ClipError> {
        let both = self.u32()?;
        Ok(((both >> 24) as u8, both & 0x00ff_ffff))
    }

    /// A count of entries of `width` bytes each, which have to be there.
    pub(crate) fn count(&mut self, width: usize) -> Result<usize, ClipError> {
        let place = self.place();
        let count = self.u32()? as usize;
        if count
            .checked_mul(width)
            .is_none_or(|needed| needed > self.rest().len())
        {
            return Err(ClipError::malformed(place, self.what));
        }
        Ok(count)
    }
}
