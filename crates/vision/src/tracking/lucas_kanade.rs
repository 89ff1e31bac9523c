//! Pyramidal Lucas–Kanade with a way back: each point is followed to the present frame and back again.

use crate::kernels::WINDOW;
use crate::luma::{Luma, PictureError};
use crate::pyramid::Pyramid;
use picture::Point;

use super::flow::{End, Flow, Limits, Workspace, follow, likeness};
use super::{Lost, PointTracker, Start, Step};

/// How far and how exactly to follow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrackOptions {
    /// Levels, the picture itself among them; each doubles how fast a point may move.
    pub levels: usize,
    /// Steps on a level at most.
    pub iterations: u32,
    /// A step shorter than this ends a level, pixels.
    pub step_px: f64,
    /// Least mean squared slope in the window's weaker direction, (grey level per pixel)².
    pub least_texture: f64,
    /// How far from its start a point followed back may end, pixels; `None` goes no way back and halves the
    /// work. (Kalal, Mikolajczyk & Matas 2010, Proc ICPR: 2756-2759, for the idea; the limit is common
    /// practice, no source.)
    pub return_limit_px: Option<f64>,
    /// Least correlation of the windows, −1 to 1.
    pub least_correlation: f64,
}

impl Default for TrackOptions {
    fn default() -> Self {
        Self {
            levels: 3,
            iterations: 30,
            step_px: 0.01,
            least_texture: 0.1,
            return_limit_px: Some(1.0),
            least_correlation: 0.5,
        }
    }
}

/// Our tracker: a 21 × 21 window, levels made only around the points, those of the frame before kept.
#[derive(Debug)]
pub struct LucasKanade<'bytes> {
    options: TrackOptions,
    before: Option<Pyramid<'bytes>>,
    present: Option<Pyramid<'bytes>>,
    work: Box<Workspace>,
}

impl LucasKanade<'_> {
    /// A tracker that has seen no frame.
    #[must_use]
    pub fn new(options: TrackOptions) -> Self {
        Self {
            options,
            before: None,
            present: None,
            work: Box::new(Workspace::new()),
        }
    }

    fn limits(&self) -> Limits {
        Limits {
            levels: self.options.levels.max(1),
            iterations: self.options.iterations,
            step_px: self.options.step_px,
            least_texture: self.options.least_texture,
        }
    }
}

impl<'bytes> PointTracker<'bytes> for LucasKanade<'bytes> {
    fn advance(&mut self, frame: Luma<'bytes>) -> Result<Option<Luma<'bytes>>, PictureError> {
        let Some(present) = &self.present else {
            self.present = Some(Pyramid::new(frame, self.options.levels));
            return Ok(None);
        };
        frame.same_size_as(present.base().size())?;
        let oldest = self.before.take();
        self.before = self.present.take();
        let (pyramid, spare) = match oldest {
            Some(mut pyramid) => {
                let spare = pyramid.replace(frame);
                (pyramid, Some(spare))
            }
            None => (Pyramid::new(frame, self.options.levels), None),
        };
        self.present = Some(pyramid);
        Ok(spare)
    }

    fn track(&mut self, starts: &[Start]) -> Vec<Step> {
        let limits = self.limits();
        let (Some(before), Some(present)) = (&mut self.before, &mut self.present) else {
            return Vec::new();
        };
        let mut pair = Pair {
            before,
            present,
            limits,
            options: self.options,
            work: &mut self.work,
        };
        starts.iter().map(|start| pair.step(*start)).collect()
    }
}

/// Two frames between which points are followed.
struct Pair<'tracker, 'bytes> {
    before: &'tracker mut Pyramid<'bytes>,
    present: &'tracker mut Pyramid<'bytes>,
    limits: Limits,
    options: TrackOptions,
    work: &'tracker mut Workspace,
}

