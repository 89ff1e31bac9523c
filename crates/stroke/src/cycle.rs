//! An arm's complete cycles, entry to the same hand's next entry, and all of its phases that can be drawn.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::arm::{Arm, CATCH, ENTRY, EXIT, MID_PULL, Stroke};
use crate::breath::BreathMoments;
use crate::ordered::Marks;
use crate::phase::{PhaseStretch, phases_of};
use crate::{MarkId, Side};

/// One complete cycle of one arm.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Cycle {
    /// Names the cycle within its arm: entries counted from 0 in time order. Usually its place in the list;
    /// after a stretch that is not marked through, the stroke that has no end keeps its number.
    pub index: u32,
    /// The hand's entry, ticks.
    pub start: Ticks,
    /// The same hand's next entry, ticks.
    pub end: Ticks,
    /// Entry, catch, mid-pull, exit and the next entry, ticks; `None` where an event is not marked, or its
    /// mark cannot be trusted.
    pub events: [Option<Ticks>; 5],
    /// Its phases, as far as they are marked.
    pub phases: Vec<PhaseStretch>,
    /// Whether a breath is taken in it: a mouth comes clear in `start <= time < end`. `None` when the clip
    /// has no breath marks.
    pub breathing: Option<bool>,
    /// Its marks in time order, the next entry included.
    pub marks: Vec<MarkId>,
}

/// One arm through the clip.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ArmTimeline {
    /// Left or right.
    pub side: Side,
    /// Its complete cycles in time order.
    pub cycles: Vec<Cycle>,
    /// Everything that can be drawn, the phases of incomplete cycles too, in time order.
    pub phases: Vec<PhaseStretch>,
}

/// The arm's cycles and phases.
pub(crate) fn timeline_of(arm: &Arm, marks: &Marks, breaths: &BreathMoments) -> ArmTimeline {
    let mut timeline = ArmTimeline {
        side: arm.side,
        cycles: Vec::new(),
        phases: Vec::new(),
    };
    for stroke in &arm.strokes {
        let first_phase = timeline.phases.len();
        phases_of(stroke, marks, &mut timeline.phases);
        if let Some(cycle) = cycle_of(stroke, marks, breaths, &timeline.phases[first_phase..]) {
            timeline.cycles.push(cycle);
        }
    }
    timeline
}

fn cycle_of(
    stroke: &Stroke,
    marks: &Marks,
    breaths: &BreathMoments,
    phases: &[PhaseStretch],
) -> Option<Cycle> {
    let (entry, next) = stroke.bounds()?;
    let (start, end) = (marks.time(entry), marks.time(next));
    debug_assert!(
        stroke.event(ENTRY).is_ok() || phases.len() < 4,
        "a disputed entry starts no phase"
    );
    Some(Cycle {
        index: stroke.index?,
        start,
        end,
        events: [
            stroke.event(ENTRY),
            stroke.event(CATCH),
            stroke.event(MID_PULL),
            stroke.event(EXIT),
            stroke.next_entry(),
        ]
        .map(|event| event.ok().map(|mark| marks.time(mark))),
        phases: phases.to_vec(),
        breathing: breaths.any_within(start, end),
        marks: {
            let mut own: Vec<_> = stroke.marks().chain([next]).collect();
            tiny_sort::unstable::sort(&mut own);
            own.into_iter().map(|index| marks.id(index)).collect()
        },
    })
}
