//! One arm's marks, told apart into strokes.
//!
//! A stroke starts with the hand's entry (or, where the entry is not marked, with the first event after the
//! exit before it) and ends where the next one starts.

use crate::MarkKind;
use crate::Side;
use crate::flag::{FlagKind, Flags, is_arm_event};
use crate::ordered::Marks;
use crate::uncertain::Input;

/// No swimmer's hand enters twice within this time, s: it would be 100 cycles/min, and maximal sprints are
/// swum at about half of that (48 ± 0.7 cycles/min over 50 m, Front Sports Act Living 2023, 1268146).
const SHORTEST_CYCLE_S: f64 = 0.6;
/// An entry sooner than this part of the arm's usual cycle, with no exit before it, is a slip of the finger.
const SHORTEST_SHARE: f64 = 0.6;
/// No entry for more than this many usual cycles: one has not been marked.
const LONGEST_SHARE: f64 = 1.6;

/// The place of an arm event within a stroke: 0 entry, 1 catch, 2 mid-pull, 3 exit.
pub(crate) const ENTRY: usize = 0;
pub(crate) const CATCH: usize = 1;
pub(crate) const MID_PULL: usize = 2;
pub(crate) const EXIT: usize = 3;

/// One stroke of one arm.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stroke {
    /// Marks of its four events.
    events: [Option<Input>; 4],
    /// Bit per event: marked, but in an impossible order or doubled.
    disputed: u8,
    /// The next stroke's entry, where that follows without a break.
    next_entry: Option<Input>,
    next_entry_disputed: bool,
    /// Counts the arm's entries from 0; `None` where the stroke has no entry mark.
    pub(crate) index: Option<u32>,
}

/// Why an event of a stroke cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unusable {
    NotMarked,
    Disputed,
}

impl Stroke {
    /// The mark of an event, if it can be trusted.
    pub(crate) fn event(&self, event: usize) -> Result<Input, Unusable> {
        let mark = self.events[event].ok_or(Unusable::NotMarked)?;
        if self.disputed & (1 << event) == 0 {
            Ok(mark)
        } else {
            Err(Unusable::Disputed)
        }
    }

    /// The entry that ends the cycle, if it can be trusted.
    pub(crate) fn next_entry(&self) -> Result<Input, Unusable> {
        let mark = self.next_entry.ok_or(Unusable::NotMarked)?;
        if self.next_entry_disputed {
            Err(Unusable::Disputed)
        } else {
            Ok(mark)
        }
    }

    /// The cycle's two entries, trusted or not: the bounds of what is listed as a cycle.
    pub(crate) fn bounds(&self) -> Option<(Input, Input)> {
        Some((self.events[ENTRY]?, self.next_entry?))
    }

    /// Its own marks and the entry that ends it, trusted or not.
    pub(crate) fn marks_to_next_entry(&self) -> impl Iterator<Item = Input> {
        self.marks().chain(self.next_entry)
    }

    /// Its own marks, in the order of the stroke.
    pub(crate) fn marks(&self) -> impl Iterator<Item = Input> {
        self.events.iter().copied().flatten()
    }

    fn dispute(&mut self, event: usize) {
        self.disputed |= 1 << event;
    }
}

/// One arm's strokes in time order.
#[derive(Debug)]
pub(crate) struct Arm {
    pub(crate) side: Side,
    pub(crate) strokes: Vec<Stroke>,
    /// Places in `strokes` of those with an entry mark.
    pub(crate) with_entry: Vec<usize>,
}

impl Arm {
    pub(crate) fn of(side: Side, marks: &Marks, left_out: &[bool], flags: &mut Flags) -> Self {
        let events: Vec<(usize, Input)> = marks
            .select(|mark| is_arm_event(mark, side))
            .into_iter()
            .filter(|index| !left_out[*index as usize])
            .map(|index| (place(marks.sorted[index as usize].kind), index))
            .collect();
        let mut strokes = group(&events, flags);
        let mut with_entry = Vec::new();
        for (place, stroke) in strokes.iter_mut().enumerate() {
            if stroke.events[ENTRY].is_some() {
                stroke.index = u32::try_from(with_entry.len()).ok();
                with_entry.push(place);
            }
        }
        let mut arm = Self {
            side,
            strokes,
            with_entry,
        };
        arm.close_cycles(marks, flags);
        arm
    }

    pub(crate) fn is_marked(&self) -> bool {
        !self.strokes.is_empty()
    }

    /// Strokes that have an entry and, after it without a break, the next.
    pub(crate) fn cycles(&self) -> impl Iterator<Item = &Stroke> {
        self.strokes.iter().filter(|stroke| stroke.bounds().is_some())
    }

