//! Matroska and WebM: frame times from the headers of blocks, without their payloads.
//!
//! RFC 9559. The general demuxers of the ecosystem read every payload and give no byte positions, which rules
//! them out for a 4 GB file and for a decoder that is fed by ranges; one of them (`matroska-demuxer`) is the
//! oracle of the tests instead.

mod elements;
mod tracks;

use time::Timescale;

use self::elements::{Element, Id, children, element_at, number_at, unsigned};
use self::tracks::VideoTrack;
use crate::description::{Clip, Container};
use crate::error::{ClipError, ClipErrorKind, ClipWarning};
use crate::frame_table::{ByteRange, FrameTable, RawSample};
use crate::window::Window;

const EBML: Id = 0x1A45_DFA3;
const DOC_TYPE: Id = 0x4282;
const SEGMENT: Id = 0x1853_8067;
const INFO: Id = 0x1549_A966;
const TIMESTAMP_SCALE: Id = 0x002A_D7B1;
const TRACKS: Id = 0x1654_AE6B;
const CLUSTER: Id = 0x1F43_B675;
const CLUSTER_TIME: Id = 0xE7;
const SIMPLE_BLOCK: Id = 0xA3;
const BLOCK_GROUP: Id = 0xA0;
const BLOCK: Id = 0xA1;
const BLOCK_DURATION: Id = 0x9B;
const REFERENCE_BLOCK: Id = 0xFB;

/// Headers, information and tracks are a few kilobytes; codec records a few more.
const LONGEST_LOADED: u64 = 4 << 20;
const MOST_SAMPLES: usize = 1 << 22;
const NANOSECONDS_PER_S: u64 = 1_000_000_000;

/// Whether a file that starts with these bytes is one of this family.
pub(crate) fn starts_like(head: &[u8; 16]) -> bool {
    head[..4] == EBML.to_be_bytes()
}

pub(crate) fn read(window: &mut Window<'_>) -> Result<Clip, ClipError> {
    let mut reader = Reader::default();
    let header = element_at(window, 0)?;
    let header_bytes = load(window, header, "the file's header")?;
    let kind = children(&header_bytes)
        .into_iter()
        .find(|(id, _)| *id == DOC_TYPE);
    let kind = kind.map_or(&b""[..], |(_, kind)| kind.trim_ascii_end());
    let kind = kind.split(|byte| *byte == 0).next().unwrap_or_default();
    if !matches!(kind, b"webm" | b"matroska") {
        return Err(ClipError::at(
            0,
            ClipErrorKind::NotAVideo {
                looks_like: "it is an EBML file, but neither WebM nor Matroska",
            },
        ));
    }
    reader.read_from(window, header.end())?;
    reader.finish(window)
}

/// What has been found so far.
#[derive(Default)]
struct Reader {
    nanoseconds_per_tick: Option<u64>,
    tracks: Option<(Vec<VideoTrack>, bool)>,
    cluster_time: Option<i64>,
    samples: Vec<RawSample>,
    warnings: Vec<ClipWarning>,
}

impl Reader {
    /// Walks the segment flat: clusters are entered, blocks stepped over, so that sizes unknown to a live
    /// recorder do not matter.
    fn read_from(&mut self, window: &mut Window<'_>, from: u64) -> Result<(), ClipError> {
        let mut at = from;
        let mut in_segment = false;
        while at < window.size() {
            window.reached(at, window.size());
            let element = match element_at(window, at) {
                Ok(element) => element,
                Err(error) if self.samples.is_empty() || matches!(error.kind, ClipErrorKind::Source(_)) => {
                    return Err(error);
                }
                Err(ClipError {
                    kind: ClipErrorKind::Truncated { .. },
                    ..
                }) => {
                    self.cut_off(window, 1);
                    return Ok(());
                }
                Err(ClipError {
                    kind: ClipErrorKind::TooLarge { what },
                    offset,
                }) => return Err(ClipError::too_large(offset.unwrap_or(at), what)),
                Err(_) => {
                    self.warnings.push(ClipWarning::Damaged { offset: at });
                    return Ok(());
                }
            };
            at = match element.id {
                SEGMENT if in_segment => return Ok(()),
                SEGMENT => {
                    in_segment = true;
                    element.body
                }
                EBML => return Ok(()),
                CLUSTER => {
                    self.cluster_time = None;
                    element.body
                }
                id if element.end() > window.size() => {
                    return match id {
                        INFO | TRACKS => Err(self.truncated(window, element, "its index")),
                        SIMPLE_BLOCK | BLOCK_GROUP => {
                            self.cut_off(window, 1);
                            Ok(())
                        }
                        _ if self.samples.is_empty() => {
                            Err(self.truncated(window, element, "what stands before its first frame"))
                        }
                        _ => Ok(()),
                    };
                }
                _ => {
                    self.read_element(window, element)?;
                    element.end()
                }
            };
        }
        Ok(())
    }

