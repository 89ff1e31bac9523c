//! Why a file gives no frame table: what is wrong, at which byte, and what to do.
//!
//! Messages do not name the file: whoever opened it knows its name and puts it in front.

use serde::Serialize;
use thiserror::Error;

use crate::SourceError;

/// Why [`crate::read_clip`] gave nothing.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{kind}{}", place(*.offset))]
pub struct ClipError {
    /// What is wrong.
    pub kind: ClipErrorKind,
    /// The byte of the file where it shows, where there is one.
    pub offset: Option<u64>,
}

fn place(offset: Option<u64>) -> String {
    offset.map_or_else(String::new, |offset| format!(" (at byte {offset})"))
}

/// What is wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ClipErrorKind {
    /// A file of no bytes.
    #[error("the file is empty")]
    Empty,
    /// Neither MP4/MOV nor WebM/Matroska.
    #[error("this is not a video that can be read here: {looks_like}")]
    NotAVideo {
        /// What it looks like instead, as the end of the sentence.
        looks_like: &'static str,
    },
    /// A container without moving pictures.
    #[error("{}", if *.has_audio { "the file holds sound but no picture" } else { "the file holds no video track" })]
    NoVideoTrack {
        /// Whether it holds sound.
        has_audio: bool,
    },
    /// The file ends before the index, or within it.
    #[error("the file is cut off: it ends at byte {size}, but {what} reaches to byte {needed} at least")]
    Truncated {
        /// What is incomplete.
        what: &'static str,
        /// How long the file would have to be at least, in bytes.
        needed: u64,
        /// How long it is.
        size: u64,
    },
    /// A whole file that ends without the index that says where the frames are.
    #[error("the file has no index (no `moov` box); the recording was not finished or the file is cut off")]
    NoIndex,
    /// A video track with no frame in it.
    #[error("the video track holds no frames")]
    NoFrames,
    /// A table whose decoding times run backwards.
    #[error(
        "the frame times go backwards: frame {frame} in file order is at {time} ticks, the one before it at {before}"
    )]
    TimesGoBackwards {
        /// Index of the frame in file order, from 0.
        frame: u32,
        /// Its time, ticks.
        time: i64,
        /// The time before it, ticks.
        before: i64,
    },
    /// A part of the index that contradicts itself or the format.
    #[error("the file's index is damaged: {what}")]
    Malformed {
        /// What does not fit, as the end of the sentence.
        what: &'static str,
    },
    /// An index beyond what any clip needs.
    #[error("the file's index asks for too much: {what}")]
    TooLarge {
        /// What is too large, as the end of the sentence.
        what: &'static str,
    },
    /// Frames packed within the container: their bytes are not those of the codec.
    #[error("its frames are compressed or encrypted within the file (Matroska content encoding)")]
    PackedFrames,
    /// The bytes could not be had.
    #[error(transparent)]
    Source(SourceError),
}

impl ClipErrorKind {
    /// The kind's name in data: the key under which the page finds its words.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::NotAVideo { .. } => "not_a_video",
            Self::NoVideoTrack { .. } => "no_video_track",
            Self::Truncated { .. } | Self::NoIndex => "truncated",
            Self::NoFrames => "no_frames",
            Self::TimesGoBackwards { .. } => "times_go_backwards",
            Self::Malformed { .. } => "malformed",
            Self::TooLarge { .. } => "too_large",
            Self::PackedFrames => "packed_frames",
            Self::Source(_) => "source",
        }
    }
}

impl ClipError {
    pub(crate) fn new(kind: ClipErrorKind) -> Self {
        Self { kind, offset: None }
    }

    pub(crate) fn at(offset: u64, kind: ClipErrorKind) -> Self {
        Self {
            kind,
            offset: Some(offset),
        }
    }

    pub(crate) fn malformed(offset: u64, what: &'static str) -> Self {
        Self::at(offset, ClipErrorKind::Malformed { what })
    }

    pub(crate) fn too_large(offset: u64, what: &'static str) -> Self {
        Self::at(offset, ClipErrorKind::TooLarge { what })
    }

    /// What the coach can do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self.kind {
            ClipErrorKind::Empty => {
                "Copy the clip from the phone or camera again; the copy was probably interrupted."
            }
            ClipErrorKind::NotAVideo { .. } => {
                "Choose an MP4, MOV, WebM or MKV file. Phones and most cameras write one of these; others can be exported as MP4 (H.264)."
            }
            ClipErrorKind::NoVideoTrack { .. } => {
                "Choose the file with the picture; some recorders store sound in a file of its own."
            }
            ClipErrorKind::Truncated { .. } | ClipErrorKind::NoIndex => {
                "Copy the clip from the phone or camera again and wait until it has finished. If the original is cut off too, the recording was interrupted and cannot be read."
            }
            ClipErrorKind::NoFrames => {
                "The recording was stopped before the first frame; choose another clip."
            }
            ClipErrorKind::PackedFrames => {
                "Export the clip once more as MP4 (H.264), or copy it into a new MKV file without content compression."
            }
            ClipErrorKind::TimesGoBackwards { .. }
            | ClipErrorKind::Malformed { .. }
            | ClipErrorKind::TooLarge { .. } => {
                "Copy the clip from the phone or camera again. If that does not help, export it once more as MP4 from the program that wrote it."
            }
            ClipErrorKind::Source(_) => {
                "Check that the file is still where it was and that its drive or card is connected, then choose it again."
            }
        }
    }
}

impl From<SourceError> for ClipError {
    fn from(error: SourceError) -> Self {
        let offset = Some(error.offset);
        Self {
            kind: ClipErrorKind::Source(error),
            offset,
        }
    }
}

/// Something about a clip that opens all the same, and that the coach should know.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ClipWarning {
    /// The index speaks of frames that lie beyond the end of the file.
    #[error("the file is cut off at byte {size}: at least {frames} of its frames are missing")]
    Truncated {
        /// How many frames are missing; at least this many, where the index itself is cut.
        frames: u32,
        /// Size of the file in bytes.
        size: u64,
    },
    /// Bytes in the middle of the file that belong to nothing; what comes after them is not read.
    #[error("the file is damaged at byte {offset}; the frames after it are missing")]
    Damaged {
        /// Where the damage starts.
        offset: u64,
    },
    /// Frames that share their time with another: only the last of each is shown.
    #[error("{frames} frames have the same time as another and cannot be shown")]
    RepeatedTimes {
        /// How many frames are left out.
        frames: u32,
        /// The first such time, ticks.
        first: i64,
    },
    /// An edit list that would leave no frame; it is not applied.
    #[error("the file's edit list would cut away every frame and is not applied")]
    EditListIgnored,
    /// A picture stored mirrored or turned by no quarter: it is shown as stored.
    #[error("the picture is stored mirrored or tilted and is shown as it is stored")]
    OddMatrix,
    /// More than one sample description: the frames may change size or codec on the way.
    #[error("the picture's format changes within the clip; the first format is used throughout")]
    ChangingFormat,
    /// More than one video track: the first is used.
    #[error("the file holds {tracks} video tracks; the first is used")]
    SeveralVideoTracks {
        /// How many there are.
        tracks: u32,
    },
}
