//! A coach's hand: for each event the frame that a careful person would mark, near the true one and not on it.
//!
//! How far it strays is invented, as the whole demo is. Seeded, so that the same hand makes the same marks.

use stroke::MarkKind;

use crate::chance::Chance;
use crate::truth::TrueEvent;

/// A mark strays from the event's own frame by this much, frames (SD), before it lands on a whole one.
const STRAY_FRAMES: f64 = 0.8;

/// One marking of a clip.
#[derive(Clone, Debug)]
pub struct Hand(Chance);

impl Hand {
    /// The hand that belongs to `seed`.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(Chance::new(seed))
    }

    /// The frame that this hand marks for an event, in a clip of `frame_count` frames.
    pub fn frame_of(&mut self, event: &TrueEvent, frame_count: u32) -> u32 {
        let stray = (STRAY_FRAMES * self.0.normal()).round();
        let frame = (f64::from(event.frame) + stray).clamp(0.0, f64::from(frame_count - 1));
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number within the clip"
        )]
        let frame = frame as u32;
        frame
    }
}

/// Whether this coach marks such events: the arms, the breaths and the kick-outs, not every beat of the kick.
#[must_use]
pub fn is_marked(event: &TrueEvent) -> bool {
    event.kind != MarkKind::Downbeat
}
