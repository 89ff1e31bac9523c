//! What the coach taps: an event of the stroke, on a frame, of a side.

use std::fmt;

use serde::{Deserialize, Serialize};
use time::Ticks;

/// Which side of the swimmer's body. `Both` is possible for the legs only.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The swimmer's own left.
    Left,
    /// The swimmer's own right.
    Right,
    /// Both legs together.
    Both,
}

impl Side {
    /// Left for right and right for left; both stay both.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Both => Self::Both,
        }
    }
}

/// The kinds of event, in the order in which one stroke shows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MarkKind {
    /// The hand enters the water.
    Entry,
    /// The hand starts to move backward: propulsion starts.
    Catch,
    /// The hand passes the vertical plane of the shoulder: the pull ends, the push starts.
    MidPull,
    /// The hand leaves the water: propulsion ends.
    Exit,
    /// The first bubbles of an exhalation.
    ExhaleStart,
    /// The head starts to turn to breathe.
    FaceTurn,
    /// The mouth is clear of the water.
    MouthClear,
    /// The face is back in the water.
    FaceReturn,
    /// The legs part beyond the kick's usual width.
    KickOutStart,
    /// The legs have closed again.
    KickOutEnd,
    /// A foot is at the lowest point of a kick.
    Downbeat,
    /// A body point passes a reference at a known distance.
    Pass,
}

/// The part of the body that a kind of mark speaks of; it decides which sides are possible.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {
    /// An arm: left or right.
    Arm,
    /// The head turning to breathe: left or right.
    Head,
    /// The legs: left, right or both.
    Legs,
    /// The whole body: no side.
    Whole,
}

impl MarkKind {
    /// Every kind, in the order of the stroke.
    pub const ALL: [Self; 12] = [
        Self::Entry,
        Self::Catch,
        Self::MidPull,
        Self::Exit,
        Self::ExhaleStart,
        Self::FaceTurn,
        Self::MouthClear,
        Self::FaceReturn,
        Self::KickOutStart,
        Self::KickOutEnd,
        Self::Downbeat,
        Self::Pass,
    ];

    /// The four events of an arm, in order.
    pub const ARM: [Self; 4] = [Self::Entry, Self::Catch, Self::MidPull, Self::Exit];

    /// The part of the body it speaks of.
    #[must_use]
    pub fn body(self) -> Body {
        match self {
            Self::Entry | Self::Catch | Self::MidPull | Self::Exit => Body::Arm,
            Self::ExhaleStart | Self::FaceTurn | Self::MouthClear | Self::FaceReturn => Body::Head,
            Self::KickOutStart | Self::KickOutEnd | Self::Downbeat => Body::Legs,
            Self::Pass => Body::Whole,
        }
    }

    /// Its name in words, lower case, as it reads inside a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Entry => "entry",
            Self::Catch => "catch",
            Self::MidPull => "mid-pull",
            Self::Exit => "exit",
            Self::ExhaleStart => "exhale start",
            Self::FaceTurn => "face turn",
            Self::MouthClear => "mouth clear",
            Self::FaceReturn => "face return",
            Self::KickOutStart => "kick-out start",
            Self::KickOutEnd => "kick-out end",
            Self::Downbeat => "downbeat",
            Self::Pass => "pass",
        }
    }

    /// Whether a mark of this kind may carry that side.
    #[must_use]
    pub fn allows(self, side: Option<Side>) -> bool {
        match self.body() {
            Body::Arm | Body::Head => matches!(side, Some(Side::Left | Side::Right)),
            Body::Legs => side.is_some(),
            Body::Whole => side.is_none(),
        }
    }
}

/// Names a mark within one session; never used again after the mark is deleted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct MarkId(pub u32);

impl fmt::Display for MarkId {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}", self.0)
    }
}

/// One event on one frame of one clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mark {
    /// Its name within the session.
    pub id: MarkId,
    /// What happened.
    pub kind: MarkKind,
    /// Of which side; `None` only for a pass.
    pub side: Option<Side>,
    /// The presentation time of the frame it was seen on, in the clip's ticks.
    pub time: Ticks,
}