    fn truncated(&self, window: &Window<'_>, element: Element, what: &'static str) -> ClipError {
        let (size, needed) = (window.size(), element.end());
        ClipError::at(element.body, ClipErrorKind::Truncated { what, needed, size })
    }

    fn cut_off(&mut self, window: &Window<'_>, frames: u32) {
        let size = window.size();
        self.warnings.push(ClipWarning::Truncated { frames, size });
    }

    fn read_element(&mut self, window: &mut Window<'_>, element: Element) -> Result<(), ClipError> {
        match element.id {
            INFO => {
                let bytes = load(window, element, "the segment's information")?;
                let scale = children(&bytes)
                    .into_iter()
                    .find(|(id, _)| *id == TIMESTAMP_SCALE);
                self.nanoseconds_per_tick = scale
                    .and_then(|(_, value)| unsigned(value))
                    .filter(|scale| *scale > 0);
            }
            TRACKS if self.tracks.is_none() => {
                let bytes = load(window, element, "the list of tracks")?;
                self.tracks = Some(tracks::read(&bytes));
            }
            CLUSTER_TIME => {
                let bytes = load(window, element, "a cluster's time")?;
                self.cluster_time = unsigned(&bytes).and_then(|time| i64::try_from(time).ok());
            }
            SIMPLE_BLOCK => {
                if let Some(block) = self.block(window, element)? {
                    self.add(block, block.marked_as_keyframe, 0, element.body)?;
                }
            }
            BLOCK_GROUP => self.read_group(window, element)?,
            _ => {}
        }
        Ok(())
    }

    fn read_group(&mut self, window: &mut Window<'_>, group: Element) -> Result<(), ClipError> {
        let mut at = group.body;
        let (mut block, mut duration, mut keyframe) = (None, 0, true);
        while at < group.end() {
            let part = element_at(window, at)?;
            if part.end() > group.end() {
                return Err(ClipError::malformed(at, "a block runs beyond its group"));
            }
            match part.id {
                BLOCK => block = self.block(window, part)?,
                BLOCK_DURATION => {
                    let bytes = load(window, part, "a block's duration")?;
                    duration = unsigned(&bytes)
                        .and_then(|ticks| i64::try_from(ticks).ok())
                        .unwrap_or(0);
                }
                REFERENCE_BLOCK => keyframe = false,
                _ => {}
            }
            at = part.end();
        }
        match block {
            Some(block) => self.add(block, keyframe, duration, group.body),
            None => Ok(()),
        }
    }

    /// A block's header, if it belongs to the video track.
    fn block(&self, window: &mut Window<'_>, element: Element) -> Result<Option<Block>, ClipError> {
        const WHAT: &str = "a block's header";
        let Some(track) = self.tracks.as_ref().and_then(|(videos, _)| videos.first()) else {
            return Ok(None);
        };
        let (number, length) = number_at(window, element.body, 8, false)?;
        if number != track.number {
            return Ok(None);
        }
        let at = element.body + length;
        let head = window.bytes(at, 3, WHAT)?;
        let time = i64::from(i16::from_be_bytes([head[0], head[1]]));
        let flags = head[2];
        if flags & 0x06 != 0 {
            return Err(ClipError::malformed(
                at,
                "a block holds several video frames (lacing)",
            ));
        }
        let (offset, end) = (at + 3, element.end());
        let size = end.checked_sub(offset).and_then(|size| u32::try_from(size).ok());
        let Some(size) = size.filter(|size| *size > 0) else {
            return Err(ClipError::malformed(at, "a block is empty or larger than 4 GB"));
        };
        Ok(Some(Block {
            time,
            marked_as_keyframe: flags & 0x80 != 0,
            bytes: ByteRange { offset, size },
        }))
    }

