//! Two clips seen together: which frames belong to each other, and how one picture lies over the other.

use picture::{NoSimilarity, Point, Similarity};
use serde::{Deserialize, Serialize};
use session::{Place, Severity, Trouble};
use stroke::PhaseMap;
use stroke::together::{NotTogether, Seen, Together as Pair, TogetherChoice};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::Sitting;
use crate::sitting::clock_of;
use plain::{arm_named, from_plain, thrown, to_plain};

#[wasm_bindgen]
impl Sitting {
    /// The cycles of one arm (`"left"` or `"right"`) that have a phase map: `{side, cycles: [{index, start,
    /// end, interpolated, breathing}]}`.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip or arm.
    pub fn phase_map(&self, clip: u32, side: &str) -> Result<JsValue, JsValue> {
        let record = self.clip(clip)?;
        let analysis = self.analysis(record)?;
        let arm = arm_named(side)?;
        let timeline = analysis.arms.iter().find(|timeline| timeline.side == arm);
        to_plain(&timeline.map(PhaseMap::of))
    }

    /// Two clips held together as a `TogetherChoice` says; they may be the same clip. It knows the marks as
    /// they are now: after a change it has to be asked for again.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip, or a chosen cycle is not there.
    pub fn together(&self, first: u32, second: u32, choice: &JsValue) -> Result<Together, JsValue> {
        let choice: TogetherChoice = from_plain(choice, "how the clips are seen together")?;
        let clips = [self.seen(first)?, self.seen(second)?];
        Pair::of(clips, &choice).map(Together).map_err(not_together)
    }
}

impl Sitting {
    fn seen(&self, clip: u32) -> Result<Seen, JsValue> {
        let record = self.clip(clip)?;
        Ok(Seen::of(clock_of(record)?, self.analysis(record)?.as_ref()))
    }
}

/// Two clips held together.
#[wasm_bindgen]
pub struct Together(Pair);

#[wasm_bindgen]
impl Together {
    /// The clip that drives, the ends of the common scale, the strokes, the drive of both: `TogetherFacts`.
    ///
    /// # Errors
    /// Never in practice: facts are plain.
    pub fn facts(&self) -> Result<JsValue, JsValue> {
        to_plain(&self.0.facts())
    }

    /// The `Moment` of a frame of the driving clip; beyond the first and the last, those.
    ///
    /// # Errors
    /// Never in practice: moments are plain.
    pub fn at_place(&self, place: f64) -> Result<JsValue, JsValue> {
        to_plain(&self.0.at_place(whole(place)))
    }

    /// The `Moment` at a place on the common scale.
    ///
    /// # Errors
    /// Never in practice: moments are plain.
    pub fn at_position(&self, position: f64) -> Result<JsValue, JsValue> {
        to_plain(&self.0.at_position(position))
    }

    /// The `Moment` that is due after playing on from `place` for `played_s` of the driving clip's own seconds;
    /// `null` when the run is over.
    ///
    /// # Errors
    /// Never in practice: moments are plain.
    pub fn playing(&self, place: f64, played_s: f64, looping: bool) -> Result<JsValue, JsValue> {
        to_plain(&self.0.playing(whole(place), played_s, looping))
    }
}

/// What lays one picture over another: sizes are `[width, height]`, points `[{x, y}, {x, y}]` in pixels of the
/// upright pictures, `null` while none are picked.
#[derive(Deserialize)]
struct Laid {
    upper_size: [f64; 2],
    lower_size: [f64; 2],
    upper: Option<[Point; 2]>,
    lower: Option<[Point; 2]>,
}

/// Where the upper picture lies in the lower one.
#[derive(Serialize)]
struct LowerFromUpper {
    #[serde(flatten)]
    lower_from_upper: Similarity,
    scale: f64,
    turn_deg: f64,
}

/// `{along, across, right, down, scale, turn_deg}`: how the upper picture is moved, turned and scaled to lie over
/// the lower one, so that the picked points fall on each other; fitted into it where none are picked.
///
/// # Errors
/// Throws a trouble when the points lie too near to each other.
#[wasm_bindgen]
pub fn lay_over(pictures: &JsValue) -> Result<JsValue, JsValue> {
    let Laid {
        upper_size,
        lower_size,
        upper,
        lower,
    } = from_plain(pictures, "how the pictures are laid over each other")?;
    let lower_from_upper = match (upper, lower) {
        (Some(upper), Some(lower)) => Similarity::from_two_points(upper, lower).map_err(no_similarity)?,
        _ => Similarity::fitted(upper_size, lower_size),
    };
    to_plain(&LowerFromUpper {
        lower_from_upper,
        scale: lower_from_upper.scale(),
        turn_deg: lower_from_upper.turn_deg(),
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float outside the range becomes its nearer end"
)]
fn whole(place: f64) -> usize {
    place as usize
}

fn not_together(reason: NotTogether) -> JsValue {
    let kind = match reason {
        NotTogether::NoArm => "no_arm",
        NotTogether::NoCycle { .. } => "no_cycle",
        NotTogether::UnknownCycle { .. } => "unknown_cycle",
    };
    warned(
        kind,
        &reason.to_string(),
        "Choose other cycles, or mark the events that are missing.",
    )
}

fn no_similarity(reason: NoSimilarity) -> JsValue {
    let kind = match reason {
        NoSimilarity::TooNear { .. } => "points_too_near",
        NoSimilarity::NoPlace => "no_point",
    };
    warned(kind, &reason.to_string(), "Move one of the points.")
}

fn warned(kind: &str, message: &str, hint: &str) -> JsValue {
    thrown(&Trouble {
        kind: kind.to_owned(),
        message: format!("{}.", message.trim_end_matches('.')),
        hint: hint.to_owned(),
        severity: Severity::Warning,
        place: Place::default(),
    })
}
