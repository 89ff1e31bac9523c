//! Three gates, one verdict, one sentence: what may be said of a difference, and never more.

use super::comparison::{Difference, Gate, Gates, Verdict};
use super::plan::{LEVEL, MOST_CYCLES, cycles_for, fewest_cycles};
use super::t_test::TTest;
use super::values::Measured;
use super::words::{Writing, counted, rate, subject};
use crate::{MeasureKind, Side};

/// Frame rates that cameras have, frames/s.
const RATES_FPS: [f64; 5] = [60.0, 100.0, 120.0, 240.0, 480.0];

/// Everything that is known of one difference.
pub(super) struct Evidence<'a> {
    pub(super) kind: MeasureKind,
    pub(super) side: Option<Side>,
    pub(super) before: &'a Measured,
    pub(super) after: &'a Measured,
    pub(super) paired: bool,
    pub(super) difference: &'a Difference,
    /// What the frames alone can make of it.
    pub(super) frame_limit: f64,
    pub(super) t_test: &'a TTest,
    /// The larger of the two adjusted p.
    pub(super) p_holm: f64,
    /// The larger of the two p of this measure alone.
    pub(super) p_alone: f64,
    /// What this measure's p was multiplied by.
    pub(super) factor: u32,
    pub(super) questions: u32,
    /// What the coach's own marking makes of two such means; `None`: not known.
    pub(super) operator_threshold: Option<f64>,
    /// The lowest frame rate of the two sets.
    pub(super) frame_rate_fps: f64,
}

/// What may be said.
pub(super) struct Judgement {
    pub(super) gates: Gates,
    pub(super) verdict: Verdict,
    pub(super) sentence: String,
    pub(super) settle: Option<String>,
}

