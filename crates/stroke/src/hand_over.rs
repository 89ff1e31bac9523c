//! The hand-over of the work from one arm to the other: one arm's exit and the other's catch.
//!
//! Source: index of coordination, Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54-59 (definition
//! from memory; sign and averaging as in Seifert, Chollet & Allard 2005, Hum Mov Sci).

use time::Ticks;

use crate::Side;
use crate::absence::AbsenceKind;
use crate::arm::{Arm, CATCH, ENTRY, EXIT, Stroke, Unusable};
use crate::breath::BreathMoments;
use crate::ordered::Marks;
use crate::strokes::Alternation;
use crate::uncertain::{Estimate, Input};

/// From a complete cycle of one arm to the stroke of the other arm whose entry lies in it.
pub(crate) struct HandOver<'a> {
    pub(crate) ending_side: Side,
    pub(crate) waiting_side: Side,
    /// The cycle whose propulsion ends.
    pub(crate) ending: &'a Stroke,
    /// The other arm's stroke that follows.
    pub(crate) waiting: Option<&'a Stroke>,
    pub(crate) moments: Result<Moments, AbsenceKind>,
    /// Whether a breath is taken in the stroke (one hand's entry to the other's) that holds its middle.
    pub(crate) breathing: Option<bool>,
}

/// The marks of a hand-over.
#[derive(Clone, Copy)]
pub(crate) struct Moments {
    entry: Input,
    exit: Input,
    next_entry: Input,
    catch: Input,
}

impl Moments {
    fn gap(self, marks: &Marks) -> Estimate {
        marks.seconds(self.exit, self.catch)
    }

    fn cycle(self, marks: &Marks) -> Estimate {
        marks.seconds(self.entry, self.next_entry)
    }

    /// % of the cycle whose propulsion ends; negative in catch-up.
    pub(crate) fn index_of_coordination(self, marks: &Marks) -> Estimate {
        self.gap(marks) * -100.0 / &self.cycle(marks)
    }

    /// s; negative = overlap.
    pub(crate) fn propulsive_gap(self, marks: &Marks) -> Estimate {
        self.gap(marks)
    }

    /// Frames.
    pub(crate) fn propulsive_gap_frames(self, marks: &Marks) -> Estimate {
        marks.frames_between(self.exit, self.catch)
    }

    /// % of the cycle whose propulsion ends.
    pub(crate) fn propulsive_gap_share(self, marks: &Marks) -> Estimate {
        self.gap(marks) * 100.0 / &self.cycle(marks)
    }

    /// s; positive = the lead arm still waits when the other hand comes in.
    pub(crate) fn lead_arm_lag(self, marks: &Marks) -> Estimate {
        marks.seconds(self.next_entry, self.catch)
    }

    fn middle(self, marks: &Marks) -> Ticks {
        Ticks(marks.time(self.exit).0.midpoint(marks.time(self.catch).0))
    }
}

/// One hand-over for each complete cycle of `ending`, in time order.
pub(crate) fn hand_overs<'a>(
    ending: &'a Arm,
    waiting: &'a Arm,
    marks: &Marks,
    alternation: &Alternation,
    breaths: &BreathMoments,
) -> Vec<HandOver<'a>> {
    ending
        .cycles()
        .map(|cycle| {
            let next = stroke_within(cycle, waiting, marks);
            let moments = moments_of(cycle, next, waiting);
            HandOver {
                ending_side: ending.side,
                waiting_side: waiting.side,
                ending: cycle,
                waiting: next,
                moments,
                breathing: moments
                    .ok()
                    .and_then(|moments| alternation.breathing_at(moments.middle(marks), breaths)),
            }
        })
        .collect()
}

/// The other arm's stroke whose entry lies in the cycle; of several, the one whose catch is nearest to the exit.
fn stroke_within<'a>(cycle: &Stroke, other: &'a Arm, marks: &Marks) -> Option<&'a Stroke> {
    let (start, end) = cycle.bounds()?;
    let entry_of = |place: &usize| other.strokes[*place].marks().next().unwrap_or(0);
    let first = other.with_entry.partition_point(|place| entry_of(place) < start);
    let within = other.with_entry[first..]
        .iter()
        .take_while(|place| entry_of(place) < end);
    let exit = cycle.event(EXIT).unwrap_or(end);
    within
        .map(|place| &other.strokes[*place])
        .min_by_key(|stroke| match stroke.event(CATCH) {
            Ok(catch) => marks.time(catch).0.abs_diff(marks.time(exit).0),
            Err(_) => u64::MAX,
        })
}

fn moments_of(cycle: &Stroke, next: Option<&Stroke>, other: &Arm) -> Result<Moments, AbsenceKind> {
    let reason = |not_marked: AbsenceKind| {
        move |unusable: Unusable| match unusable {
            Unusable::NotMarked => not_marked,
            Unusable::Disputed => AbsenceKind::ImpossibleOrder,
        }
    };
    let entry = cycle.event(ENTRY).map_err(reason(AbsenceKind::NoCompleteCycle))?;
    let next_entry = cycle.next_entry().map_err(reason(AbsenceKind::NoCompleteCycle))?;
    let exit = cycle.event(EXIT).map_err(reason(AbsenceKind::NoExit))?;
    if !other.is_marked() {
        return Err(AbsenceKind::OtherArmNotMarked);
    }
    let next = next.ok_or(AbsenceKind::NoOtherEntry)?;
    next.event(ENTRY).map_err(reason(AbsenceKind::NoOtherEntry))?;
    let catch = next.event(CATCH).map_err(reason(AbsenceKind::NoOtherCatch))?;
    Ok(Moments {
        entry,
        exit,
        next_entry,
        catch,
    })
}
