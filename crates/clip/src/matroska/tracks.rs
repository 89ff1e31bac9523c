//! The tracks of a Matroska segment: codec, picture size, pixel shape, rotation.
//!
//! RFC 9559, section 5.1.4; codec mappings: draft-ietf-cellar-codec.

use crate::codec_string;
use crate::description::{Codec, PixelAspect};
use crate::matroska::elements::{Id, children, float, unsigned};

const TRACK_ENTRY: Id = 0xAE;
const TRACK_NUMBER: Id = 0xD7;
const TRACK_TYPE: Id = 0x83;
const CODEC_ID: Id = 0x86;
const CODEC_PRIVATE: Id = 0x63A2;
const CODEC_DELAY: Id = 0x56AA;
const DEFAULT_DURATION: Id = 0x0023_E383;
const CONTENT_ENCODINGS: Id = 0x6D80;
const VIDEO: Id = 0xE0;
const PIXEL_WIDTH: Id = 0xB0;
const PIXEL_HEIGHT: Id = 0xBA;
const DISPLAY_WIDTH: Id = 0x54B0;
const DISPLAY_HEIGHT: Id = 0x54BA;
const DISPLAY_UNIT: Id = 0x54B2;
const PROJECTION: Id = 0x7670;
const PROJECTION_ROLL: Id = 0x7675;

/// A video track.
#[derive(Clone, Debug, Default)]
pub(crate) struct VideoTrack {
    pub(crate) number: u64,
    pub(crate) codec_id: String,
    pub(crate) codec_private: Option<Vec<u8>>,
    pub(crate) codec_delay_ns: u64,
    pub(crate) default_duration_ns: u64,
    pub(crate) packed: bool,
    pub(crate) width: u32,
    pub(crate) height: u32,
    display: (u32, u32),
    display_unit: u64,
    roll_deg: f64,
}

/// Video tracks in file order, and whether there is sound.
pub(crate) fn read(tracks: &[u8]) -> (Vec<VideoTrack>, bool) {
    const VIDEO_TYPE: u64 = 1;
    const AUDIO_TYPE: u64 = 2;
    let mut videos = Vec::new();
    let mut has_audio = false;
    for (_, entry) in children(tracks).iter().filter(|(id, _)| *id == TRACK_ENTRY) {
        let mut track = VideoTrack::default();
        let mut kind = 0;
        for (id, value) in children(entry) {
            let number = unsigned(value).unwrap_or(0);
            match id {
                TRACK_NUMBER => track.number = number,
                TRACK_TYPE => kind = number,
                CODEC_ID => {
                    let text = String::from_utf8_lossy(value);
                    text.trim_end_matches('\0').clone_into(&mut track.codec_id);
                }
                CODEC_PRIVATE => track.codec_private = Some(value.to_vec()),
                CODEC_DELAY => track.codec_delay_ns = number,
                DEFAULT_DURATION => track.default_duration_ns = number,
                CONTENT_ENCODINGS => track.packed = true,
                VIDEO => read_video(value, &mut track),
                _ => {}
            }
        }
        match kind {
            VIDEO_TYPE => videos.push(track),
            AUDIO_TYPE => has_audio = true,
            _ => {}
        }
    }
    (videos, has_audio)
}

fn read_video(video: &[u8], track: &mut VideoTrack) {
    for (id, value) in children(video) {
        let number = unsigned(value).unwrap_or(0);
        let pixels = u32::try_from(number).unwrap_or(0);
        match id {
            PIXEL_WIDTH => track.width = pixels,
            PIXEL_HEIGHT => track.height = pixels,
            DISPLAY_WIDTH => track.display.0 = pixels,
            DISPLAY_HEIGHT => track.display.1 = pixels,
            DISPLAY_UNIT => track.display_unit = number,
            PROJECTION => {
                let roll = children(value).into_iter().find(|(id, _)| *id == PROJECTION_ROLL);
                track.roll_deg = roll.and_then(|(_, value)| float(value)).unwrap_or(0.0);
            }
            _ => {}
        }
    }
}

impl VideoTrack {
    /// Shape of a pixel: from the size at which the picture is to be shown.
    pub(crate) fn pixel_aspect(&self) -> PixelAspect {
        // Units 0 (pixels) and 3 (ratio) say the same here; a unit of 1 or 2 is a length.
        let (width, height) = self.display;
        if width == 0 || height == 0 || self.display_unit == 4 {
            return PixelAspect::SQUARE;
        }
        let horizontal = u64::from(width) * u64::from(self.height);
        let vertical = u64::from(height) * u64::from(self.width);
        PixelAspect::from_wide(horizontal, vertical)
    }

    /// Clockwise turn that makes the picture upright; `None` if it is no quarter. The file counts
    /// anticlockwise (RFC 9559, 5.1.4.1.28.44).
    pub(crate) fn rotation_deg(&self) -> Option<u16> {
        let quarters: [(f64, u16); 6] = [
            (0.0, 0),
            (90.0, 270),
            (180.0, 180),
            (-180.0, 180),
            (-90.0, 90),
            (270.0, 90),
        ];
        let found = quarters
            .iter()
            .find(|(roll, _)| (self.roll_deg - roll).abs() < 0.5);
        found.map(|(_, clockwise)| *clockwise)
    }

    /// Whether pictures can stand in another order than they are shown in.
    pub(crate) fn can_reorder(&self) -> bool {
        !matches!(self.codec_id.as_str(), "V_VP8" | "V_VP9" | "V_AV1")
    }

    /// For a decoder. `first_byte`: of the first frame; `frames_per_s`: about.
    pub(crate) fn codec(&self, first_byte: u8, frames_per_s: f64) -> Codec {
        let record = self.codec_private.as_deref();
        let with_record = |string: Option<String>| Codec {
            string: string.unwrap_or_else(|| self.codec_id.clone()),
            description: self.codec_private.clone(),
        };
        let alone = |string: Option<String>| Codec {
            string: string.unwrap_or_else(|| self.codec_id.clone()),
            description: None,
        };
        match self.codec_id.as_str() {
            "V_MPEG4/ISO/AVC" => with_record(record.and_then(|record| codec_string::avc("avc1", record))),
            "V_MPEGH/ISO/HEVC" => with_record(record.and_then(|record| codec_string::hevc("hvc1", record))),
            "V_VP8" => alone(Some("vp8".to_owned())),
            "V_VP9" => {
                // A frame's first two bits are 10, the next two its profile, the lower first
                // (VP9 Bitstream Specification, 6.2).
                let profile = (first_byte >> 5 & 1) | (first_byte >> 4 & 1) << 1;
                let depth = if profile < 2 { 8 } else { 10 };
                let rate = if frames_per_s > 0.0 { frames_per_s } else { 30.0 };
                alone(Some(codec_string::vp9_for(
                    self.width,
                    self.height,
                    rate,
                    profile,
                    depth,
                )))
            }
            "V_AV1" => alone(record.and_then(codec_string::av1)),
            _ => with_record(None),
        }
    }
}