    fn add(&mut self, block: Block, keyframe: bool, duration: i64, place: u64) -> Result<(), ClipError> {
        let Some(cluster_time) = self.cluster_time else {
            return Err(ClipError::malformed(
                place,
                "a cluster states no time before its first block",
            ));
        };
        if self.samples.len() == MOST_SAMPLES {
            return Err(ClipError::too_large(place, "it lists more than 4 million frames"));
        }
        let presentation = cluster_time.saturating_add(block.time);
        let can_reorder = self
            .tracks
            .as_ref()
            .is_some_and(|(videos, _)| videos[0].can_reorder());
        if let Some(before) = self.samples.last().map(|sample| sample.presentation)
            && !can_reorder
            && presentation < before
        {
            let frame = u32::try_from(self.samples.len()).unwrap_or(u32::MAX);
            let kind = ClipErrorKind::TimesGoBackwards {
                frame,
                time: presentation,
                before,
            };
            return Err(ClipError::at(place, kind));
        }
        self.samples.push(RawSample {
            presentation,
            duration,
            keyframe,
            shown: true,
            bytes: block.bytes,
        });
        Ok(())
    }

    fn finish(mut self, window: &mut Window<'_>) -> Result<Clip, ClipError> {
        let Some((videos, has_audio)) = self.tracks.take() else {
            return Err(ClipError::new(ClipErrorKind::NoVideoTrack { has_audio: false }));
        };
        let Some(track) = videos.first() else {
            return Err(ClipError::new(ClipErrorKind::NoVideoTrack { has_audio }));
        };
        if track.packed {
            return Err(ClipError::new(ClipErrorKind::PackedFrames));
        }
        if videos.len() > 1 {
            let tracks = u32::try_from(videos.len()).unwrap_or(u32::MAX);
            self.warnings.push(ClipWarning::SeveralVideoTracks { tracks });
        }
        let rotation_deg = track.rotation_deg().unwrap_or_else(|| {
            self.warnings.push(ClipWarning::OddMatrix);
            0
        });
        let first_byte = match self.samples.first() {
            Some(first) => window.bytes(first.bytes.offset, 1, "the first frame")?[0],
            // The table below says what its emptiness means.
            None => 0,
        };
        let (timescale, ticks_per_unit, ns_per_tick) = clock(self.nanoseconds_per_tick.unwrap_or(1_000_000))?;
        let default_duration = track.default_duration_ns.saturating_add(ns_per_tick / 2) / ns_per_tick;
        let delay = i64::try_from(track.codec_delay_ns / ns_per_tick).unwrap_or(0);
        for sample in &mut self.samples {
            sample.presentation = sample
                .presentation
                .saturating_mul(ticks_per_unit)
                .saturating_sub(delay);
            sample.duration = match sample.duration {
                0 => i64::try_from(default_duration).unwrap_or(0),
                stated => stated.saturating_mul(ticks_per_unit),
            };
        }
        let table = FrameTable::from_samples(timescale, &self.samples, &mut self.warnings)?;
        #[expect(clippy::cast_precision_loss, reason = "a spacing is far below 2^53 ticks")]
        let frames_per_s = f64::from(timescale.ticks_per_second()) / table.spacing().median as f64;
        Ok(Clip {
            container: Container::Matroska,
            codec: track.codec(first_byte, frames_per_s),
            coded_width: track.width,
            coded_height: track.height,
            rotation_deg,
            pixel_aspect: track.pixel_aspect(),
            table,
            capture_rate_fps: None,
            has_audio,
            warnings: self.warnings,
        })
    }
}

/// A video block's header.
#[derive(Clone, Copy)]
struct Block {
    /// From the cluster's time.
    time: i64,
    marked_as_keyframe: bool,
    bytes: ByteRange,
}

/// Ticks per second, ticks per unit of the file's times, nanoseconds per tick. A unit that does not divide a
/// second is counted in nanoseconds.
fn clock(nanoseconds_per_unit: u64) -> Result<(Timescale, i64, u64), ClipError> {
    let too_long = || ClipError::malformed(0, "its times are counted in units longer than a second");
    let (per_second, ticks_per_unit, ns_per_tick) = if NANOSECONDS_PER_S.is_multiple_of(nanoseconds_per_unit)
    {
        (NANOSECONDS_PER_S / nanoseconds_per_unit, 1, nanoseconds_per_unit)
    } else if nanoseconds_per_unit < NANOSECONDS_PER_S {
        (NANOSECONDS_PER_S, nanoseconds_per_unit.cast_signed(), 1)
    } else {
        return Err(too_long());
    };
    let per_second = u32::try_from(per_second).map_err(|_| too_long())?;
    let timescale = Timescale::new(per_second).map_err(|_| too_long())?;
    Ok((timescale, ticks_per_unit, ns_per_tick))
}

fn load(window: &mut Window<'_>, element: Element, what: &'static str) -> Result<Vec<u8>, ClipError> {
    match element.size {
        Some(size) if size <= LONGEST_LOADED => window.load(element.body, size, what),
        _ => Err(ClipError::too_large(
            element.body,
            "its list of tracks is longer than 4 MiB",
        )),
    }
}
