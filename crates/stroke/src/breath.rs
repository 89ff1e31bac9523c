//! Breaths: the four marks of one breath, and which strokes have one.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::flag::{FlagKind, Flags};
use crate::mark::Body;
use crate::ordered::{Marks, SIDES};
use crate::uncertain::Input;
use crate::{MarkId, MarkKind, Side};

/// One breath, as far as it is marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Breath {
    /// The side the face turns to.
    pub side: Side,
    /// First bubbles, ticks.
    pub exhale_start: Option<Ticks>,
    /// The head starts to turn, ticks.
    pub face_turn: Option<Ticks>,
    /// The mouth is clear, ticks.
    pub mouth_clear: Option<Ticks>,
    /// The face is back, ticks.
    pub face_return: Option<Ticks>,
    /// Its marks in time order.
    pub marks: Vec<MarkId>,
}

/// Places of the four events.
pub(crate) const EXHALE_START: usize = 0;
pub(crate) const FACE_TURN: usize = 1;
pub(crate) const MOUTH_CLEAR: usize = 2;
pub(crate) const FACE_RETURN: usize = 3;

/// A turn that comes this long after a face returned belongs to the next breath, s; no two breaths are so
/// close, since a stroke lies between them.
const ONE_BREATH_S: f64 = 0.6;

/// One breath's marks.
#[derive(Clone, Debug)]
pub(crate) struct BreathMarks {
    pub(crate) side: Side,
    events: [Option<Input>; 4],
    disputed: bool,
}

impl BreathMarks {
    fn new(side: Side) -> Self {
        Self {
            side,
            events: [None; 4],
            disputed: false,
        }
    }

    /// The mark of an event.
    pub(crate) fn event(&self, event: usize) -> Option<Input> {
        self.events[event]
    }

    /// Whether its marks are in an order no breath has.
    pub(crate) fn is_disputed(&self) -> bool {
        self.disputed
    }

    pub(crate) fn marks(&self) -> impl Iterator<Item = Input> {
        self.events.iter().copied().flatten()
    }

    /// The mark that says when the breath is taken: mouth clear, else face turn, else face return.
    pub(crate) fn moment(&self) -> Option<Input> {
        self.events[MOUTH_CLEAR]
            .or(self.events[FACE_TURN])
            .or(self.events[FACE_RETURN])
    }

    fn first(&self) -> Option<Input> {
        self.marks().min()
    }
}

/// All breaths in time order.
pub(crate) fn breaths_of(marks: &Marks, left_out: &[bool], flags: &mut Flags) -> Vec<BreathMarks> {
    let mut breaths: Vec<BreathMarks> = Vec::new();
    for side in SIDES {
        let of_side: Vec<Input> = marks
            .select(|mark| mark.kind.body() == Body::Head && mark.side == Some(side))
            .into_iter()
            .filter(|index| !left_out[*index as usize])
            .collect();
        breaths.extend(group(side, &of_side, marks, flags));
    }
    tiny_sort::stable::sort_by_key(&mut breaths, BreathMarks::first);
    breaths
}

fn place(kind: MarkKind) -> usize {
    match kind {
        MarkKind::FaceTurn => FACE_TURN,
        MarkKind::MouthClear => MOUTH_CLEAR,
        MarkKind::FaceReturn => FACE_RETURN,
        _ => EXHALE_START,
    }
}

fn group(side: Side, of_side: &[Input], marks: &Marks, flags: &mut Flags) -> Vec<BreathMarks> {
    let mut breaths: Vec<BreathMarks> = Vec::new();
    for (position, mark) in of_side.iter().copied().enumerate() {
        let event = place(marks.sorted[mark as usize].kind);
        let belongs = breaths.last().is_some_and(|breath| {
            breath.events[event].is_none()
                && match event {
                    FACE_RETURN => true,
                    MOUTH_CLEAR => {
                        breath.events[FACE_RETURN].is_none_or(|back| came_too_late(back, mark, breath, marks))
                    }
                    _ => {
                        breath.events[FACE_RETURN].is_none()
                            && (breath.events[MOUTH_CLEAR].is_none()
                                || face_returns_first(&of_side[position + 1..], marks))
                    }
                }
        });
        if !belongs {
            breaths.push(BreathMarks::new(side));
        }
        let Some(breath) = breaths.last_mut() else {
            continue;
        };
        let late = breath.events[FACE_RETURN].is_some()
            || (event < MOUTH_CLEAR && breath.events[MOUTH_CLEAR].is_some());
        breath.events[event] = Some(mark);
        if late {
            breath.disputed = true;
            let about: Vec<Input> = breath.marks().collect();
            flags.raise(FlagKind::BreathOutOfOrder, about);
        }
    }
    breaths
}

/// A mouth that comes clear just after the face returned, in a breath that has no mouth clear yet although
/// the head turned: one breath in the wrong order.
fn came_too_late(back: Input, mark: Input, breath: &BreathMarks, marks: &Marks) -> bool {
    breath.events[FACE_TURN].is_some()
        && marks.clock.seconds_between(marks.time(back), marks.time(mark)) < ONE_BREATH_S
}

/// Whether the next event that ends or opens a breath ends it.
fn face_returns_first(later: &[Input], marks: &Marks) -> bool {
    later
        .iter()
        .map(|mark| marks.sorted[*mark as usize].kind)
        .find(|kind| matches!(kind, MarkKind::MouthClear | MarkKind::FaceReturn))
        == Some(MarkKind::FaceReturn)
}

/// As the page sees it.
pub(crate) fn written(breath: &BreathMarks, marks: &Marks) -> Breath {
    let time = |event: usize| breath.events[event].map(|mark| marks.time(mark));
    let mut own: Vec<Input> = breath.marks().collect();
    tiny_sort::unstable::sort(&mut own);
    Breath {
        side: breath.side,
        exhale_start: time(EXHALE_START),
        face_turn: time(FACE_TURN),
        mouth_clear: time(MOUTH_CLEAR),
        face_return: time(FACE_RETURN),
        marks: own.into_iter().map(|mark| marks.id(mark)).collect(),
    }
}

/// When breaths are taken, in time order.
#[derive(Clone, Debug, Default)]
pub(crate) struct BreathMoments {
    times: Vec<Ticks>,
}

impl BreathMoments {
    pub(crate) fn of(breaths: &[BreathMarks], marks: &Marks) -> Self {
        let mut times: Vec<Ticks> = breaths
            .iter()
            .filter_map(BreathMarks::moment)
            .map(|mark| marks.time(mark))
            .collect();
        tiny_sort::unstable::sort(&mut times);
        Self { times }
    }

    /// Whether the clip has any breath marked.
    pub(crate) fn any(&self) -> bool {
        !self.times.is_empty()
    }

    /// Whether a breath is taken in `start <= time < end`; `None` when the clip has none.
    pub(crate) fn any_within(&self, start: Ticks, end: Ticks) -> Option<bool> {
        if self.times.is_empty() {
            return None;
        }
        let next = self.times.partition_point(|time| *time < start);
        Some(self.times.get(next).is_some_and(|time| *time < end))
    }
}
