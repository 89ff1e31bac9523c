//! The second marking, blind: which event to ask for next, and which frame to show before it.
//!
//! Cycles come in an order that chance has shuffled, so that the hand cannot fall into the rhythm of the first
//! marking. Each question starts a chance length before the event, so that the frame shown gives nothing away.
//! Both follow from the seed: after a pause the same questions come on the same frames.
//!
//! Not for: the frames on which the earlier marks stand; no step tells them.

use std::collections::HashSet;

use serde::{Deserialize, Serialize};
use time::{Clock, Ticks};

use crate::chance::Chance;
use crate::{Mark, MarkId, MarkKind, Side};

/// A question starts at least this long before the event, true s: no frame may be right without a look.
const SHORTEST_LEAD_S: f64 = 0.10;
/// And at most this long, so that it is found with a few keys.
const LONGEST_LEAD_S: f64 = 0.40;
/// How far past the longest lead the coach is told to look: earlier marks may have been early.
const BEYOND_S: f64 = 0.10;

/// What to ask for next in the second marking.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RemarkStep {
    /// The earlier mark whose event is asked for; names the question.
    pub asked: MarkId,
    /// What to look for.
    pub kind: MarkKind,
    /// Of which side; `None` only for a pass.
    pub side: Option<Side>,
    /// The start of the frame to show first, ticks: a chance length before the event.
    pub time: Ticks,
    /// That frame, from 0.
    pub frame: u32,
    /// How long after that frame the event comes at most, true s.
    pub window_s: f64,
    /// Which of the shuffled cycles this is, from 1.
    pub cycle: u32,
    /// How many there are.
    pub cycles: u32,
    /// How many questions are answered or passed over.
    pub done: u32,
    /// How many there are.
    pub of: u32,
}

/// The next question of a second marking; `None` when every one is answered or passed over.
///
/// `earlier` are the marks of the passage, in any order; `settled` the questions that were answered or passed
/// over.
#[must_use]
pub fn next_remark(clock: &Clock, earlier: &[Mark], settled: &[MarkId], seed: u64) -> Option<RemarkStep> {
    let cycles = shuffled_cycles(earlier, seed);
    let settled: HashSet<MarkId> = settled.iter().copied().collect();
    let is_open = |mark: &&Mark| !settled.contains(&mark.id);
    let (place, mark) = cycles
        .iter()
        .enumerate()
        .find_map(|(place, cycle)| Some((place, cycle.iter().find(is_open)?)))?;
    let open = earlier.iter().filter(is_open).count();
    let times = clock.frame_times();
    let lead_s = lead_s(seed, mark.id);
    let start = mark.time.0 as f64 - lead_s / clock.seconds(1);
    #[expect(clippy::cast_possible_truncation, reason = "a time within the clip")]
    let frame = times
        .frame_at_or_before(Ticks(libm::floor(start) as i64))
        .unwrap_or(0);
    Some(RemarkStep {
        asked: mark.id,
        kind: mark.kind,
        side: mark.side,
        time: times.start(frame)?,
        frame: u32::try_from(frame).ok()?,
        window_s: LONGEST_LEAD_S + BEYOND_S,
        cycle: u32::try_from(place + 1).ok()?,
        cycles: u32::try_from(cycles.len()).ok()?,
        done: u32::try_from(earlier.len() - open).ok()?,
        of: u32::try_from(earlier.len()).ok()?,
    })
}

/// The question that was asked last of those that are answered or passed over: the one to go back to.
#[must_use]
pub fn last_remark(earlier: &[Mark], settled: &[MarkId], seed: u64) -> Option<MarkId> {
    let settled: HashSet<MarkId> = settled.iter().copied().collect();
    shuffled_cycles(earlier, seed)
        .iter()
        .flatten()
        .map(|mark| mark.id)
        .rfind(|id| settled.contains(id))
}

/// How long before its event a question starts, true s: the same for the same question of the same pass.
fn lead_s(seed: u64, asked: MarkId) -> f64 {
    let mut chance = Chance::seeded(seed ^ (u64::from(asked.0) << 32));
    SHORTEST_LEAD_S + (LONGEST_LEAD_S - SHORTEST_LEAD_S) * chance.uniform()
}

/// The marks cycle by cycle, the cycles in the order of chance, the marks of each in order of time.
fn shuffled_cycles(earlier: &[Mark], seed: u64) -> Vec<Vec<Mark>> {
    let mut sorted = earlier.to_vec();
    tiny_sort::unstable::sort_by_key(&mut sorted, |mark| (mark.time, mark.kind, mark.side, mark.id));
    let starts = cycle_starts(&sorted);
    let mut cycles: Vec<Vec<Mark>> = vec![Vec::new(); starts.len().max(1)];
    for mark in sorted {
        // What stands before the first entry goes with the first cycle.
        let cycle = starts
            .partition_point(|start| *start <= mark.time)
            .saturating_sub(1);
        cycles[cycle].push(mark);
    }
    // Without entries there are no cycles to shuffle: then every mark is one.
    if starts.is_empty() {
        cycles = cycles.into_iter().flatten().map(|mark| vec![mark]).collect();
    }
    Chance::seeded(seed).shuffle(&mut cycles);
    cycles
}

