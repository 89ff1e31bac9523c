//! A clip's frame times and how many of its ticks make one true second.

use crate::{FrameTimes, Ticks, TimeError, Timescale};

/// Frame times with their scale, and the rate the clip was filmed at where that is not the rate it plays at.
///
/// Phones write slow motion either at true time or stretched to 30 frames/s. When the coach states the
/// filmed rate, all seconds that this clock gives are seconds of the swimmer, not of the playback.
#[derive(Clone, Debug, PartialEq)]
pub struct Clock {
    timescale: Timescale,
    frame_times: FrameTimes,
    filmed_rate_fps: Option<f64>,
    ticks_per_true_second: f64,
}

impl Clock {
    /// A clock on which the clip plays at true time.
    #[must_use]
    pub fn new(timescale: Timescale, frame_times: FrameTimes) -> Self {
        let ticks_per_true_second = f64::from(timescale.ticks_per_second());
        Self {
            timescale,
            frame_times,
            filmed_rate_fps: None,
            ticks_per_true_second,
        }
    }

    /// The same frames, filmed at `rate_fps` frames a true second: the median spacing of the table is taken
    /// to last 1/`rate_fps` s, and all other times are scaled alike.
    ///
    /// # Errors
    /// [`TimeError::FilmedRate`] unless `rate_fps` is positive and finite.
    #[expect(clippy::cast_precision_loss, reason = "a spacing is far below 2^53 ticks")]
    pub fn filmed_at(mut self, rate_fps: f64) -> Result<Self, TimeError> {
        if !(rate_fps.is_finite() && rate_fps > 0.0) {
            return Err(TimeError::FilmedRate { rate_fps });
        }
        self.ticks_per_true_second = self.frame_times.median_spacing() as f64 * rate_fps;
        self.filmed_rate_fps = Some(rate_fps);
        Ok(self)
    }

    /// The clip's own ticks per second of playback.
    #[must_use]
    pub fn timescale(&self) -> Timescale {
        self.timescale
    }

    /// When each frame starts.
    #[must_use]
    pub fn frame_times(&self) -> &FrameTimes {
        &self.frame_times
    }

    /// The stated filmed rate, frames/s; `None` where the clip plays at true time.
    #[must_use]
    pub fn filmed_rate_fps(&self) -> Option<f64> {
        self.filmed_rate_fps
    }

    /// Frames per true second at the median spacing.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a spacing is far below 2^53 ticks")]
    pub fn frame_rate_fps(&self) -> f64 {
        self.ticks_per_true_second / self.frame_times.median_spacing() as f64
    }

    /// A length in ticks, in true seconds.
    #[inline]
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
    pub fn seconds(&self, ticks: i64) -> f64 {
        ticks as f64 / self.ticks_per_true_second
    }

    /// A length in true seconds, in ticks: the inverse of [`Clock::seconds`], not rounded to a whole tick.
    #[must_use]
    pub fn ticks_in(&self, length_s: f64) -> f64 {
        length_s * self.ticks_per_true_second
    }

    /// True seconds from `from` to `to`; negative when `to` is earlier.
    #[inline]
    #[must_use]
    pub fn seconds_between(&self, from: Ticks, to: Ticks) -> f64 {
        self.seconds(to.0.saturating_sub(from.0))
    }

    /// How long frame `frame` stands, in true seconds.
    #[inline]
    #[must_use]
    pub fn spacing_s(&self, frame: usize) -> Option<f64> {
        self.frame_times
            .spacing(frame)
            .map(|spacing| self.seconds(spacing))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thirty_fps(timescale: u32, spacing: i64) -> Clock {
        let starts = (0..90).map(|frame| Ticks(frame * spacing)).collect();
        Clock::new(
            Timescale::new(timescale).unwrap(),
            FrameTimes::from_starts(starts, spacing).unwrap(),
        )
    }

    #[test]
    fn a_clip_stretched_eight_times_gives_true_seconds_once_the_filmed_rate_is_stated() {
        let stretched = thirty_fps(30_000, 1_001).filmed_at(240.0).unwrap();
        assert!((stretched.seconds_between(Ticks(0), Ticks(1_001 * 24)) - 0.1).abs() < 1e-12);
        assert!((stretched.frame_rate_fps() - 240.0).abs() < 1e-12);
        assert!((stretched.ticks_in(0.1) - f64::from(1_001 * 24)).abs() < 1e-9);
    }

    #[test]
    fn without_a_stated_rate_the_container_is_believed() {
        let clock = thirty_fps(600, 20);
        assert!((clock.frame_rate_fps() - 30.0).abs() < 1e-12);
        assert!((clock.spacing_s(89).unwrap() - 1.0 / 30.0).abs() < 1e-12);
    }

    #[test]
    fn a_rate_that_is_no_rate_is_refused() {
        for rate_fps in [0.0, -30.0, f64::INFINITY] {
            assert_eq!(
                thirty_fps(600, 20).filmed_at(rate_fps),
                Err(TimeError::FilmedRate { rate_fps })
            );
        }
    }
}
