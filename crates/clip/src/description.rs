//! What a clip is, beside its table: container, codec, picture geometry.

use serde::Serialize;

use crate::error::ClipWarning;
use crate::frame_table::FrameTable;

/// A video file's table and what is needed to decode and show its frames.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Kind of file.
    pub container: Container,
    /// How the pictures are coded.
    pub codec: Codec,
    /// Width of the coded picture in pixels, before [`Self::rotation_deg`] is applied.
    pub coded_width: u32,
    /// Height of the coded picture in pixels, before [`Self::rotation_deg`] is applied.
    pub coded_height: u32,
    /// How far the picture has to be turned clockwise to be upright: 0, 90, 180 or 270.
    pub rotation_deg: u16,
    /// Shape of a pixel of the coded picture.
    pub pixel_aspect: PixelAspect,
    /// Every frame.
    pub table: FrameTable,
    /// The rate at which the camera says it filmed, frames/s, where it says so.
    pub capture_rate_fps: Option<f64>,
    /// Whether the file holds sound as well.
    pub has_audio: bool,
    /// What the coach should know about it.
    pub warnings: Vec<ClipWarning>,
}

impl Clip {
    /// Width of the upright picture in pixels.
    #[must_use]
    pub fn upright_width(&self) -> u32 {
        if self.rotation_deg.is_multiple_of(180) {
            self.coded_width
        } else {
            self.coded_height
        }
    }

    /// Height of the upright picture in pixels.
    #[must_use]
    pub fn upright_height(&self) -> u32 {
        if self.rotation_deg.is_multiple_of(180) {
            self.coded_height
        } else {
            self.coded_width
        }
    }
}

/// Kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Container {
    /// ISO base media and QuickTime: MP4, MOV, M4V, 3GP.
    Mp4,
    /// Matroska and WebM.
    Matroska,
}

impl Container {
    /// The name in data: `mp4` or `matroska`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Mp4 => "mp4",
            Self::Matroska => "matroska",
        }
    }
}

/// How the pictures are coded, as a decoder wants to hear it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Codec {
    /// The codecs parameter of RFC 6381 (`avc1.64001F`, `vp09.00.10.08`); for codecs that have none, the
    /// container's own name for them.
    pub string: String,
    /// The configuration record (`avcC`, `hvcC`) that a decoder needs beside the string; `None` where the
    /// frames carry all (VP8, VP9, AV1).
    pub description: Option<Vec<u8>>,
}

/// Width to height of one pixel; 1 to 1 for all but anamorphic pictures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PixelAspect {
    /// Part of the width; at least 1.
    pub horizontal: u32,
    /// Part of the height; at least 1.
    pub vertical: u32,
}

impl PixelAspect {
    /// As wide as high.
    pub const SQUARE: Self = Self {
        horizontal: 1,
        vertical: 1,
    };

    /// Square if either part is 0.
    pub(crate) fn new(horizontal: u32, vertical: u32) -> Self {
        Self::from_wide(u64::from(horizontal), u64::from(vertical))
    }

    /// In lowest terms; square if either part is 0 or does not fit.
    pub(crate) fn from_wide(horizontal: u64, vertical: u64) -> Self {
        let divisor = greatest_common_divisor(horizontal, vertical);
        match (
            u32::try_from(horizontal / divisor),
            u32::try_from(vertical / divisor),
        ) {
            (Ok(horizontal @ 1..), Ok(vertical @ 1..)) => Self { horizontal, vertical },
            _ => Self::SQUARE,
        }
    }
}

fn greatest_common_divisor(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}
