//! The motion signal: how much each frame differs from the one before it.

use serde::Serialize;
use thiserror::Error;
use time::Ticks;

use crate::kernels::{Fastest, Kernels};
use crate::luma::{Luma, PictureError};

use super::combing::combing;
use super::thumbnail::Thumbnail;
use super::waterline::Waterline;

/// Frames from one whose combing is measured to the next: it is a property of the clip.
const COMBING_STEP: usize = 8;

/// What one frame says.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MotionSample {
    /// The frame's time.
    pub time: Ticks,
    /// How it differs from the frame before; `None` for the first.
    pub difference: Option<Difference>,
    /// Mean brightness, grey levels of 255.
    pub brightness: f64,
    /// Standard deviation of brightness over the picture in coarse cells, grey levels.
    pub contrast: f64,
    /// Correlation of the coarse cells with those of the frame before, −1 to 1; `None` for the first frame and
    /// where there is no contrast.
    pub likeness: Option<f64>,
    /// Where something moves: difference to the next row over the difference to the one after. Measured for
    /// some frames only.
    pub combing: Option<f64>,
}

/// Mean absolute difference from the frame before, grey levels a pixel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Over the whole picture.
    pub whole: f64,
    /// Above the waterline; `None` where there is no line or nothing above it.
    pub above: Option<f64>,
    /// Below the waterline, likewise.
    pub below: Option<f64>,
}

/// A frame that cannot be measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum MotionError {
    /// Its picture does not fit.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// Frames come in presentation order, each once.
    #[error(
        "the frame at {} ticks was given after the one at {}; frames come in presentation order",
        time.0,
        before.0
    )]
    OutOfOrder {
        /// The frame that was given.
        time: Ticks,
        /// The one before it.
        before: Ticks,
    },
}

/// Takes frames in presentation order and keeps the last one.
#[derive(Debug, Default)]
pub struct MotionMeter<'bytes> {
    waterline: Option<Waterline>,
    before: Option<Before<'bytes>>,
    samples: Vec<MotionSample>,
}

#[derive(Debug)]
struct Before<'bytes> {
    picture: Luma<'bytes>,
    thumbnail: Thumbnail,
    time: Ticks,
}

impl<'bytes> MotionMeter<'bytes> {
    /// A meter that has seen no frame.
    #[must_use]
    pub fn new(waterline: Option<Waterline>) -> Self {
        Self {
            waterline,
            before: None,
            samples: Vec::new(),
        }
    }

    /// Takes the frame at `time` and gives back the one before it, so that its bytes can be filled again.
    ///
    /// # Errors
    /// [`MotionError`]; nothing is changed then.
    pub fn add(&mut self, time: Ticks, picture: Luma<'bytes>) -> Result<Option<Luma<'bytes>>, MotionError> {
        let thumbnail = Thumbnail::of(&picture);
        let mut sample = MotionSample {
            time,
            difference: None,
            brightness: thumbnail.mean(),
            contrast: thumbnail.contrast(),
            likeness: None,
            combing: None,
        };
        if let Some(before) = &self.before {
            picture.same_size_as(before.picture.size())?;
            if time <= before.time {
                return Err(MotionError::OutOfOrder {
                    time,
                    before: before.time,
                });
            }
            sample.difference = Some(self.difference(&picture, &before.picture));
            sample.likeness = thumbnail.likeness(&before.thumbnail);
            if self.samples.len().is_multiple_of(COMBING_STEP) {
                sample.combing = combing(&picture, &before.picture);
            }
        }
        self.samples.push(sample);
        let before = self.before.replace(Before {
            picture,
            thumbnail,
            time,
        });
        Ok(before.map(|before| before.picture))
    }

    /// What was measured so far, one sample a frame.
    #[must_use]
    pub fn samples(&self) -> &[MotionSample] {
        &self.samples
    }

    fn difference(&self, picture: &Luma<'_>, before: &Luma<'_>) -> Difference {
        let width = picture.width();
        let (mut above, mut below) = (Part::default(), Part::default());
        for (y, (now, before)) in picture.rows().zip(before.rows()).enumerate() {
            let split = match &self.waterline {
                Some(line) => line.above_in_row(y, width),
                None => 0..0,
            };
            above.add(&now[split.clone()], &before[split.clone()]);
            below.add(&now[..split.start], &before[..split.start]);
            below.add(&now[split.end..], &before[split.end..]);
        }
        let whole = Part {
            sum: above.sum + below.sum,
            pixels: above.pixels + below.pixels,
        };
        let of_part = |part: &Part| self.waterline.and_then(|_| part.mean());
        Difference {
            whole: whole.mean().unwrap_or(0.0),
            above: of_part(&above),
            below: of_part(&below),
        }
    }
}

#[derive(Default)]
struct Part {
    sum: u64,
    pixels: usize,
}

impl Part {
    fn add(&mut self, now: &[u8], before: &[u8]) {
        if !now.is_empty() {
            self.sum += Fastest::absolute_difference(now, before);
            self.pixels += now.len();
        }
    }

    #[expect(clippy::cast_precision_loss, reason = "sums over a picture are below 2^53")]
    fn mean(&self) -> Option<f64> {
        (self.pixels > 0).then(|| self.sum as f64 / self.pixels as f64)
    }
}
