//! Where a clip's bytes come from: anything that can be asked for a range.
//!
//! A browser worker answers from `File.slice`, the shell from a file, a test from memory. Nothing here ever
//! asks for the whole.

use thiserror::Error;

/// A file of known size that gives exact ranges of its bytes.
pub trait ByteSource {
    /// Size in bytes.
    fn size(&self) -> u64;

    /// Fills `buffer` with the bytes that start at `offset`.
    ///
    /// # Errors
    /// [`SourceError`] if not every one of them could be read.
    fn read_at(&mut self, offset: u64, buffer: &mut [u8]) -> Result<(), SourceError>;
}

/// How far a clip's index has been read: bytes of the file that were passed, most of them stepped over.
///
/// `of` is the file's size, twice that for MP4, whose fragments are walked again once they are all found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reached {
    /// Bytes passed so far.
    pub done: u64,
    /// Bytes to pass in all.
    pub of: u64,
}

/// A range that could not be read, for a reason outside the file's contents: a drive pulled out, a file
/// moved or changed since it was chosen.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{length} bytes at byte {offset} could not be read: {reason}")]
pub struct SourceError {
    /// First byte asked for.
    pub offset: u64,
    /// How many were asked for.
    pub length: u64,
    /// What the system said.
    pub reason: String,
}

/// Bytes held in memory.
#[derive(Clone, Debug)]
pub struct MemorySource<Bytes>(pub Bytes);

impl<Bytes: AsRef<[u8]>> ByteSource for MemorySource<Bytes> {
    fn size(&self) -> u64 {
        self.0.as_ref().len() as u64
    }

    fn read_at(&mut self, offset: u64, buffer: &mut [u8]) -> Result<(), SourceError> {
        let wanted = usize::try_from(offset)
            .ok()
            .and_then(|start| self.0.as_ref().get(start..start.checked_add(buffer.len())?));
        let Some(wanted) = wanted else {
            return Err(SourceError {
                offset,
                length: buffer.len() as u64,
                reason: format!("there are only {} bytes", self.size()),
            });
        };
        buffer.copy_from_slice(wanted);
        Ok(())
    }
}

#[cfg(not(target_family = "wasm"))]
pub use file::FileSource;

#[cfg(not(target_family = "wasm"))]
mod file {
    use std::fs::File;
    use std::io::{Read, Seek, SeekFrom};
    use std::path::Path;

    use super::{ByteSource, SourceError};

    /// A file on disk, of the size it had when it was opened.
    #[derive(Debug)]
    pub struct FileSource {
        file: File,
        size: u64,
    }

    impl FileSource {
        /// # Errors
        /// What the system says when the file cannot be opened or measured.
        pub fn open(path: &Path) -> std::io::Result<Self> {
            let file = File::open(path)?;
            let size = file.metadata()?.len();
            Ok(Self { file, size })
        }
    }

    impl ByteSource for FileSource {
        fn size(&self) -> u64 {
            self.size
        }

        fn read_at(&mut self, offset: u64, buffer: &mut [u8]) -> Result<(), SourceError> {
            let read = self
                .file
                .seek(SeekFrom::Start(offset))
                .and_then(|_| self.file.read_exact(buffer));
            read.map_err(|error| SourceError {
                offset,
                length: buffer.len() as u64,
                reason: error.to_string(),
            })
        }
    }
}