    fn close_cycles(&mut self, marks: &Marks, flags: &mut Flags) {
        let usual_s = self.usual_cycle_s(marks);
        let has_exit: Vec<bool> = self
            .strokes
            .iter()
            .map(|stroke| stroke.events[EXIT].is_some())
            .collect();
        let first_exit = has_exit.iter().position(|has| *has);
        let last_exit = has_exit.iter().rposition(|has| *has);
        for (place, exited) in has_exit
            .iter()
            .take(self.strokes.len().saturating_sub(1))
            .enumerate()
        {
            let Some(next) = self.strokes[place + 1].events[ENTRY] else {
                continue;
            };
            let Some(entry) = self.strokes[place].events[ENTRY] else {
                // A stroke of which only the end is seen still has its recovery, if that is not a stretch left out.
                if let Some(exit) = self.strokes[place].events[EXIT] {
                    let recovery_s = marks.clock.seconds_between(marks.time(exit), marks.time(next));
                    if usual_s.is_none_or(|usual_s| recovery_s < usual_s) {
                        self.strokes[place].next_entry = Some(next);
                    }
                }
                continue;
            };
            let cycle_s = marks.clock.seconds_between(marks.time(entry), marks.time(next));
            if usual_s.is_some_and(|usual_s| cycle_s > LONGEST_SHARE * usual_s) {
                flags.raise(FlagKind::UnmarkedStretch, [entry, next]);
                continue;
            }
            self.strokes[place].next_entry = Some(next);
            if *exited {
                continue;
            }
            let too_close = cycle_s < SHORTEST_CYCLE_S.max(usual_s.unwrap_or(0.0) * SHORTEST_SHARE);
            let pulled = self.strokes[place].events[CATCH]
                .or(self.strokes[place].events[MID_PULL])
                .is_some();
            let between_exits = first_exit < Some(place) && last_exit > Some(place) && first_exit.is_some();
            if too_close {
                flags.raise(FlagKind::EntriesTooClose, [entry, next]);
                self.strokes[place].dispute(ENTRY);
                self.strokes[place + 1].dispute(ENTRY);
            } else if pulled || between_exits {
                flags.raise(FlagKind::TwoEntriesWithoutExit, [entry, next]);
            }
        }
        for place in 0..self.strokes.len().saturating_sub(1) {
            self.strokes[place].next_entry_disputed = self.strokes[place + 1].disputed & 1 != 0;
        }
    }

    /// The lower median of the times from entry to entry; `None` with fewer than two of them.
    fn usual_cycle_s(&self, marks: &Marks) -> Option<f64> {
        let mut cycles_s: Vec<f64> = self
            .with_entry
            .windows(2)
            .filter(|pair| pair[1] == pair[0] + 1)
            .filter_map(|pair| {
                let entry = |place: usize| self.strokes[place].events[ENTRY];
                Some(
                    marks
                        .clock
                        .seconds_between(marks.time(entry(pair[0])?), marks.time(entry(pair[1])?)),
                )
            })
            .collect();
        if cycles_s.len() < 2 {
            return None;
        }
        let middle = (cycles_s.len() - 1) / 2;
        Some(*cycles_s.select_nth_unstable_by(middle, f64::total_cmp).1)
    }
}

fn place(kind: MarkKind) -> usize {
    match kind {
        MarkKind::Catch => CATCH,
        MarkKind::MidPull => MID_PULL,
        MarkKind::Exit => EXIT,
        _ => ENTRY,
    }
}

/// Tells strokes apart. An entry always starts one. Without an entry, a catch or mid-pull after an exit
/// starts one where its own exit follows too.
fn group(events: &[(usize, Input)], flags: &mut Flags) -> Vec<Stroke> {
    let has_entries = events.iter().any(|(event, _)| *event == ENTRY);
    let mut strokes: Vec<Stroke> = Vec::new();
    for (position, (event, mark)) in events.iter().copied().enumerate() {
        let alone = |event: usize| {
            let mut stroke = Stroke::default();
            stroke.events[event] = Some(mark);
            stroke
        };
        let Some(stroke) = strokes.last_mut().filter(|_| event != ENTRY) else {
            strokes.push(alone(event));
            continue;
        };
        let exited = stroke.events[EXIT].is_some();
        match stroke.events[event] {
            None if stroke.events[event + 1..].iter().all(Option::is_none) => {
                stroke.events[event] = Some(mark)
            }
            // Earlier in the stroke than what is already there, and not yet marked.
            None if !has_entries || (exited && another_exit_follows(&events[position..])) => {
                if has_entries {
                    flags.raise(FlagKind::CatchWithoutEntry, [mark]);
                }
                strokes.push(alone(event));
            }
            None => {
                let later = (event + 1..4).filter(|later| stroke.events[*later].is_some());
                for later in later.collect::<Vec<_>>() {
                    stroke.dispute(later);
                }
                stroke.dispute(event);
                stroke.events[event] = Some(mark);
                let kind = if exited {
                    FlagKind::ExitBeforeCatch
                } else {
                    FlagKind::MidPullBeforeCatch
                };
                let about: Vec<Input> = stroke.events[event..].iter().copied().flatten().collect();
                flags.raise_together(kind, &about);
            }
            Some(_) if !has_entries => strokes.push(alone(event)),
            Some(_) if exited && event != EXIT => {
                flags.raise(FlagKind::CatchWithoutEntry, [mark]);
                strokes.push(alone(event));
            }
            Some(first) => {
                flags.raise(FlagKind::EventTwiceInStroke, [first, mark]);
                stroke.dispute(event);
            }
        }
    }
    strokes
}

/// Whether this stroke has an exit of its own before the hand's next entry.
fn another_exit_follows(events: &[(usize, Input)]) -> bool {
    events
        .iter()
        .take_while(|(event, _)| *event != ENTRY)
        .any(|(event, _)| *event == EXIT)
}
