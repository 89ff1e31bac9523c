//! Is this file the clip that was marked? A mark means a frame only in the clip it was made on.

use std::fmt;

use serde::{Deserialize, Serialize};
use time::{Clock, FrameTimes, Timescale};

use crate::trouble::{Place, Severity, Trouble};
use crate::{ClipId, ClipRecord, Document};

/// What is known of a file after it was opened; further fields are ignored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClipFacts {
    /// The file's name.
    pub name: String,
    /// Its size in bytes.
    pub size_bytes: u64,
    /// A hash of sampled ranges of the file and of its frame table.
    pub fingerprint: String,
    /// Width of the upright picture in pixels.
    pub width: u32,
    /// Height of the upright picture in pixels.
    pub height: u32,
    /// Ticks per second of playback.
    pub timescale: Timescale,
    /// When each frame starts.
    pub frame_times: FrameTimes,
}

/// Whether a file is the clip.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "relink", rename_all = "snake_case")]
pub enum Relink {
    /// It is the clip.
    Match {
        /// Whether the file has another name than before.
        renamed: bool,
    },
    /// It is another file, or the clip was changed.
    Differs {
        /// What differs; never empty.
        differences: Vec<Difference>,
        /// The same in words.
        trouble: Box<Trouble>,
    },
}

/// One thing in which a file differs from the clip that was marked.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Difference {
    /// The size of the file.
    Size {
        /// Of the clip that was marked, bytes.
        marked_bytes: u64,
        /// Of the file, bytes.
        opened_bytes: u64,
    },
    /// The number of frames.
    FrameCount {
        /// Of the clip that was marked.
        marked: usize,
        /// Of the file.
        opened: usize,
    },
    /// The rate at which it plays.
    Rate {
        /// Of the clip that was marked, frames/s at the median spacing.
        marked_fps: f64,
        /// Of the file, frames/s at the median spacing.
        opened_fps: f64,
    },
    /// How long it plays.
    Duration {
        /// Of the clip that was marked, seconds of playback.
        marked_s: f64,
        /// Of the file, seconds of playback.
        opened_s: f64,
    },
    /// The size of the picture.
    Picture {
        /// Width and height of the clip that was marked, pixels.
        marked: [u32; 2],
        /// Width and height of the file, pixels.
        opened: [u32; 2],
    },
    /// The times of single frames.
    FrameTimes,
    /// Nothing that can be counted: the bytes themselves.
    Content,
}

impl fmt::Display for Difference {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size {
                marked_bytes,
                opened_bytes,
            } => write!(formatter, "it has {opened_bytes} bytes, not {marked_bytes}"),
            Self::FrameCount { marked, opened } => write!(formatter, "it has {opened} frames, not {marked}"),
            Self::Rate {
                marked_fps,
                opened_fps,
            } => write!(
                formatter,
                "it plays at {opened_fps:.2} frames/s, not {marked_fps:.2}"
            ),
            Self::Duration { marked_s, opened_s } => {
                write!(formatter, "it lasts {opened_s:.3} s, not {marked_s:.3} s")
            }
            Self::Picture { marked, opened } => write!(
                formatter,
                "its picture is {} × {} pixels, not {} × {}",
                opened[0], opened[1], marked[0], marked[1]
            ),
            Self::FrameTimes => write!(formatter, "its frames stand at other times"),
            Self::Content => write!(
                formatter,
                "its size and its frames are the same, but not its content"
            ),
        }
    }
}

/// Compares a file with a clip of the session: the fingerprint decides, the rest says what differs.
#[must_use]
pub fn match_clip(record: &ClipRecord, facts: &ClipFacts) -> Relink {
    let same_frames = record.timescale == facts.timescale && record.frame_times == facts.frame_times;
    if record.fingerprint == facts.fingerprint && same_frames {
        return Relink::Match {
            renamed: record.name != facts.name,
        };
    }
    let mut differences = Vec::new();
    if record.size_bytes != facts.size_bytes {
        differences.push(Difference::Size {
            marked_bytes: record.size_bytes,
            opened_bytes: facts.size_bytes,
        });
    }
    let (marked, opened) = ([record.width, record.height], [facts.width, facts.height]);
    if marked != opened {
        differences.push(Difference::Picture { marked, opened });
    }
    if !same_frames {
        differences.extend(frame_differences(record, facts));
    }
    if differences.is_empty() {
        differences.push(Difference::Content);
    }
    let trouble = in_words(record, facts, &differences);
    Relink::Differs { differences, trouble }
}

/// The clip of the session that this file is, if it is one.
#[must_use]
pub fn find_clip(document: &Document, facts: &ClipFacts) -> Option<ClipId> {
    document
        .clips
        .iter()
        .find(|record| matches!(match_clip(record, facts), Relink::Match { .. }))
        .map(|record| record.id)
}

#[expect(
    clippy::float_cmp,
    reason = "the same integers give the same quotient; any other counts as different"
)]
fn frame_differences(record: &ClipRecord, facts: &ClipFacts) -> Vec<Difference> {
    let mut differences = Vec::new();
    let (marked, opened) = (record.frame_times.len(), facts.frame_times.len());
    if marked != opened {
        differences.push(Difference::FrameCount { marked, opened });
    }
    // Playback, not true time: the filmed rate is the coach's word and not a fact of the file.
    let marked = Clock::new(record.timescale, record.frame_times.clone());
    let opened = Clock::new(facts.timescale, facts.frame_times.clone());
    let (marked_fps, opened_fps) = (marked.frame_rate_fps(), opened.frame_rate_fps());
    if marked_fps != opened_fps {
        differences.push(Difference::Rate {
            marked_fps,
            opened_fps,
        });
    }
    let duration_s =
        |clock: &Clock| clock.seconds_between(clock.frame_times().first(), clock.frame_times().end());
    let (marked_s, opened_s) = (duration_s(&marked), duration_s(&opened));
    if marked_s != opened_s {
        differences.push(Difference::Duration { marked_s, opened_s });
    }
    if differences.is_empty() {
        differences.push(Difference::FrameTimes);
    }
    differences
}

fn in_words(record: &ClipRecord, facts: &ClipFacts, differences: &[Difference]) -> Box<Trouble> {
    let listed: Vec<String> = differences.iter().map(ToString::to_string).collect();
    let whose = if record.name == facts.name {
        format!("this “{}” is not the clip that was marked", facts.name)
    } else {
        format!(
            "“{}” is not the clip “{}” that was marked",
            facts.name, record.name
        )
    };
    Box::new(Trouble {
        kind: "clip_differs".into(),
        message: format!("{whose}: {}", listed.join("; ")),
        hint: "Choose the file that was marked. If it was cut or converted since, add it as a new clip and mark it \
               again: a mark means a frame only in the clip it was made on."
            .into(),
        severity: Severity::Error,
        place: Place {
            file: Some(facts.name.clone()),
            clip: Some(record.id.0),
            ..Place::default()
        },
    })
}
