//! The swimmer's strokes, both arms in turn: from one hand's entry to the other's.
//!
//! This is what "breathing stroke" means here: the stroke in which the mouth comes clear.

use time::Ticks;

use crate::Side;
use crate::arm::{Arm, ENTRY};
use crate::breath::BreathMoments;
use crate::ordered::Marks;
use crate::uncertain::Input;

/// A stroke longer than this many usual ones is a stretch that was not marked.
const LONGEST_SHARE: f64 = 2.0;

/// Entries of both arms in time order.
pub(crate) struct Alternation {
    entries: Vec<(Input, Side, Ticks)>,
    longest_ticks: f64,
}

/// From one hand's entry to the other's.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AlternateStroke {
    pub(crate) start: Ticks,
    pub(crate) end: Ticks,
    pub(crate) marks: [Input; 2],
}

impl Alternation {
    #[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
    pub(crate) fn of(arms: &[Arm; 2], marks: &Marks) -> Self {
        let mut entries: Vec<(Input, Side, Ticks)> = arms
            .iter()
            .flat_map(|arm| arm.strokes.iter().map(|stroke| (stroke, arm.side)))
            .filter_map(|(stroke, side)| {
                stroke
                    .event(ENTRY)
                    .ok()
                    .map(|mark| (mark, side, marks.time(mark)))
            })
            .collect();
        tiny_sort::unstable::sort_by_key(&mut entries, |(mark, ..)| *mark);
        let mut lengths: Vec<i64> = entries
            .windows(2)
            .filter(|pair| pair[0].1 != pair[1].1)
            .map(|pair| pair[1].2.0 - pair[0].2.0)
            .collect();
        let longest_ticks = if lengths.is_empty() {
            0.0
        } else {
            let middle = lengths.len() / 2;
            LONGEST_SHARE * *lengths.select_nth_unstable(middle).1 as f64
        };
        Self {
            entries,
            longest_ticks,
        }
    }

    /// The strokes from one hand's entry to the other's, without stretches that were not marked.
    #[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
    pub(crate) fn strokes(&self) -> impl Iterator<Item = AlternateStroke> {
        self.entries
            .windows(2)
            .filter(|pair| pair[0].1 != pair[1].1)
            .filter_map(|pair| {
                let stroke = AlternateStroke {
                    start: pair[0].2,
                    end: pair[1].2,
                    marks: [pair[0].0, pair[1].0],
                };
                let ticks = (stroke.end.0 - stroke.start.0) as f64;
                (ticks > 0.0 && ticks <= self.longest_ticks).then_some(stroke)
            })
    }

    /// Whether a breath is taken in the stroke that contains `time`; `None` outside all strokes and when the
    /// clip has no breath marks.
    pub(crate) fn breathing_at(&self, time: Ticks, breaths: &BreathMoments) -> Option<bool> {
        let after = self.entries.partition_point(|(_, _, start)| *start <= time);
        let start = self.entries.get(after.checked_sub(1)?)?.2;
        let end = self.entries.get(after)?.2;
        breaths.any_within(start, end)
    }

    /// Entries later than `from` and not later than `to`, of any arm.
    pub(crate) fn entries_between(&self, from: Ticks, to: Ticks) -> &[(Input, Side, Ticks)] {
        let first = self.entries.partition_point(|(_, _, time)| *time <= from);
        let last = self.entries.partition_point(|(_, _, time)| *time <= to);
        &self.entries[first..last.max(first)]
    }

    /// The first and the last entry of an arm.
    pub(crate) fn reach(&self, side: Side) -> Option<(Ticks, Ticks)> {
        let first = self.entries.iter().find(|(_, of, _)| *of == side)?;
        let last = self.entries.iter().rfind(|(_, of, _)| *of == side)?;
        Some((first.2, last.2))
    }
}
