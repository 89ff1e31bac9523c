//! Before filming: how many cycles at which frame rate show a change of a given size?
//!
//! The same calculation as after filming, turned round: the number of cycles in each set for which a change of that
//! size passes the gates four times out of five. Two-sided two-sample t test by the normal approximation
//! with Guenther's correction for t, n = (z₁ + z₂)²·(s² + s'²)/Δ² + z₁²/4, z₁ the quantile at 1 − α/2, z₂ at the
//! power (Guenther 1981, Am Stat 35:243-244). Checked against `statsmodels` in `tests/reference` and against
//! the simulation in `tests/comparison_simulation.rs`.

use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};

use super::permutation::arrangements;
use crate::filming::interval_error_s;
use crate::statistics::FEWEST_FOR_INTERVAL;

/// A difference passes with a Holm-adjusted p up to this.
pub(crate) const LEVEL: f64 = 0.05;
/// How often a change of the planned size is to be seen.
pub const POWER: f64 = 0.8;
/// Nobody films more cycles than this for one comparison.
pub const MOST_CYCLES: u32 = 200;

/// What is to be seen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct FilmingQuestion {
    /// The change to be seen, s.
    pub change_s: f64,
    /// How much the time differs from stroke to stroke (SD) without the frames' share, s.
    pub stroke_sd_s: f64,
    /// The coach's own SEM of one reading without the frames' share, s; `None` while it is not known.
    pub own_sem_s: Option<f64>,
    /// How many readings one value is the mean of: 2 for the mean of both arms' gaps, 1 for one arm's.
    pub readings: u32,
    /// How many different questions the comparison will ask at once, as [`super::Comparison::questions`].
    pub questions: u32,
}

impl Default for FilmingQuestion {
    /// 30 ms in the mean gap of both arms, that gap alone, with strokes that differ by 30 ms.
    fn default() -> Self {
        Self {
            change_s: 0.030,
            stroke_sd_s: 0.030,
            own_sem_s: None,
            readings: 2,
            questions: 1,
        }
    }
}

/// What one frame rate asks for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FilmingRow {
    /// Frames a second.
    pub frame_rate_fps: f64,
    /// Cycles to film in each of the two sets; `None`: more than [`MOST_CYCLES`].
    pub cycles: Option<u32>,
    /// SD of one value as it will be measured, s: strokes, frames and the coach's hand together.
    pub value_sd_s: f64,
}

/// How many cycles each frame rate asks for; rates that are not positive are left out.
#[must_use]
pub fn plan_filming(question: &FilmingQuestion, rates_fps: &[f64]) -> Vec<FilmingRow> {
    rates_fps
        .iter()
        .copied()
        .filter(|rate_fps| rate_fps.is_finite() && *rate_fps > 0.0)
        .map(|frame_rate_fps| {
            let readings = f64::from(question.readings.max(1));
            let frame_s = interval_error_s(frame_rate_fps);
            let sem_s = question.own_sem_s.unwrap_or(0.0);
            let variance =
                question.stroke_sd_s * question.stroke_sd_s + (frame_s * frame_s + sem_s * sem_s) / readings;
            FilmingRow {
                frame_rate_fps,
                cycles: cycles_for(question.change_s, [variance, variance], question.questions),
                value_sd_s: variance.sqrt(),
            }
        })
        .collect()
}

/// Cycles in each set for the power [`POWER`], given the variance of one value in each; `None`: too many, or the
/// change is none.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked against the most that is asked for"
)]
pub(crate) fn cycles_for(change: f64, variances: [f64; 2], questions: u32) -> Option<u32> {
    let normal = Normal::new(0.0, 1.0).ok()?;
    let questions = f64::from(questions.max(1));
    let z_level = normal.inverse_cdf(1.0 - LEVEL / questions / 2.0);
    let z_power = normal.inverse_cdf(POWER);
    let z = z_level + z_power;
    let needed = z * z * (variances[0] + variances[1]) / (change * change) + z_level * z_level / 4.0;
    // One more, since the permutation test has to agree.
    let needed = needed.ceil() + 1.0;
    (needed <= f64::from(MOST_CYCLES)).then(|| (needed as u32).max(fewest_cycles(questions)))
}

/// With fewer cycles in each set than this, even the rarest arrangement is not rare enough for that many
/// questions.
#[expect(clippy::cast_precision_loss, reason = "compared with 10^3 or so")]
pub(crate) fn fewest_cycles(questions: f64) -> u32 {
    let mut cycles = FEWEST_FOR_INTERVAL as u32;
    // An arrangement and its mirror image are equally far out.
    while 2.0 / (arrangements(2 * cycles as usize, cycles as usize) as f64) * questions > LEVEL {
        cycles += 1;
    }
    cycles
}
