//! What the session keeps of a clip: facts of its file, what the coach says about it, its marks. No pixels.

use serde::{Deserialize, Serialize};
use stroke::{Analysis, Mark, MarkId, MarkKind, Passage, Side, Speed};
use time::{Clock, FrameTimes, Ticks, TimeError, Timescale};

use crate::{Fault, limits};

/// Names a clip within one session, from 1; never used again after the clip is removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct ClipId(pub u32);

/// Where the camera stood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum View {
    /// At the swimmer's side.
    Side,
    /// In front of the swimmer.
    Front,
    /// Above the swimmer.
    Above,
    /// Behind the swimmer.
    Rear,
}

/// Whether the swimmer kicked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Kick {
    /// With the legs' kick.
    Kick,
    /// Arms only.
    NoKick,
}

/// What the swimmer wore or held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Aid {
    /// A pull buoy.
    Buoy,
    /// Fins.
    Fins,
    /// A snorkel.
    Snorkel,
    /// Hand paddles.
    Paddles,
}

/// How sure it is that the coach saw the frame that the mark names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Proof {
    /// The frame was decoded by its own place in the table: certain.
    Decoded,
    /// A video element was sent to the frame and reported that frame's time.
    Sought,
    /// A video element was sent to the frame; the browser cannot report which frame it showed.
    NotProven,
}

/// One event on one frame of this clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MarkRecord {
    /// Its name within the session, from 1; never used again after the mark is deleted.
    pub id: MarkId,
    /// What happened.
    pub kind: MarkKind,
    /// Of which side; `null` only for a pass.
    pub side: Option<Side>,
    /// The presentation time of the frame it was seen on, in the clip's ticks; equals that frame's start.
    pub time: Ticks,
    /// How sure it is that this was the frame shown.
    pub proof: Proof,
}

impl MarkRecord {
    /// The mark as the measures take it.
    #[must_use]
    pub fn mark(&self) -> Mark {
        Mark {
            id: self.id,
            kind: self.kind,
            side: self.side,
            time: self.time,
        }
    }

    /// The order in which a clip keeps its marks.
    pub(crate) fn order(&self) -> (Ticks, MarkId) {
        (self.time, self.id)
    }
}

/// A clip of the session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ClipRecord {
    /// Its name within the session.
    pub id: ClipId,
    /// The file's name when it was last opened.
    pub name: String,
    /// The coach's word for it, such as "before"; may be empty.
    pub label: String,
    /// The file's size in bytes.
    pub size_bytes: u64,
    /// A hash of sampled ranges of the file and of its frame table.
    pub fingerprint: String,
    /// The container: `mp4` or `matroska`.
    pub container: String,
    /// The codec as browsers name it, such as `avc1.64001F`.
    pub codec: String,
    /// Width of the upright picture in pixels.
    pub width: u32,
    /// Height of the upright picture in pixels.
    pub height: u32,
    /// How far the stored picture has to be turned clockwise to stand upright: 0, 90, 180 or 270.
    pub rotation_deg: u16,
    /// Ticks per second of playback.
    pub timescale: Timescale,
    /// When each frame starts, in ticks.
    pub frame_times: FrameTimes,
    /// The rate that the camera wrote down, frames/s.
    pub capture_rate_fps: Option<f64>,
    /// The rate the clip was filmed at, frames/s, as the coach states it, where that is not the rate it
    /// plays at: all its seconds are then seconds of the swimmer.
    pub filmed_rate_fps: Option<f64>,
    /// Where the camera stood.
    pub view: Option<View>,
    /// Whether the swimmer kicked.
    pub kick: Option<Kick>,
    /// What the swimmer wore or held, each at most once.
    pub aids: Vec<Aid>,
    /// How fast the swimmer went.
    pub speed: Option<Speed>,
    /// The coach's notes on this clip.
    pub notes: String,
    /// Frames that show the same picture as the one before, from 0, increasing; `null` until looked for.
    pub duplicated_frames: Option<Vec<u32>>,
    /// The marks, in order of time.
    pub marks: Vec<MarkRecord>,
}