impl Pair<'_, '_> {
    fn step(&mut self, start: Start) -> Step {
        let guess = start.guess.unwrap_or(start.point);
        if !(is_place(start.point) && is_place(guess)) {
            return lost(start.point, Lost::NoPlace);
        }
        let step = self.attempt(start.point, guess, self.limits.levels);
        if !matches!(
            step.lost,
            Some(Lost::ReturnsElsewhere { .. } | Lost::LooksDifferent { .. })
        ) {
            return step;
        }
        // Coarse levels see more of what stands behind a thin arm than of the arm, and go with that: where their
        // lead proved wrong, fewer of them may do better. The first reason stands if none does.
        (1..self.limits.levels)
            .rev()
            .map(|levels| self.attempt(start.point, guess, levels))
            .find(|step| step.lost.is_none())
            .unwrap_or(step)
    }

    fn attempt(&mut self, start: Point, guess: Point, levels: usize) -> Step {
        let limits = Limits {
            levels,
            ..self.limits
        };
        let there = follow(self.before, self.present, start, guess, limits, self.work);
        let reason = match there.end {
            End::LeftPicture => Some(Lost::LeftPicture),
            End::TooLittleTexture => Some(Lost::TooLittleTexture),
            End::Found if !holds(self.present.base(), there.point) => Some(Lost::LeftPicture),
            End::Found => {
                let moved_px = there.point.distance(guess);
                (moved_px > reach_px(levels)).then_some(Lost::TooFar { moved_px })
            }
        };
        match reason {
            Some(reason) => lost(there.point, reason),
            None => self.judge(start, guess, there, limits),
        }
    }

    /// Whether a place that was found can be relied on.
    fn judge(&mut self, start: Point, guess: Point, there: Flow, limits: Limits) -> Step {
        let alike = likeness(self.before, self.present, start, there.point, self.work);
        let back = self.options.return_limit_px.map(|limit_px| {
            // The way back knows no more than the way there did.
            let guess_back = Point::new(
                there.point.x - (guess.x - start.x),
                there.point.y - (guess.y - start.y),
            );
            let back = follow(
                self.present,
                self.before,
                there.point,
                guess_back,
                limits,
                self.work,
            );
            (back.point.distance(start), limit_px)
        });
        let share_left = back.map_or(1.0, |(error_px, limit_px)| (1.0 - error_px / limit_px).max(0.0));
        let reason = match back {
            Some((return_error_px, limit_px)) if return_error_px > limit_px => {
                Some(Lost::ReturnsElsewhere { return_error_px })
            }
            _ if alike.correlation < self.options.least_correlation => Some(Lost::LooksDifferent {
                correlation: alike.correlation,
            }),
            _ => None,
        };
        Step {
            point: there.point,
            lost: reason,
            return_error_px: back.map(|(error_px, _)| error_px),
            correlation: alike.correlation,
            standard_error_px: Some(alike.difference / there.least_slope.sqrt()),
            confidence: match reason {
                Some(_) => 0.0,
                None => alike.correlation.max(0.0) * share_left,
            },
        }
    }
}

/// How far from a guess that many levels lead, pixels: half a window on each (Bouguet 2001, section 2.3).
fn reach_px(levels: usize) -> f64 {
    let doubled = 1_u32.checked_shl(u32::try_from(levels).unwrap_or(u32::MAX));
    doubled.map_or(f64::INFINITY, |doubled| f64::from(doubled - 1) * HALF_WINDOW_PX)
}

const HALF_WINDOW_PX: f64 = (WINDOW / 2) as f64;

/// Beyond that no picture reaches, and arithmetic on whole pixels stays exact.
const FARTHEST_PX: f64 = 1e6;

fn is_place(point: Point) -> bool {
    point.x.abs() <= FARTHEST_PX && point.y.abs() <= FARTHEST_PX
}

fn holds(picture: &Luma<'_>, point: Point) -> bool {
    let inside = |place: f64, size: usize| place >= -0.5 && place < size as f64 - 0.5;
    inside(point.x, picture.width()) && inside(point.y, picture.height())
}

fn lost(point: Point, reason: Lost) -> Step {
    Step {
        point,
        lost: Some(reason),
        return_error_px: None,
        correlation: 0.0,
        standard_error_px: None,
        confidence: 0.0,
    }
}
