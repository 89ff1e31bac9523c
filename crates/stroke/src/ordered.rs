//! The marks of a passage in time order, each with the frame it stands on and the error of its time.

use time::{Clock, Ticks};

use crate::uncertain::{Estimate, Input};
use crate::{Mark, MarkId, Passage, Side};

/// Marks sorted by time, then by kind in the order of the stroke, then by side and name: the order in
/// which they were given changes nothing.
pub(crate) struct Marks<'a> {
    pub(crate) clock: &'a Clock,
    pub(crate) sorted: Vec<Mark>,
    /// The frame that each mark stands on.
    pub(crate) frames: Vec<u32>,
    /// Variance of each mark's time, s²: d²/12 with d the true length of its frame; the last entry is the
    /// variance of the stated speed.
    pub(crate) variances_s2: Vec<f64>,
}

impl<'a> Marks<'a> {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a frame table holds at most 2^25 frames"
    )]
    pub(crate) fn of(passage: &Passage<'a>) -> Self {
        let mut sorted = passage.marks.to_vec();
        sorted.sort_unstable_by_key(|mark| (mark.time, mark.kind, mark.side, mark.id));
        let times = passage.clock.frame_times();
        let frames: Vec<u32> = sorted
            .iter()
            .map(|mark| times.frame_at_or_before(mark.time).unwrap_or(0) as u32)
            .collect();
        let mut variances_s2: Vec<f64> = frames
            .iter()
            .map(|frame| {
                passage
                    .clock
                    .spacing_s(*frame as usize)
                    .map_or(0.0, |spacing| spacing * spacing / 12.0)
            })
            .collect();
        variances_s2.push(0.0);
        Self {
            clock: passage.clock,
            sorted,
            frames,
            variances_s2,
        }
    }

    /// The input that stands for the stated speed.
    #[expect(clippy::cast_possible_truncation, reason = "marks are named by 32 bits")]
    pub(crate) fn speed_input(&self) -> Input {
        self.sorted.len() as Input
    }

    pub(crate) fn time(&self, index: Input) -> Ticks {
        self.sorted[index as usize].time
    }

    pub(crate) fn id(&self, index: Input) -> MarkId {
        self.sorted[index as usize].id
    }

    pub(crate) fn frame(&self, index: Input) -> u32 {
        self.frames[index as usize]
    }

    /// True seconds from one mark to another.
    pub(crate) fn seconds(&self, from: Input, to: Input) -> Estimate {
        Estimate::between(
            self.clock.seconds_between(self.time(from), self.time(to)),
            from,
            to,
        )
    }

    /// Frames from one mark to another, as one counts them by stepping.
    pub(crate) fn frames_between(&self, from: Input, to: Input) -> Estimate {
        Estimate::between(f64::from(self.frame(to)) - f64::from(self.frame(from)), from, to)
    }

    /// Marks that `keep` holds for, by index, in time order.
    #[expect(clippy::cast_possible_truncation, reason = "marks are named by 32 bits")]
    pub(crate) fn select(&self, keep: impl Fn(&Mark) -> bool) -> Vec<Input> {
        self.sorted
            .iter()
            .enumerate()
            .filter(|(_, mark)| keep(mark))
            .map(|(index, _)| index as Input)
            .collect()
    }
}

/// Two sides, in the order in which everything that has two sides is listed.
pub(crate) const SIDES: [Side; 2] = [Side::Left, Side::Right];
