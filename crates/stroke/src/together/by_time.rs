//! Held together by time from a moment of each clip, in true seconds.

use std::num::NonZeroU64;

use time::{Clock, FineTime, Ticks};

use super::choice::Which;

/// Parts of a tick that a time carried from one clip's clock to the other's is rounded to: fine enough for
/// any frame, coarse enough that the dust of floats never decides between two frames equally near.
const PARTS: f64 = 1024.0;

/// Both clips' moments.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ByTime {
    pub(crate) from: [Ticks; 2],
    pub(crate) driving: usize,
}

impl ByTime {
    pub(crate) fn of(clocks: [&Clock; 2], from: [Ticks; 2], driving: Option<Which>) -> Self {
        let finer = usize::from(clocks[1].frame_rate_fps() > clocks[0].frame_rate_fps());
        Self {
            from,
            driving: driving.map_or(finer, Which::index),
        }
    }

    /// True seconds from the chosen moment to a frame of the driving clip.
    pub(crate) fn seconds_at(&self, clocks: [&Clock; 2], place: usize) -> f64 {
        let clock = clocks[self.driving];
        let times = clock.frame_times();
        let frame = place.min(times.len() - 1);
        clock.seconds_between(self.from[self.driving], times.start(frame).unwrap_or_default())
    }

    /// The frame of the driving clip that stands at a time from the chosen moment.
    pub(crate) fn place_at_seconds(&self, clocks: [&Clock; 2], seconds: f64) -> usize {
        let times = clocks[self.driving].frame_times();
        times
            .frame_at_or_before(self.time_of(clocks, self.driving, seconds).whole())
            .unwrap_or(0)
    }

    /// The time of a clip that lies so many true seconds from its chosen moment.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a float beyond 64 bits becomes the last tick"
    )]
    pub(crate) fn time_of(&self, clocks: [&Clock; 2], clip: usize, seconds: f64) -> FineTime {
        let ticks = clocks[clip].ticks_in(seconds);
        let whole = ticks.floor();
        let parts = ((ticks - whole) * PARTS).round();
        let start = Ticks(self.from[clip].0.saturating_add(whole as i64));
        let next = Ticks(start.0.saturating_add(1));
        #[expect(clippy::cast_sign_loss, reason = "a share of one tick")]
        let over = parts as u64;
        FineTime::between(
            start,
            next,
            over,
            NonZeroU64::new(PARTS as u64).unwrap_or(NonZeroU64::MIN),
        )
    }

    /// Whether a clip has a picture at that time.
    pub(crate) fn is_inside(&self, clocks: [&Clock; 2], clip: usize, time: FineTime) -> bool {
        let times = clocks[clip].frame_times();
        times.first() <= time.whole() && time.whole() < times.end()
    }
}
