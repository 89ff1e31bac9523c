//! When each frame of a clip starts: the one clock that marks, measures and the screen share.
//!
//! Written out as runs of equal spacing, since most clips have few: a constant-rate clip of any length is
//! one run.

use std::cmp::Ordering;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::{FineTime, Ticks, TimeError};

/// The start of every frame in presentation order, strictly increasing, and the end of the last one.
///
/// A frame stands for the half-open interval from its own start to the next frame's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "FrameRuns", into = "FrameRuns")]
#[cfg_attr(feature = "schema", schemars(with = "FrameRuns"))]
pub struct FrameTimes {
    /// Shared: a long clip has many frames, and each look at its measures takes a clock.
    starts: Arc<[Ticks]>,
    end: Ticks,
    /// Asked for with every analysis.
    median_spacing: i64,
}

/// The written form: the first start, then `[count, spacing]` for each run of frames equally long in ticks.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename = "FrameTimes", deny_unknown_fields)]
struct FrameRuns {
    /// Presentation time of the first frame, ticks.
    first: Ticks,
    /// `[count, spacing in ticks]`, in presentation order; both at least 1.
    runs: Vec<(u32, i64)>,
}

/// More frames than any clip a coach films (a day at 240 frames/s is 20 million); a session file that
/// claims more is refused before memory is asked for.
const MOST_FRAMES: u64 = 1 << 25;

impl FrameTimes {
    /// From the starts in presentation order and the duration of the last frame in ticks.
    ///
    /// # Errors
    /// [`TimeError::NoFrames`], [`TimeError::NotIncreasing`] or [`TimeError::LastDuration`].
    pub fn from_starts(starts: Vec<Ticks>, last_duration: i64) -> Result<Self, TimeError> {
        let last = *starts.last().ok_or(TimeError::NoFrames)?;
        for (index, pair) in starts.windows(2).enumerate() {
            if pair[1] <= pair[0] {
                return Err(TimeError::NotIncreasing {
                    frame: index + 1,
                    start: pair[1].0,
                    before: pair[0].0,
                });
            }
        }
        let end = last.0.checked_add(last_duration).filter(|_| last_duration > 0);
        let end = Ticks(end.ok_or(TimeError::LastDuration {
            duration: last_duration,
        })?);
        Ok(Self::of(starts, end))
    }

    /// `starts` strictly increase and end before `end`.
    fn of(starts: Vec<Ticks>, end: Ticks) -> Self {
        let ends = starts.iter().skip(1).chain([&end]);
        let mut spacings: Vec<i64> = starts
            .iter()
            .zip(ends)
            .map(|(start, end)| end.0 - start.0)
            .collect();
        let middle = (spacings.len() - 1) / 2;
        let median_spacing = *spacings.select_nth_unstable(middle).1;
        Self {
            starts: starts.into(),
            end,
            median_spacing,
        }
    }

    /// How many frames; at least 1.
    #[inline]
    #[must_use]
    #[expect(clippy::len_without_is_empty, reason = "there is always at least one frame")]
    pub fn len(&self) -> usize {
        self.starts.len()
    }

    /// Every start, in presentation order.
    #[must_use]
    pub fn starts(&self) -> &[Ticks] {
        &self.starts
    }

    /// The start of frame `frame`, counted from 0.
    #[inline]
    #[must_use]
    pub fn start(&self, frame: usize) -> Option<Ticks> {
        self.starts.get(frame).copied()
    }

    /// The start of the first frame.
    #[must_use]
    pub fn first(&self) -> Ticks {
        self.starts.first().copied().unwrap_or_default()
    }

    /// The end of the last frame.
    #[must_use]
    pub fn end(&self) -> Ticks {
        self.end
    }

    /// How long frame `frame` stands, in ticks: up to the next frame's start.
    #[inline]
    #[must_use]
    pub fn spacing(&self, frame: usize) -> Option<i64> {
        let start = self.start(frame)?;
        let next = self.start(frame + 1).unwrap_or(self.end);
        Some(next.0 - start.0)
    }

