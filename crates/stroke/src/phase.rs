//! The four phases of an arm's cycle.
//!
//! Entry and catch: entry to catch. Pull: catch to mid-pull. Push: mid-pull to exit. Recovery: exit to the
//! same hand's next entry. Source: Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54-59.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::arm::{CATCH, ENTRY, EXIT, MID_PULL, Stroke};
use crate::ordered::Marks;

/// A phase of the arm's cycle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// From the hand's entry to the start of its backward movement.
    EntryAndCatch,
    /// From there to the vertical plane of the shoulder.
    Pull,
    /// From there to the exit.
    Push,
    /// Through the air to the next entry.
    Recovery,
}

/// One phase on the clip's time line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhaseStretch {
    /// Which.
    pub phase: Phase,
    /// Ticks.
    pub start: Ticks,
    /// Ticks.
    pub end: Ticks,
}

/// The phases of one stroke of which both ends can be trusted.
pub(crate) fn phases_of(stroke: &Stroke, marks: &Marks, into: &mut Vec<PhaseStretch>) {
    let bounds = [
        (Phase::EntryAndCatch, stroke.event(ENTRY), stroke.event(CATCH)),
        (Phase::Pull, stroke.event(CATCH), stroke.event(MID_PULL)),
        (Phase::Push, stroke.event(MID_PULL), stroke.event(EXIT)),
        (Phase::Recovery, stroke.event(EXIT), stroke.next_entry()),
    ];
    for (phase, start, end) in bounds {
        if let (Ok(start), Ok(end)) = (start, end) {
            into.push(PhaseStretch {
                phase,
                start: marks.time(start),
                end: marks.time(end),
            });
        }
    }
}