/// The entries of the arm that has more of them, in order of time.
fn cycle_starts(sorted: &[Mark]) -> Vec<Ticks> {
    let of = |side| -> Vec<Ticks> {
        sorted
            .iter()
            .filter(|mark| mark.kind == MarkKind::Entry && mark.side == Some(side))
            .map(|mark| mark.time)
            .collect()
    };
    let (left, right) = (of(Side::Left), of(Side::Right));
    if right.len() > left.len() { right } else { left }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use time::{FrameTimes, Timescale};

    fn clock() -> Clock {
        let starts = (0..1_200).map(Ticks).collect();
        Clock::new(
            Timescale::new(60).unwrap(),
            FrameTimes::from_starts(starts, 1).unwrap(),
        )
    }

    /// Twelve cycles of both arms and the entry that ends the last, at 60 frames/s.
    fn marks() -> Vec<Mark> {
        let mut marks = Vec::new();
        for cycle in 0..13 {
            for (side, offset) in [(Side::Left, 2), (Side::Right, 47)] {
                for (kind, frame) in MarkKind::ARM.into_iter().zip([0, 27, 48, 63]) {
                    if cycle < 12 || (kind == MarkKind::Entry && side == Side::Left) {
                        marks.push(Mark {
                            id: MarkId(u32::try_from(marks.len()).unwrap() + 1),
                            kind,
                            side: Some(side),
                            time: Ticks(offset + 90 * cycle + frame),
                        });
                    }
                }
            }
        }
        marks
    }

    fn whole_pass(earlier: &[Mark], seed: u64) -> Vec<RemarkStep> {
        let mut settled = Vec::new();
        let mut steps = Vec::new();
        while let Some(step) = next_remark(&clock(), earlier, &settled, seed) {
            assert_eq!(step.done as usize, settled.len());
            settled.push(step.asked);
            steps.push(step);
        }
        steps
    }

    #[test]
    fn every_event_is_asked_for_once_cycle_by_cycle_in_an_order_of_chance() {
        let earlier = marks();
        let steps = whole_pass(&earlier, 7);
        let asked: BTreeSet<MarkId> = steps.iter().map(|step| step.asked).collect();
        assert_eq!((steps.len(), asked.len()), (earlier.len(), earlier.len()));
        assert!(steps.windows(2).all(|pair| pair[0].cycle <= pair[1].cycle));
        assert_eq!(steps[0].cycles, 13);
        let firsts = |seed| -> Vec<i64> {
            let mut firsts: Vec<i64> = Vec::new();
            for step in whole_pass(&earlier, seed) {
                if firsts.len() < step.cycle as usize {
                    firsts.push(earlier[step.asked.0 as usize - 1].time.0);
                }
            }
            firsts
        };
        assert!(!firsts(7).is_sorted());
        assert_ne!(firsts(7), firsts(8));
        assert_eq!(firsts(7), firsts(7));
    }

    #[test]
    fn the_frame_shown_tells_nothing_but_the_window() {
        let earlier = marks();
        let mut leads = Vec::new();
        for seed in 0..40 {
            for step in whole_pass(&earlier, seed) {
                let event = earlier[step.asked.0 as usize - 1].time;
                let lead_s = clock().seconds_between(step.time, event);
                assert!(lead_s <= step.window_s, "{lead_s}");
                if step.frame > 0 {
                    // Within a frame of the shortest and of the longest lead.
                    assert!(
                        (0.10 - 1e-9..0.40 + 1.0 / 60.0 + 1e-9).contains(&lead_s),
                        "{lead_s}"
                    );
                    leads.push(lead_s);
                }
            }
        }
        // As many leads in each third of the range, within 10 %.
        let thirds = |low: f64| {
            leads
                .iter()
                .filter(|lead| (low..low + 0.1).contains(*lead))
                .count() as f64
        };
        let expected = leads.len() as f64 / 3.0;
        for low in [0.10833, 0.20833, 0.30833] {
            assert!(
                (thirds(low) / expected - 1.0).abs() < 0.1,
                "{} of {expected} from {low}",
                thirds(low)
            );
        }
    }

    #[test]
    fn a_pause_changes_no_question() {
        let earlier = marks();
        let steps = whole_pass(&earlier, 3);
        let settled: Vec<MarkId> = steps[..20].iter().rev().map(|step| step.asked).collect();
        assert_eq!(last_remark(&earlier, &settled, 3), Some(steps[19].asked));
        assert_eq!(last_remark(&earlier, &[], 3), None);
        let mut turned = earlier;
        turned.reverse();
        assert_eq!(next_remark(&clock(), &turned, &settled, 3).unwrap(), steps[20]);
    }

    #[test]
    fn marks_without_entries_come_one_by_one() {
        let breaths: Vec<Mark> = (1..=8)
            .map(|id| Mark {
                id: MarkId(id),
                kind: MarkKind::MouthClear,
                side: Some(Side::Left),
                time: Ticks(100 * i64::from(id)),
            })
            .collect();
        let steps = whole_pass(&breaths, 1);
        assert_eq!((steps.len(), steps[0].cycles), (8, 8));
        assert!(next_remark(&clock(), &[], &[], 1).is_none());
    }
}