    /// The frame that starts exactly at `time`.
    #[must_use]
    pub fn frame_at(&self, time: Ticks) -> Option<usize> {
        self.frame_at_or_before(time)
            .filter(|frame| self.starts[*frame] == time)
    }

    /// The frame shown at `time`: the last that starts at or before it. `None` before the first frame.
    #[must_use]
    pub fn frame_at_or_before(&self, time: Ticks) -> Option<usize> {
        // Where the rate is constant, the first guess is right.
        let guess = time.0.saturating_sub(self.first().0) / self.median_spacing;
        let guess = usize::try_from(guess).ok()?;
        match self.starts.get(guess..) {
            Some([start, rest @ ..]) if *start <= time && rest.first().is_none_or(|next| *next > time) => {
                Some(guess)
            }
            _ => self.starts.partition_point(|start| *start <= time).checked_sub(1),
        }
    }

    /// The frame whose start is nearest to `time`; the earlier of two equally near. Exact: compared in
    /// integers, also between two ticks.
    #[must_use]
    pub fn nearest_frame(&self, time: impl Into<FineTime>) -> usize {
        let time = time.into();
        let Some(before) = self.frame_at_or_before(time.whole()) else {
            return 0;
        };
        let Some(after) = self.start(before + 1) else {
            return before;
        };
        match time.against_middle_of(self.starts[before], after) {
            Ordering::Greater => before + 1,
            Ordering::Less | Ordering::Equal => before,
        }
    }

    /// The median spacing in ticks: the lower of the two middle ones when their number is even, so that it
    /// is a spacing that occurs.
    #[inline]
    #[must_use]
    pub fn median_spacing(&self) -> i64 {
        self.median_spacing
    }
}

impl TryFrom<FrameRuns> for FrameTimes {
    type Error = String;

    fn try_from(written: FrameRuns) -> Result<Self, Self::Error> {
        let count: u64 = written.runs.iter().map(|(count, _)| u64::from(*count)).sum();
        if count == 0 || count > MOST_FRAMES {
            return Err(format!(
                "frame_times has {count} frames; 1 to {MOST_FRAMES} are possible"
            ));
        }
        let mut starts = Vec::with_capacity(usize::try_from(count).map_err(|error| error.to_string())?);
        let mut time = written.first.0;
        for (count, spacing) in written.runs {
            if spacing < 1 {
                return Err(format!("frame_times has a run with a spacing of {spacing} ticks"));
            }
            for _ in 0..count {
                starts.push(Ticks(time));
                time = time
                    .checked_add(spacing)
                    .ok_or("frame_times runs beyond the range of a 64-bit time")?;
            }
        }
        Ok(Self::of(starts, Ticks(time)))
    }
}