/// A clip as it is added: the facts of its file are required, the coach's words may follow later.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct NewClip {
    /// As in [`ClipRecord`].
    pub name: String,
    /// As in [`ClipRecord`].
    pub size_bytes: u64,
    /// As in [`ClipRecord`].
    pub fingerprint: String,
    /// As in [`ClipRecord`].
    pub container: String,
    /// As in [`ClipRecord`].
    pub codec: String,
    /// As in [`ClipRecord`].
    pub width: u32,
    /// As in [`ClipRecord`].
    pub height: u32,
    /// As in [`ClipRecord`].
    pub rotation_deg: u16,
    /// As in [`ClipRecord`].
    pub timescale: Timescale,
    /// As in [`ClipRecord`].
    pub frame_times: FrameTimes,
    /// As in [`ClipRecord`].
    pub capture_rate_fps: Option<f64>,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub label: String,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub filmed_rate_fps: Option<f64>,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub view: Option<View>,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub kick: Option<Kick>,
    /// As in [`ClipRecord`]; an aid named twice counts once.
    #[serde(default)]
    pub aids: Vec<Aid>,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub speed: Option<Speed>,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub notes: String,
    /// As in [`ClipRecord`].
    #[serde(default)]
    pub duplicated_frames: Option<Vec<u32>>,
}

impl NewClip {
    pub(crate) fn into_record(self, id: ClipId) -> ClipRecord {
        ClipRecord {
            id,
            name: self.name,
            label: self.label,
            size_bytes: self.size_bytes,
            fingerprint: self.fingerprint,
            container: self.container,
            codec: self.codec,
            width: self.width,
            height: self.height,
            rotation_deg: self.rotation_deg,
            timescale: self.timescale,
            frame_times: self.frame_times,
            capture_rate_fps: self.capture_rate_fps,
            filmed_rate_fps: self.filmed_rate_fps,
            view: self.view,
            kick: self.kick,
            aids: each_once(self.aids),
            speed: self.speed,
            notes: self.notes,
            duplicated_frames: self.duplicated_frames,
            marks: Vec::new(),
        }
    }
}

/// In their fixed order, each once: two lists that mean the same are then written the same.
pub(crate) fn each_once<T: Ord>(mut list: Vec<T>) -> Vec<T> {
    tiny_sort::unstable::sort(&mut list);
    list.dedup();
    list
}

impl ClipRecord {
    /// The clip's clock: its frames, and true seconds where the coach stated the filmed rate.
    ///
    /// # Errors
    /// [`TimeError::FilmedRate`] for a filmed rate that is no rate; a checked document has none such.
    pub fn clock(&self) -> Result<Clock, TimeError> {
        let clock = Clock::new(self.timescale, self.frame_times.clone());
        match self.filmed_rate_fps {
            Some(rate_fps) => clock.filmed_at(rate_fps),
            None => Ok(clock),
        }
    }

    pub(crate) fn checked_clock(&self) -> Result<Clock, Fault> {
        self.clock().map_err(|_| Fault::OutOfRange {
            field: "the filmed rate",
            value: self.filmed_rate_fps.unwrap_or_default(),
            range: limits::RATE_FPS,
        })
    }

    /// The marks as the measures take them, in order of time.
    #[must_use]
    pub fn stroke_marks(&self) -> Vec<Mark> {
        self.marks.iter().map(MarkRecord::mark).collect()
    }

    /// The clip's marks on its clock, for the measures and the guided pass.
    ///
    /// `clock` is that of [`Self::clock`], `marks` those of [`Self::stroke_marks`]; both are kept by the caller
    /// since making them takes longer than looking at them.
    #[must_use]
    pub fn passage<'a>(&self, clock: &'a Clock, marks: &'a [Mark]) -> Passage<'a> {
        Passage {
            clock,
            marks,
            speed: self.speed,
        }
    }

    /// Everything that follows from the clip's marks, in true seconds.
    ///
    /// # Errors
    /// [`Fault::OutOfRange`] for a filmed rate that is no rate; a checked document has none such.
    pub fn analyse(&self) -> Result<Analysis, Fault> {
        let clock = self.checked_clock()?;
        let marks = self.stroke_marks();
        Ok(stroke::analyse(&self.passage(&clock, &marks)))
    }

    /// What people call it: the coach's label, or the file's name while there is none.
    #[must_use]
    pub fn title(&self) -> &str {
        if self.label.is_empty() {
            &self.name
        } else {
            &self.label
        }
    }

    /// The frame a mark is on, from 0.
    #[must_use]
    pub fn frame_of(&self, mark: &MarkRecord) -> Option<usize> {
        self.frame_times.frame_at(mark.time)
    }

    /// The mark of that kind and side on the frame that starts at `time`.
    #[must_use]
    pub fn mark_at(&self, time: Ticks, kind: MarkKind, side: Option<Side>) -> Option<&MarkRecord> {
        let from = self.marks.partition_point(|mark| mark.time < time);
        self.marks[from..]
            .iter()
            .take_while(|mark| mark.time == time)
            .find(|mark| mark.kind == kind && mark.side == side)
    }
}
