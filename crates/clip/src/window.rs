//! A small moving window over a [`ByteSource`]: few reads where the index is dense, short reads where the
//! reader jumps from one frame's header to the next, and an upper bound on all of it.

use crate::error::{ClipError, ClipErrorKind};
use crate::source::{ByteSource, Reached};

/// Enough for a Matroska block header or an MP4 box header; what a jump costs.
const AFTER_A_JUMP: usize = 24;
/// Where reading goes straight on, each read is twice the one before, up to this.
const MOST_AT_ONCE: usize = 64 << 10;
/// Short jumps (from one small frame's header over its payload to the next) are read through in large pieces,
/// which saves calls, until this many bytes are spent; then only headers are read.
const SPENT_ON_SHORT_JUMPS: u64 = 4 << 20;
/// Leaves up to this size are read with what surrounds them.
const SMALL_LEAF: usize = 4096;
/// No clip's index comes near this; a file built to make a reader run on does.
const MOST_IN_ALL: u64 = 256 << 20;

/// How often a reader is told where it is: fine enough for a bar of any width, rare beside what reading costs.
const TOLD_IN_ALL: u64 = 200;

pub(crate) struct Window<'source> {
    source: &'source mut dyn ByteSource,
    tell: &'source mut dyn FnMut(Reached),
    told: u64,
    size: u64,
    buffer: Vec<u8>,
    start: u64,
    read_in_all: u64,
    next_read: usize,
    left_for_short_jumps: u64,
}

impl<'source> Window<'source> {
    pub(crate) fn new(source: &'source mut dyn ByteSource, tell: &'source mut dyn FnMut(Reached)) -> Self {
        let size = source.size();
        Self {
            source,
            tell,
            told: 0,
            size,
            buffer: Vec::new(),
            start: 0,
            read_in_all: 0,
            next_read: AFTER_A_JUMP,
            left_for_short_jumps: SPENT_ON_SHORT_JUMPS,
        }
    }

    /// Size of the file.
    pub(crate) fn size(&self) -> u64 {
        self.size
    }

    /// Tells whoever waits that `done` of `of` bytes have been passed, where that is worth a word.
    pub(crate) fn reached(&mut self, done: u64, of: u64) {
        if done >= self.told.saturating_add((of / TOLD_IN_ALL).max(1)) {
            self.told = done;
            (self.tell)(Reached { done, of });
        }
    }

    /// The `length` bytes at `offset`; `length` is a header's, never a claimed one.
    pub(crate) fn bytes(
        &mut self,
        offset: u64,
        length: usize,
        what: &'static str,
    ) -> Result<&[u8], ClipError> {
        self.require(offset, length as u64, what)?;
        let buffered = self.start + self.buffer.len() as u64;
        if offset < self.start || offset + length as u64 > buffered {
            let goes_on = offset >= self.start && offset <= buffered;
            let short_jump = offset > buffered && offset - buffered < MOST_AT_ONCE as u64;
            self.next_read = if goes_on {
                (self.next_read * 2).min(MOST_AT_ONCE)
            } else if short_jump && self.left_for_short_jumps > 0 {
                self.left_for_short_jumps = self.left_for_short_jumps.saturating_sub(MOST_AT_ONCE as u64);
                MOST_AT_ONCE
            } else {
                AFTER_A_JUMP
            };
            let left = usize::try_from(self.size - offset).unwrap_or(usize::MAX);
            let read = self.next_read.max(length).min(left);
            self.account(offset, read as u64)?;
            self.buffer.clear();
            self.buffer.resize(read, 0);
            self.start = offset;
            if let Err(error) = self.source.read_at(offset, &mut self.buffer) {
                self.buffer.clear();
                return Err(error.into());
            }
        }
        // Both fit: the window was moved to hold them.
        let from = usize::try_from(offset - self.start).unwrap_or(usize::MAX);
        self.buffer
            .get(from..from.saturating_add(length))
            .ok_or_else(|| ClipError::malformed(offset, "a range runs beyond what was read"))
    }

    /// A whole leaf of the index, once it is known that the file has that many bytes.
    pub(crate) fn load(
        &mut self,
        offset: u64,
        length: u64,
        what: &'static str,
    ) -> Result<Vec<u8>, ClipError> {
        self.require(offset, length, what)?;
        let length = usize::try_from(length).map_err(|_| ClipError::too_large(offset, what))?;
        let buffered = self.start + self.buffer.len() as u64;
        if length <= SMALL_LEAF || (offset >= self.start && offset + length as u64 <= buffered) {
            return self.bytes(offset, length, what).map(<[u8]>::to_vec);
        }
        self.account(offset, length as u64)?;
        let mut bytes = vec![0; length];
        self.source.read_at(offset, &mut bytes)?;
        Ok(bytes)
    }

    /// Reads a range that is about to be taken apart at once, if it is small and there.
    pub(crate) fn hold(&mut self, offset: u64, length: u64) -> Result<(), ClipError> {
        match usize::try_from(length) {
            Ok(length) if length <= MOST_AT_ONCE => {
                self.bytes(offset, length, "a part of the index").map(|_| ())
            }
            _ => Ok(()),
        }
    }

    fn require(&self, offset: u64, length: u64, what: &'static str) -> Result<(), ClipError> {
        let needed = offset.saturating_add(length);
        if needed > self.size {
            return Err(ClipError::at(
                offset,
                ClipErrorKind::Truncated {
                    what,
                    needed,
                    size: self.size,
                },
            ));
        }
        Ok(())
    }

    fn account(&mut self, offset: u64, length: u64) -> Result<(), ClipError> {
        self.read_in_all = self.read_in_all.saturating_add(length);
        if self.read_in_all > MOST_IN_ALL {
            return Err(ClipError::too_large(offset, "it takes more than 256 MiB to read"));
        }
        Ok(())
    }
}