impl Evidence<'_> {
    pub(super) fn judge(&self) -> Judgement {
        let size = self.difference.value.abs();
        let frame_threshold = self.frame_limit;
        // A count has no frame error, but no difference at all is no change either.
        let beyond_frames = size > frame_threshold;
        let beyond_operator = self.operator_threshold.map(|threshold| size > threshold);
        let beyond_strokes = self.p_holm <= LEVEL;
        let verdict = if !beyond_frames {
            Verdict::WithinFrameError
        } else if beyond_operator == Some(false) {
            Verdict::WithinOperatorError
        } else if !beyond_strokes {
            Verdict::WithinStrokeVariation
        } else {
            Verdict::Changed
        };
        let strokes_threshold = self.t_test.half_width(LEVEL / f64::from(self.factor.max(1)));
        let writing = self.writing();
        let gates = Gates {
            frame: Gate {
                passed: Some(beyond_frames),
                threshold: Some(frame_threshold),
                reason: self.frame_reason(writing, frame_threshold),
            },
            operator: Gate {
                passed: beyond_operator,
                threshold: self.operator_threshold,
                reason: match self.operator_threshold {
                    Some(threshold) => format!("Your own marking makes up to {}.", writing.size(threshold)),
                    None => "Your own marking error is not known yet: mark a passage again.".to_owned(),
                },
            },
            strokes: Gate {
                passed: Some(beyond_strokes),
                threshold: strokes_threshold,
                reason: self.strokes_reason(writing, strokes_threshold),
            },
        };
        Judgement {
            sentence: self.sentence(verdict, writing, frame_threshold),
            settle: self.settle(verdict),
            gates,
            verdict,
        }
    }

    fn writing(&self) -> Writing {
        let finest = if self.difference.frame_uncertainty > 0.0 {
            self.difference.frame_uncertainty
        } else {
            self.t_test.standard_error
        };
        Writing::of(self.kind, finest)
    }

    fn frame_reason(&self, writing: Writing, threshold: f64) -> String {
        if threshold <= 0.0 {
            return "A count: frames do not blur it.".to_owned();
        }
        let why = if self.before.may_keep_step() || self.after.may_keep_step() {
            " Strokes so even may keep step with the frames: more cycles do not help, a higher frame rate does."
        } else {
            ""
        };
        format!("The frames alone make up to {}.{why}", writing.size(threshold))
    }

    fn strokes_reason(&self, writing: Writing, threshold: Option<f64>) -> String {
        let among = if self.factor > 1 {
            format!(", among {} questions", self.questions)
        } else {
            String::new()
        };
        match threshold {
            Some(threshold) => format!("The strokes alone make up to {}{among}.", writing.size(threshold)),
            None => "The strokes' own variation is not known.".to_owned(),
        }
    }

    fn sentence(&self, verdict: Verdict, writing: Writing, frame_threshold: f64) -> String {
        let subject = subject(self.kind, self.side);
        let size = writing.size(self.difference.value);
        let interval = self.difference.interval.map(|interval| {
            format!(
                " (95 % interval of after − before: {})",
                writing.interval(interval)
            )
        });
        let interval = interval.unwrap_or_default();
        match verdict {
            Verdict::Changed => {
                let way = if self.difference.value > 0.0 {
                    "higher"
                } else {
                    "lower"
                };
                let known = if self.operator_threshold.is_some() {
                    "more than the frames, your own marking and the strokes' variation explain."
                } else {
                    "more than the frames and the strokes' variation explain; your own marking error is not known yet."
                };
                format!("{subject}: {size} {way} after{interval}, {known}")
            }
            Verdict::WithinFrameError => format!(
                "{subject}: a difference of {size}; the frames alone can make {}.",
                writing.size(frame_threshold)
            ),
            Verdict::WithinOperatorError => format!(
                "{subject}: a difference of {size}; your own marking can make {}.",
                writing.size(self.operator_threshold.unwrap_or_default())
            ),
            Verdict::WithinStrokeVariation | Verdict::NotComparable => {
                if self.p_alone <= LEVEL {
                    format!(
                        "{subject}: a difference of {size}{interval}; alone it would stand out, but among {} questions \
                         chance makes one such difference now and then.",
                        self.questions
                    )
                } else {
                    format!(
                        "{subject}: a difference of {size}{interval}; the strokes vary that much by themselves."
                    )
                }
            }
        }
    }

    fn settle(&self, verdict: Verdict) -> Option<String> {
        let size = self.difference.value.abs();
        match verdict {
            Verdict::NotComparable => None,
            Verdict::Changed => self.operator_threshold.is_none().then(|| {
                "Mark a passage of each again, to see how much of it is your own marking.".to_owned()
            }),
            Verdict::WithinFrameError => {
                let share = self.frame_limit / size;
                let needed_fps = self.frame_rate_fps * share;
                let rate_fps = RATES_FPS.iter().find(|rate_fps| **rate_fps > needed_fps)?;
                Some(format!(
                    "If the difference is real, {} frames/s would show it.",
                    rate(*rate_fps)
                ))
            }
            Verdict::WithinOperatorError => {
                let share = self.operator_threshold? / size;
                let cycles = self.more_cycles((share * share * self.fewest_items()).ceil())?;
                Some(format!(
                    "If the difference is real, {cycles} in each set would show it."
                ))
            }
            Verdict::WithinStrokeVariation => {
                let variances = if self.paired {
                    let standard_error = self.t_test.standard_error;
                    let variance = standard_error * standard_error * self.fewest_items();
                    [variance, 0.0]
                } else {
                    [self.before.sample().variance, self.after.sample().variance]
                };
                let needed = cycles_for(size, variances, self.factor).map(f64::from);
                let Some(cycles) = needed.and_then(|needed| self.more_cycles(needed)) else {
                    return Some(format!(
                        "If the difference stays as it is, not even {MOST_CYCLES} cycles in each set would settle it."
                    ));
                };
                let alone = if self.p_alone <= LEVEL && self.questions > 1 {
                    " Or film again, and ask about this measure alone."
                } else {
                    ""
                };
                Some(format!(
                    "If the difference stays as it is, {cycles} in each set would settle it.{alone}"
                ))
            }
        }
    }

    #[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^53 strokes")]
    fn fewest_items(&self) -> f64 {
        self.before.items.len().min(self.after.items.len()) as f64
    }

    /// "14 cycles": at least that many and one more than there are; `None`: too many to film.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked against the most that is asked for"
    )]
    fn more_cycles(&self, needed: f64) -> Option<String> {
        let needed = needed
            .max(self.fewest_items() + 1.0)
            .max(f64::from(fewest_cycles(f64::from(self.factor))));
        let items = if self.paired { "pair" } else { "cycle" };
        (needed <= f64::from(MOST_CYCLES)).then(|| counted(needed as u32, items))
    }
}
