//! The crate that tracking began with, behind our own trait: the baseline of the tests. Benchmarks call
//! the crate itself, so that no copying is timed.

use image::{GrayImage, ImageBuffer};
use optical_flow_lk::{DEFAULT_MIN_EIGEN_THRESHOLD, TrackParams, TrackStatus, TrackerContext};
use wetframe_vision::tracking::{Lost, PointTracker, Start, Step};
use wetframe_vision::{Luma, PictureError, Point};

/// A 21 × 21 window and 3 levels, without the way back.
pub struct Baseline {
    context: TrackerContext,
    frames: usize,
}

impl Baseline {
    pub fn new() -> Self {
        Self {
            context: TrackerContext::new(),
            frames: 0,
        }
    }
}

impl<'bytes> PointTracker<'bytes> for Baseline {
    fn advance(&mut self, frame: Luma<'bytes>) -> Result<Option<Luma<'bytes>>, PictureError> {
        let (width, height) = frame.size();
        let pixel = |x: u32, y: u32| image::Luma([frame.row(y as usize)[x as usize]]);
        let length = |side: usize| u32::try_from(side).unwrap();
        let image: GrayImage = ImageBuffer::from_fn(length(width), length(height), pixel);
        self.context.advance(&image, 3);
        self.frames += 1;
        Ok(Some(frame))
    }

    fn track(&mut self, starts: &[Start]) -> Vec<Step> {
        if self.frames < 2 {
            return Vec::new();
        }
        #[expect(clippy::cast_possible_truncation, reason = "the crate counts in f32")]
        let pair = |point: Point| (point.x as f32, point.y as f32);
        let from: Vec<(f32, f32)> = starts.iter().map(|start| pair(start.point)).collect();
        let guesses: Vec<(f32, f32)> = starts
            .iter()
            .map(|start| pair(start.guess.unwrap_or(start.point)))
            .collect();
        let parameters = TrackParams {
            window_size: 21,
            max_iterations: 30,
            min_eigen_threshold: DEFAULT_MIN_EIGEN_THRESHOLD,
        };
        let steps = self.context.track(&from, Some(&guesses), parameters);
        steps
            .iter()
            .map(|step| Step {
                point: Point::new(step.pos.0.into(), step.pos.1.into()),
                lost: match step.status {
                    TrackStatus::OutOfBounds => Some(Lost::LeftPicture),
                    TrackStatus::LowTexture => Some(Lost::TooLittleTexture),
                    _ => None,
                },
                return_error_px: None,
                correlation: 0.0,
                standard_error_px: None,
                confidence: 0.0,
            })
            .collect()
    }
}
