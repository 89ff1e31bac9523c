//! The frame table: which frames a clip shows, when, and where their bytes are.
//!
//! Samples stand in the order in which they have to be decoded; frames in the order in which they are shown.
//! A sample without a frame has to be decoded (others refer to it) but an edit list cuts it from the
//! presentation.

use serde::Serialize;
use time::{FrameTimes, Ticks, Timescale};

use crate::dropped::{DroppedFrames, suspected_dropped};
use crate::error::{ClipError, ClipErrorKind, ClipWarning};

/// Where in the file a frame's coded bytes stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct ByteRange {
    /// First byte.
    pub offset: u64,
    /// How many; at least 1.
    pub size: u32,
}

impl ByteRange {
    /// The first byte after the range.
    #[must_use]
    pub fn end(self) -> u64 {
        self.offset.saturating_add(u64::from(self.size))
    }
}

/// One coded picture, in decode order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Sample {
    /// When it is shown (or would be, for a sample without a frame).
    pub presentation: Ticks,
    /// Whether decoding can start here.
    pub keyframe: bool,
    /// Its bytes.
    pub bytes: ByteRange,
    /// Its frame, counted in presentation order; `None` if it is needed for decoding only.
    pub frame: Option<u32>,
}

/// One picture that is shown, in presentation order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Frame {
    /// When it appears.
    pub presentation: Ticks,
    /// How long it stands, ticks: up to the next frame; for the last, what the file says. At least 1.
    pub duration: i64,
    /// Whether decoding can start here.
    pub keyframe: bool,
    /// Its sample, counted in decode order.
    pub sample: u32,
    /// Its bytes.
    pub bytes: ByteRange,
}

/// How far apart a clip's frames are, in ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Spacing {
    /// The shortest.
    pub minimum: i64,
    /// The middle one; of two middle ones the lower.
    pub median: i64,
    /// The longest.
    pub maximum: i64,
}

/// A clip's frames and samples with their timescale; never without a frame.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameTable {
    timescale: Timescale,
    samples: Vec<Sample>,
    frames: Vec<Frame>,
    times: FrameTimes,
}

/// What a container's reader hands over for each sample, in decode order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RawSample {
    /// Presentation time, ticks.
    pub(crate) presentation: i64,
    /// How long the file says it stands, ticks; 0 if it does not say.
    pub(crate) duration: i64,
    pub(crate) keyframe: bool,
    pub(crate) shown: bool,
    pub(crate) bytes: ByteRange,
}

impl FrameTable {
    /// Sorts the shown samples into frames.
    pub(crate) fn from_samples(
        timescale: Timescale,
        raw: &[RawSample],
        warnings: &mut Vec<ClipWarning>,
    ) -> Result<Self, ClipError> {
        let mut order: Vec<u32> = (0_u32..)
            .zip(raw)
            .filter(|(_, sample)| sample.shown)
            .map(|(index, _)| index)
            .collect();
        // Stable: of samples with one time the last decoded stays last, and is the one that is shown.
        order.sort_by_key(|index| raw[*index as usize].presentation);
        let before = order.len();
        let mut first_repeated = None;
        let mut next = None;
        order.reverse();
        order.retain(|index| {
            let time = raw[*index as usize].presentation;
            let repeated = next == Some(time);
            if repeated {
                first_repeated = Some(time);
            }
            next = Some(time);
            !repeated
        });
        order.reverse();
        if let Some(first) = first_repeated {
            warnings.push(ClipWarning::RepeatedTimes {
                frames: u32::try_from(before - order.len()).unwrap_or(u32::MAX),
                first,
            });
        }

        let starts: Vec<Ticks> = order
            .iter()
            .map(|index| Ticks(raw[*index as usize].presentation))
            .collect();
        let Some(last) = order.last() else {
            return Err(no_frames(warnings));
        };
        let stated = raw[*last as usize].duration;
        let last_duration = if stated > 0 {
            stated
        } else {
            likely_spacing(&starts)
        };
        let times = FrameTimes::from_starts(starts, last_duration)
            .map_err(|_| ClipError::malformed(0, "its times run beyond the range of a 64-bit number"))?;

        let mut samples: Vec<Sample> = raw
            .iter()
            .map(|sample| Sample {
                presentation: Ticks(sample.presentation),
                keyframe: sample.keyframe,
                bytes: sample.bytes,
                frame: None,
            })
            .collect();
        let mut frames = Vec::with_capacity(order.len());
        for (frame, index) in (0_u32..).zip(&order) {
            let sample = &mut samples[*index as usize];
            sample.frame = Some(frame);
            frames.push(Frame {
                presentation: sample.presentation,
                duration: times.spacing(frame as usize).unwrap_or(last_duration),
                keyframe: sample.keyframe,
                sample: *index,
                bytes: sample.bytes,
            });
        }
        Ok(Self {
            timescale,
            samples,
            frames,
            times,
        })
    }

    /// Ticks per second.
    #[must_use]
    pub fn timescale(&self) -> Timescale {
        self.timescale
    }

    /// The frames in presentation order; at least one.
    #[must_use]
    pub fn frames(&self) -> &[Frame] {
        &self.frames
    }

    /// The samples in decode order.
    #[must_use]
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// When each frame starts.
    #[must_use]
    pub fn frame_times(&self) -> &FrameTimes {
        &self.times
    }

    /// The shortest, median and longest time from one frame to the next; a single frame's own duration.
    #[must_use]
    pub fn spacing(&self) -> Spacing {
        let mut spacings = self.spacings();
        let middle = (spacings.len() - 1) / 2;
        let (_, median, _) = spacings.select_nth_unstable(middle);
        let median = *median;
        Spacing {
            minimum: spacings.iter().copied().min().unwrap_or(median),
            median,
            maximum: spacings.iter().copied().max().unwrap_or(median),
        }
    }

    /// Gaps in an otherwise regular clip, where the camera or a program has probably left frames out.
    /// Empty for a clip whose spacing varies throughout: there a gap says nothing.
    #[must_use]
    pub fn suspected_dropped(&self) -> Vec<DroppedFrames> {
        suspected_dropped(&self.spacings())
    }

    /// From each frame to the next; the last frame's own duration only where it is alone.
    fn spacings(&self) -> Vec<i64> {
        let between = self.frames.len() - 1;
        self.frames[..between.max(1)]
            .iter()
            .map(|frame| frame.duration)
            .collect()
    }
}

/// A clip with no frame left is cut off rather than empty if frames were lost at the end of the file.
fn no_frames(warnings: &[ClipWarning]) -> ClipError {
    let lost_at = warnings.iter().find_map(|warning| match warning {
        ClipWarning::Truncated { size, .. } => Some(*size),
        _ => None,
    });
    match lost_at {
        Some(size) => ClipError::at(
            size,
            ClipErrorKind::Truncated {
                what: "its first frame",
                needed: size.saturating_add(1),
                size,
            },
        ),
        None => ClipError::new(ClipErrorKind::NoFrames),
    }
}

/// For a last frame that states no duration: the lower median of the spacings before it; 1 if it is alone.
fn likely_spacing(starts: &[Ticks]) -> i64 {
    let mut spacings: Vec<i64> = starts
        .windows(2)
        .map(|pair| pair[1].0.saturating_sub(pair[0].0))
        .collect();
    if spacings.is_empty() {
        return 1;
    }
    let middle = (spacings.len() - 1) / 2;
    *spacings.select_nth_unstable(middle).1
}
