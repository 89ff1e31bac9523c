//! A video file's exact frame table, read from its index alone.
//!
//! MP4 and MOV (whole or fragmented) and WebM and Matroska are read by ranges through a [`ByteSource`]; the
//! pictures' bytes are never touched. Times are integers in the clip's own timescale and equal what ffprobe
//! prints, tick for tick: edit lists are applied as FFmpeg and Chromium apply them.
//!
//! Not for: decoding, audio, writing files.
//!
//! ```
//! use std::path::Path;
//! use wetframe_clip::{FileSource, fingerprint, read_clip};
//!
//! # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/clips/trimmed.mp4");
//! let mut source = FileSource::open(Path::new(path))?;
//! let clip = read_clip(&mut source)?;
//! assert_eq!(clip.codec.string, "avc1.64000D");
//! assert_eq!(clip.table.timescale().ticks_per_second(), 15_360);
//!
//! // The edit list cuts 31 frames; decoding starts at the keyframe before the first that is shown.
//! assert_eq!(clip.table.frames().len(), 89);
//! let first = clip.table.frames()[0];
//! assert_eq!((first.presentation.0, first.duration, first.keyframe), (0, 512, false));
//! assert_eq!(clip.table.samples()[0].frame, None);
//!
//! // The same file is known again by its fingerprint, wherever it lies.
//! assert_eq!(fingerprint(&mut source, &clip)?.to_string().len(), 64);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod cadence;
mod codec_string;
mod description;
mod dropped;
mod error;
mod fields;
mod fingerprint;
mod foreign;
mod frame_table;
mod matroska;
mod mp4;
mod source;
mod window;

pub use description::{Clip, Codec, Container, PixelAspect};
pub use dropped::DroppedFrames;
pub use error::{ClipError, ClipErrorKind, ClipWarning};
pub use fingerprint::{Fingerprint, NotAFingerprint, fingerprint};
pub use frame_table::{ByteRange, Frame, FrameTable, Sample, Spacing};
#[cfg(not(target_family = "wasm"))]
pub use source::FileSource;
pub use source::{ByteSource, MemorySource, Reached, SourceError};

use window::Window;

/// Reads a clip's frame table and what is needed to decode it.
///
/// # Errors
/// [`ClipError`]: what is wrong with the file, at which byte. A codec that nothing here can decode is no
/// error: the table says which one it is.
pub fn read_clip(source: &mut dyn ByteSource) -> Result<Clip, ClipError> {
    read_clip_telling(source, &mut |_| {})
}

/// As [`read_clip`], telling on the way how far it is: at most 200 times, never backwards. Only indexes that lie
/// spread over the file are told of (Matroska, fragments of MP4); an index in one piece is read at once.
///
/// # Errors
/// As [`read_clip`].
pub fn read_clip_telling(
    source: &mut dyn ByteSource,
    tell: &mut dyn FnMut(Reached),
) -> Result<Clip, ClipError> {
    let mut window = Window::new(source, tell);
    if window.size() == 0 {
        return Err(ClipError::new(ClipErrorKind::Empty));
    }
    let mut head = [0; 16];
    let there = window.size().min(16);
    let bytes = window.bytes(0, usize::try_from(there).unwrap_or(0), "the file's first bytes")?;
    head[..bytes.len()].copy_from_slice(bytes);
    if mp4::starts_like(&head) && !foreign::is_photograph(&head) {
        mp4::read(&mut window)
    } else if matroska::starts_like(&head) {
        matroska::read(&mut window)
    } else {
        let looks_like = foreign::looks_like(&head);
        Err(ClipError::at(0, ClipErrorKind::NotAVideo { looks_like }))
    }
}
