//! Marks that cannot be right: which ones, what they spoil, and how to mend it.
//!
//! A flag never removes a mark. A measure that an impossible order makes meaningless is withheld with that
//! reason; one that is only in doubt keeps its value; both point to the flag.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::mark::Body;
use crate::ordered::Marks;
use crate::uncertain::Input;
use crate::{Mark, MarkId, MarkKind, MeasureKind, Side};

/// What is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FlagKind {
    /// Two marks of one kind and side on one frame.
    SameFrame,
    /// A mark whose side its kind cannot have.
    ImpossibleSide,
    /// Two entries of one arm with no exit between them.
    TwoEntriesWithoutExit,
    /// Two entries of one arm closer than a cycle can be.
    EntriesTooClose,
    /// Much longer than the usual cycle without an entry: nothing is measured across it.
    UnmarkedStretch,
    /// A stroke that starts without an entry although this arm's entries are marked.
    CatchWithoutEntry,
    /// The exit comes before the catch or the mid-pull of its stroke.
    ExitBeforeCatch,
    /// The mid-pull comes before the catch of its stroke.
    MidPullBeforeCatch,
    /// One event marked twice in one stroke.
    EventTwiceInStroke,
    /// Breath marks of one breath in an order no breath has.
    BreathOutOfOrder,
    /// A kick-out's end with no start before it.
    KickOutEndWithoutStart,
    /// A kick-out's start followed by another start of the same side.
    KickOutStartWithoutEnd,
}

/// One thing that is wrong with some marks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Flag {
    /// What is wrong.
    pub kind: FlagKind,
    /// The marks in question, in time order.
    pub marks: Vec<MarkId>,
    /// The earliest of them, ticks.
    pub start: Ticks,
    /// The latest of them, ticks.
    pub end: Ticks,
    /// The kinds of measure that it spoils or puts in doubt, where they use these marks.
    pub spoils: Vec<MeasureKind>,
    /// What is wrong, for the coach.
    pub message: String,
    /// How to mend it.
    pub hint: String,
}

/// Flags as they are found, with the marks they speak of.
#[derive(Default)]
pub(crate) struct Flags {
    pub(crate) found: Vec<(FlagKind, Vec<Input>)>,
}

impl Flags {
    pub(crate) fn raise(&mut self, kind: FlagKind, marks: impl Into<Vec<Input>>) {
        let mut marks = marks.into();
        tiny_sort::unstable::sort(&mut marks);
        marks.dedup();
        self.found.push((kind, marks));
    }

    /// Like [`Self::raise`], but a mark that is wrong towards several others makes one flag, not several.
    pub(crate) fn raise_together(&mut self, kind: FlagKind, marks: &[Input]) {
        match self.found.last_mut() {
            Some((last, about)) if *last == kind && marks.iter().any(|mark| about.contains(mark)) => {
                about.extend_from_slice(marks);
                tiny_sort::unstable::sort(about);
                about.dedup();
            }
            _ => self.raise(kind, marks),
        }
    }

    /// In time order, with their words; and for each mark the flags that speak of it (empty when there are
    /// no flags at all).
    #[expect(
        clippy::cast_possible_truncation,
        reason = "there are no more flags than marks"
    )]
    pub(crate) fn finish(mut self, marks: &Marks) -> (Vec<Flag>, Vec<Vec<u32>>) {
        if self.found.is_empty() {
            return (Vec::new(), Vec::new());
        }
        tiny_sort::stable::sort_by(&mut self.found, |(kind, about), (other_kind, other_about)| {
            (about, kind).cmp(&(other_about, other_kind))
        });
        let mut by_mark = vec![Vec::new(); marks.sorted.len()];
        let flags = self
            .found
            .iter()
            .enumerate()
            .map(|(index, (kind, about))| {
                for mark in about {
                    by_mark[*mark as usize].push(index as u32);
                }
                words(*kind, about, marks)
            })
            .collect();
        (flags, by_mark)
    }
}

/// Flags that need no knowledge of strokes: doubled marks and impossible sides. Returns, for each mark,
/// whether it is left out of the grouping because an equal mark already stands there or its side is none.
pub(crate) fn doubled_or_sideless(marks: &Marks, flags: &mut Flags) -> Vec<bool> {
    let mut left_out = vec![false; marks.sorted.len()];
    let mut latest: Vec<((MarkKind, Option<Side>), Input)> = Vec::new();
    for (index, mark) in (0..).zip(&marks.sorted) {
        if !mark.kind.allows(mark.side) {
            flags.raise(FlagKind::ImpossibleSide, [index]);
            left_out[index as usize] = true;
            continue;
        }
        let key = (mark.kind, mark.side);
        match latest.iter_mut().find(|(known, _)| *known == key) {
            Some((_, before)) if marks.frame(*before) == marks.frame(index) => {
                flags.raise(FlagKind::SameFrame, [*before, index]);
                left_out[index as usize] = true;
            }
            Some((_, before)) => *before = index,
            None => latest.push((key, index)),
        }
    }
    left_out
}

