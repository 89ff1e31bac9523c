//! The drive: whether none, one or both arms propel, wherever both arms are known.
//!
//! An arm propels from its catch to its exit (pull and push). Where an arm's marks do not say, nothing is
//! listed: a stretch without marks is not a gap.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::Side;
use crate::arm::{Arm, CATCH, ENTRY, EXIT};
use crate::breath::BreathMoments;
use crate::ordered::Marks;
use crate::strokes::Alternation;
use crate::uncertain::Input;

/// Which arms propel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DriveArms {
    /// Neither.
    None,
    /// The left.
    Left,
    /// The right.
    Right,
    /// Both.
    Both,
}

/// A stretch in which the same arms propel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DriveStretch {
    /// Ticks.
    pub start: Ticks,
    /// Ticks.
    pub end: Ticks,
    /// Which arms propel.
    pub arms: DriveArms,
    /// Its length, true ms.
    pub length_ms: f64,
    /// Standard uncertainty of the length (1 SD), ms.
    pub uncertainty_ms: f64,
    /// Its length in frames, as one counts them by stepping.
    pub length_frames: u32,
    /// Whether both ends are events; `false` where the stretch is cut off because an arm is not known
    /// beyond: its length is then only "at least".
    pub whole: bool,
    /// Of a stretch in which neither propels: the arm whose catch ends it.
    pub waiting: Option<Side>,
    /// Whether a breath is taken in the stroke (one hand's entry to the other's) that holds its middle.
    pub breathing: Option<bool>,
}

/// An arm's state over a stretch between two marks.
#[derive(Clone, Copy)]
struct Known {
    start: Input,
    end: Input,
    propels: bool,
}

/// The drive of both arms, in time order.
pub(crate) fn drive_of(
    arms: &[Arm; 2],
    marks: &Marks,
    alternation: &Alternation,
    breaths: &BreathMoments,
) -> Vec<DriveStretch> {
    let [left, right] = [known_of(&arms[0], marks), known_of(&arms[1], marks)];
    let mut stretches: Vec<(Input, Input, DriveArms)> = Vec::with_capacity(left.len() + right.len());
    let (mut on_left, mut on_right) = (left.iter().peekable(), right.iter().peekable());
    while let (Some(of_left), Some(of_right)) = (on_left.peek(), on_right.peek()) {
        let start = later(of_left.start, of_right.start, marks);
        let end = earlier(of_left.end, of_right.end, marks);
        if marks.time(start) < marks.time(end) {
            let state = match (of_left.propels, of_right.propels) {
                (false, false) => DriveArms::None,
                (true, false) => DriveArms::Left,
                (false, true) => DriveArms::Right,
                (true, true) => DriveArms::Both,
            };
            match stretches.last_mut() {
                Some((_, until, same)) if *same == state && marks.time(*until) == marks.time(start) => {
                    *until = end
                }
                _ => stretches.push((start, end, state)),
            }
        }
        if marks.time(of_left.end) <= marks.time(of_right.end) {
            on_left.next()
        } else {
            on_right.next()
        };
    }
    (0..stretches.len())
        .map(|place| {
            let (start, end, state) = stretches[place];
            let before = place.checked_sub(1).and_then(|before| stretches.get(before));
            let before = before.filter(|(_, until, _)| marks.time(*until) == marks.time(start));
            let after = stretches
                .get(place + 1)
                .filter(|(from, ..)| marks.time(*from) == marks.time(end));
            let length_s = marks.seconds(start, end);
            let middle = Ticks(marks.time(start).0.midpoint(marks.time(end).0));
            DriveStretch {
                start: marks.time(start),
                end: marks.time(end),
                arms: state,
                length_ms: 1e3 * length_s.value,
                uncertainty_ms: 1e3 * length_s.uncertainty(&marks.variances_s2),
                length_frames: marks.frame(end) - marks.frame(start),
                whole: before.is_some() && after.is_some(),
                waiting: match (state, after) {
                    (DriveArms::None, Some((_, _, DriveArms::Left))) => Some(Side::Left),
                    (DriveArms::None, Some((_, _, DriveArms::Right))) => Some(Side::Right),
                    _ => None,
                },
                breathing: alternation.breathing_at(middle, breaths),
            }
        })
        .collect()
}

fn later(one: Input, other: Input, marks: &Marks) -> Input {
    if marks.time(one) >= marks.time(other) {
        one
    } else {
        other
    }
}

fn earlier(one: Input, other: Input, marks: &Marks) -> Input {
    if marks.time(one) <= marks.time(other) {
        one
    } else {
        other
    }
}

/// Where the arm is known to propel or not to, in time order.
fn known_of(arm: &Arm, marks: &Marks) -> Vec<Known> {
    let mut known = Vec::with_capacity(3 * arm.strokes.len());
    let mut add = |start: Result<Input, _>, end: Result<Input, _>, propels: bool| {
        if let (Ok(start), Ok(end)) = (start, end) {
            known.push(Known { start, end, propels });
        }
    };
    let usual_ticks = if arm.with_entry.is_empty() {
        usual_catch_to_catch(arm, marks)
    } else {
        None
    };
    for (place, stroke) in arm.strokes.iter().enumerate() {
        add(stroke.event(ENTRY), stroke.event(CATCH), false);
        add(stroke.event(CATCH), stroke.event(EXIT), true);
        if !arm.with_entry.is_empty() {
            add(stroke.event(EXIT), stroke.next_entry(), false);
        } else if let (Ok(exit), Some(Ok(catch))) = (
            stroke.event(EXIT),
            arm.strokes.get(place + 1).map(|next| next.event(CATCH)),
        ) && usual_ticks.is_some_and(|usual| marks.time(catch).0 - marks.time(exit).0 < usual)
        {
            add(Ok(exit), Ok(catch), false);
        }
    }
    known
}

/// Of an arm without entry marks: the lower median of the ticks from catch to catch. A recovery longer than
/// that is a stretch that was not marked.
fn usual_catch_to_catch(arm: &Arm, marks: &Marks) -> Option<i64> {
    let catches: Vec<i64> = arm
        .strokes
        .iter()
        .filter_map(|stroke| stroke.event(CATCH).ok())
        .map(|mark| marks.time(mark).0)
        .collect();
    let mut ticks: Vec<i64> = catches.windows(2).map(|pair| pair[1] - pair[0]).collect();
    if ticks.is_empty() {
        return None;
    }
    let middle = (ticks.len() - 1) / 2;
    Some(*ticks.select_nth_unstable(middle).1)
}
