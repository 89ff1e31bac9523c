//! What kind of pictures a clip holds: cuts, black stretches, a picture that never changes, interlacing.
//!
//! The limits are common practice, no source; each errs toward saying nothing.

use serde::Serialize;
use time::Ticks;

use super::meter::MotionSample;

/// What is to be said about a clip before anything is read from it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Footage {
    /// The first frame after each cut, in order.
    pub cuts: Vec<Ticks>,
    /// Stretches without a picture.
    pub blackouts: Vec<Blackout>,
    /// No frame differs from the one before it.
    pub still: bool,
    /// Whether frames hold two fields of different times.
    pub interlacing: Interlacing,
}

/// A stretch without a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Blackout {
    /// Its first frame.
    pub from: Ticks,
    /// Its last frame.
    pub to: Ticks,
}

/// Whether frames hold two fields of different times.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Interlacing {
    /// They hold whole pictures.
    None,
    /// They are combed where something moves.
    Interlaced {
        /// Median difference between neighbouring rows over that between rows of one field.
        combing: f64,
    },
    /// Too little moves to tell.
    NotTold,
}

/// Brightness that no lit picture stays below, grey levels: video black is 16.
const BLACK: f64 = 24.0;
/// Contrast that no lit picture stays below, grey levels.
const NO_CONTRAST: f64 = 3.0;
/// Frames on either side from which it is told what is usual.
const SURROUNDINGS: usize = 12;
/// A cut differs by more than this many times the usual …
const CUT_TIMES_USUAL: f64 = 3.0;
/// … and by at least this, grey levels a pixel …
const CUT_LEAST: f64 = 5.0;
/// … and its coarse picture is another one: movement leaves it alike, and so does a change of light.
const CUT_LIKENESS: f64 = 0.75;
/// Grey levels a pixel by which even a motionless camera's frames differ.
const STILL: f64 = 0.02;
/// Combing of whole pictures stays below 1; noise alone gives 1.
const COMBED: f64 = 1.1;
/// Measurements below which interlacing is not told.
const LEAST_MEASURED: usize = 3;

/// Judges what a meter measured.
#[must_use]
pub fn footage(samples: &[MotionSample]) -> Footage {
    let mut differences = samples.iter().filter_map(|sample| sample.difference);
    Footage {
        cuts: cuts(samples),
        blackouts: blackouts(samples),
        still: samples.len() > 1 && differences.all(|difference| difference.whole < STILL),
        interlacing: interlacing(samples),
    }
}

fn is_black(sample: &MotionSample) -> bool {
    sample.brightness < BLACK && sample.contrast < NO_CONTRAST
}

fn blackouts(samples: &[MotionSample]) -> Vec<Blackout> {
    samples
        .chunk_by(|one, next| is_black(one) == is_black(next))
        .filter_map(|stretch| {
            let (first, last) = (stretch.first()?, stretch.last()?);
            is_black(first).then_some(Blackout {
                from: first.time,
                to: last.time,
            })
        })
        .collect()
}

fn cuts(samples: &[MotionSample]) -> Vec<Ticks> {
    let whole = |sample: &MotionSample| sample.difference.map_or(0.0, |difference| difference.whole);
    let is_cut = |index: &usize| {
        let sample = &samples[*index];
        let difference = whole(sample);
        if difference < CUT_LEAST || sample.likeness.is_none_or(|likeness| likeness >= CUT_LIKENESS) {
            return false;
        }
        let around = index.saturating_sub(SURROUNDINGS)..(index + SURROUNDINGS + 1).min(samples.len());
        let usual: Vec<f64> = around
            .filter(|other| other != index)
            .filter_map(|other| samples[other].difference)
            .map(|difference| difference.whole)
            .collect();
        median(usual).is_none_or(|usual| difference > CUT_TIMES_USUAL * usual)
    };
    (0..samples.len())
        .filter(is_cut)
        .map(|index| samples[index].time)
        .collect()
}

fn interlacing(samples: &[MotionSample]) -> Interlacing {
    let measured: Vec<f64> = samples.iter().filter_map(|sample| sample.combing).collect();
    if measured.len() < LEAST_MEASURED {
        return Interlacing::NotTold;
    }
    match median(measured) {
        Some(combing) if combing > COMBED => Interlacing::Interlaced { combing },
        Some(_) => Interlacing::None,
        None => Interlacing::NotTold,
    }
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    let middle = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(middle, f64::total_cmp).1)
}