fn words(kind: FlagKind, about: &[Input], marks: &Marks) -> Flag {
    let named: Vec<String> = about
        .iter()
        .map(|index| name(&marks.sorted[*index as usize], marks.frame(*index)))
        .collect();
    let list = named.join(", ");
    let (message, hint) = match kind {
        FlagKind::SameFrame => (
            format!("The same event is marked twice on one frame: {list}."),
            "Delete one of the two.",
        ),
        FlagKind::ImpossibleSide => (
            format!("This event cannot have that side: {list}."),
            "Arms and breaths are left or right; legs left, right or both; a pass has no side. Retype the mark.",
        ),
        FlagKind::TwoEntriesWithoutExit => (
            format!("The same hand enters twice without leaving the water: {list}."),
            "Mark the exit between them, or delete the entry that is not one.",
        ),
        FlagKind::EntriesTooClose => (
            format!("Two entries of one hand closer together than a stroke cycle can be: {list}."),
            "Delete the entry that is not one, or give it to the other arm.",
        ),
        FlagKind::UnmarkedStretch => (
            format!("No entry of this arm for much longer than its usual cycle: {list}."),
            "Mark the entries between them. If the stretch is left out on purpose, nothing is measured across it.",
        ),
        FlagKind::CatchWithoutEntry => (
            format!("A stroke starts without the hand entering: {list}."),
            "Mark the entry before it, or delete the marks that are not of this arm.",
        ),
        FlagKind::ExitBeforeCatch => (
            format!("The hand leaves the water before it has pulled: {list}."),
            "Move the exit behind the catch and the mid-pull, or retype the mark that is wrong.",
        ),
        FlagKind::MidPullBeforeCatch => (
            format!("The mid-pull comes before the catch: {list}."),
            "Swap the two marks, or move the one that is wrong.",
        ),
        FlagKind::EventTwiceInStroke => (
            format!("The same event twice in one stroke: {list}."),
            "Delete the one that is wrong, or mark the entry between them if they are two strokes.",
        ),
        FlagKind::BreathOutOfOrder => (
            format!("Breath marks in an order no breath has: {list}."),
            "The exhalation and the turn of the head come before the mouth is clear, the face returns last. Move or retype the mark that is wrong.",
        ),
        FlagKind::KickOutEndWithoutStart => (
            format!("The legs close without having parted: {list}."),
            "Mark the kick-out's start before it, or delete the mark.",
        ),
        FlagKind::KickOutStartWithoutEnd => (
            format!("The legs part twice without closing: {list}."),
            "Mark the kick-out's end between them, or delete the start that is not one.",
        ),
    };
    let time = |index: Option<&Input>| index.map_or_else(Ticks::default, |index| marks.time(*index));
    Flag {
        kind,
        marks: about.iter().map(|index| marks.id(*index)).collect(),
        start: time(about.first()),
        end: time(about.last()),
        spoils: spoiled_by(kind, about, marks),
        message,
        hint: hint.to_owned(),
    }
}

fn name(mark: &Mark, frame: u32) -> String {
    let side = match mark.side {
        Some(Side::Left) => "left ",
        Some(Side::Right) => "right ",
        Some(Side::Both) => "both legs' ",
        None => "",
    };
    format!("{side}{} on frame {frame}", mark.kind.words())
}

fn spoiled_by(kind: FlagKind, about: &[Input], marks: &Marks) -> Vec<MeasureKind> {
    let mut events: Vec<MarkKind> = about
        .iter()
        .map(|index| marks.sorted[*index as usize].kind)
        .collect();
    match kind {
        FlagKind::CatchWithoutEntry => events.push(MarkKind::Entry),
        FlagKind::TwoEntriesWithoutExit => events.push(MarkKind::Exit),
        _ => {}
    }
    tiny_sort::unstable::sort(&mut events);
    events.dedup();
    MeasureKind::ALL
        .iter()
        .copied()
        .filter(|measure| measure.uses().iter().any(|used| events.contains(used)))
        .collect()
}

/// Whether the mark is an arm event of that side.
pub(crate) fn is_arm_event(mark: &Mark, side: Side) -> bool {
    mark.kind.body() == Body::Arm && mark.side == Some(side)
}