impl From<FrameTimes> for FrameRuns {
    fn from(times: FrameTimes) -> Self {
        let mut runs: Vec<(u32, i64)> = Vec::new();
        for spacing in (0..times.len()).filter_map(|frame| times.spacing(frame)) {
            match runs.last_mut() {
                Some((count, last)) if *last == spacing => *count += 1,
                _ => runs.push((1, spacing)),
            }
        }
        Self {
            first: times.first(),
            runs,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::num::NonZeroU64;

    use proptest::prelude::*;

    use super::*;

    fn frame_times() -> impl Strategy<Value = FrameTimes> {
        (
            -1_000_000_i64..1_000_000,
            prop::collection::vec(1_u32..5_000, 1..60),
        )
            .prop_map(|(first, spacings)| {
                let mut starts = vec![Ticks(first)];
                for spacing in &spacings[..spacings.len() - 1] {
                    starts.push(Ticks(starts[starts.len() - 1].0 + i64::from(*spacing)));
                }
                FrameTimes::from_starts(starts, i64::from(spacings[spacings.len() - 1])).unwrap()
            })
    }

    proptest! {
        #[test]
        fn the_written_form_reads_back_the_same(times in frame_times()) {
            let text = serde_json::to_string(&times).unwrap();
            prop_assert_eq!(serde_json::from_str::<FrameTimes>(&text).unwrap(), times);
        }

        #[test]
        fn every_tick_of_the_clip_belongs_to_the_frame_that_is_shown_then(times in frame_times(), at in 0.0..1.0_f64) {
            let span = times.end().0 - times.first().0;
            #[expect(clippy::cast_possible_truncation, reason = "a test picks a tick")]
            let time = Ticks(times.first().0 + (at * span as f64) as i64);
            let frame = times.frame_at_or_before(time).unwrap();
            let start = times.start(frame).unwrap();
            prop_assert!(start <= time && time.0 < start.0 + times.spacing(frame).unwrap());
        }

        #[test]
        fn a_time_outside_the_clip_has_the_frame_before_it_or_none(times in frame_times(), by in 1_i64..) {
            let before = Ticks(times.first().0.saturating_sub(by));
            let after = Ticks(times.end().0.saturating_add(by));
            prop_assert_eq!(times.frame_at_or_before(before), None);
            prop_assert_eq!(times.frame_at_or_before(after), Some(times.len() - 1));
            prop_assert_eq!(times.frame_at(after), None);
        }

        #[test]
        fn the_nearest_frame_is_no_farther_than_any_other(times in frame_times(), time in -2_000_000_i64..2_000_000) {
            let distance = |frame: usize| (times.start(frame).unwrap().0 - time).abs();
            let nearest = times.nearest_frame(Ticks(time));
            for frame in 0..times.len() {
                prop_assert!(distance(nearest) <= distance(frame));
            }
        }
    }

    #[test]
    fn between_two_ticks_the_nearest_frame_is_exact_and_a_tie_goes_to_the_earlier() {
        let times = FrameTimes::from_starts(vec![Ticks(0), Ticks(3), Ticks(6)], 3).unwrap();
        let at = |over, of| {
            times.nearest_frame(FineTime::between(
                Ticks(0),
                Ticks(3),
                over,
                NonZeroU64::new(of).unwrap(),
            ))
        };
        assert_eq!(at(1, 2), 0);
        assert_eq!(at((1 << 52) + 1, 1 << 53), 1);
        assert_eq!(at((1 << 52) - 1, 1 << 53), 0);
        assert_eq!(at(3, 2), 1);
        assert_eq!(at(100, 1), 2);
    }

    #[test]
    fn a_constant_rate_clip_is_one_run() {
        let times =
            FrameTimes::from_starts((0..600).map(|frame| Ticks(frame * 1001)).collect(), 1001).unwrap();
        assert_eq!(
            serde_json::to_string(&times).unwrap(),
            r#"{"first":0,"runs":[[600,1001]]}"#
        );
    }

    #[test]
    fn times_that_stand_still_or_go_back_are_refused() {
        let back = FrameTimes::from_starts(vec![Ticks(0), Ticks(20), Ticks(20)], 20);
        assert_eq!(
            back,
            Err(TimeError::NotIncreasing {
                frame: 2,
                start: 20,
                before: 20
            })
        );
        assert_eq!(FrameTimes::from_starts(vec![], 20), Err(TimeError::NoFrames));
        assert_eq!(
            FrameTimes::from_starts(vec![Ticks(i64::MAX)], 1),
            Err(TimeError::LastDuration { duration: 1 })
        );
    }

    #[test]
    fn a_written_form_that_asks_for_too_much_memory_is_refused() {
        let huge = r#"{"first":0,"runs":[[4294967295,1],[4294967295,1]]}"#;
        assert!(
            serde_json::from_str::<FrameTimes>(huge)
                .unwrap_err()
                .to_string()
                .contains("8589934590 frames")
        );
    }
}
