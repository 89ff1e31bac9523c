//! The guided pass: which event to ask for next, and on which frame to look for it.
//!
//! One kind of event of one arm is asked for through the whole clip, then the next kind: the coach's eye and
//! hand stay on one thing, and every answer sharpens the next guess. Entries come first, since they give the
//! cycles; then exits, the other event that is seen at the surface; catches and mid-pulls come last, each
//! guessed between two marks that stand already, which is the narrowest guess there is.
//!
//! Not for: finding events in the picture. It knows nothing but the marks.

mod arm_events;
mod body_events;
mod entries;
mod known;
mod plan;
mod predict;

use time::Ticks;

pub use plan::{Basis, GuidePlan, GuideStep, StepId};

use crate::{MarkKind, Passage};
use known::Known;
use predict::Question;

/// What to ask for next; `None` when nothing is left to ask.
///
/// `skipped` are the ids of the steps that the coach passed over. Never asks for an event that is marked.
#[must_use]
pub fn next_step(passage: &Passage, plan: &GuidePlan, skipped: &[StepId]) -> Option<GuideStep> {
    let known = Known::of(passage, plan, skipped);
    let mut asked: Option<GuideStep> = None;
    let (mut done, mut of) = (0, 0);
    for stage in stages(&known, plan) {
        done += stage.marked;
        of += stage.marked + stage.expected.max(stage.open.len());
        if asked.is_none() {
            asked = stage
                .open
                .iter()
                .filter_map(|question| step_of(question, passage, &known))
                .find(|step| {
                    !skipped.contains(&step.id)
                        && !known.marked(step.kind, step.side).contains(&exact(step.time.0))
                });
        }
    }
    let step = asked?;
    Some(GuideStep {
        done: u32::try_from(done).ok()?,
        of: u32::try_from(of).ok()?,
        ..step
    })
}

/// The question on an existing frame; how far the pass is, is not known here.
fn step_of(question: &Question, passage: &Passage, known: &Known) -> Option<GuideStep> {
    let times = passage.clock.frame_times();
    let frame = times.nearest_frame(Ticks(rounded(question.ticks)));
    let time = times.start(frame)?;
    Some(GuideStep {
        id: StepId {
            kind: question.kind,
            side: question.side,
            time,
        },
        kind: question.kind,
        side: question.side,
        time,
        frame: u32::try_from(frame).ok()?,
        basis: question.basis,
        search_s: question.search_ticks / known.ticks_per_s,
        done: 0,
        of: 0,
    })
}

/// One kind of event through the clip.
struct Stage {
    /// How many of its events are marked.
    marked: usize,
    /// What is still to be asked, in the order of asking.
    open: Vec<Question>,
    /// How many more there will be, where that can only be guessed yet.
    expected: usize,
}

fn stages(known: &Known, plan: &GuidePlan) -> Vec<Stage> {
    let mut stages = Vec::new();
    for (place, side) in plan.arms.iter().enumerate() {
        stages.push(entries::stage(known, *side, plan.arms[..place].first().copied()));
    }
    let entries_left: Vec<usize> = stages
        .iter()
        .map(|stage| stage.expected.max(stage.open.len()))
        .collect();
    for kind in [MarkKind::Exit, MarkKind::Catch, MarkKind::MidPull] {
        for (side, left) in plan.arms.iter().zip(&entries_left) {
            let mut stage = arm_events::stage(known, kind, *side);
            stage.expected = stage.open.len() + left;
            // Events are asked for once the entries stand.
            if entries_left.iter().any(|left| *left > 0) {
                stage.open.clear();
            }
            stages.push(stage);
        }
    }
    for side in &plan.breath_sides {
        stages.push(body_events::breaths(known, *side));
        for kind in [MarkKind::FaceReturn, MarkKind::FaceTurn, MarkKind::ExhaleStart] {
            stages.push(body_events::around_breaths(known, kind, *side));
        }
    }
    if plan.kick_outs {
        stages.push(body_events::kick_out_starts(known));
        stages.push(body_events::kick_out_ends(known));
    }
    stages
}

#[expect(clippy::cast_possible_truncation, reason = "a guess within the clip")]
fn rounded(ticks: f64) -> i64 {
    libm::round(ticks) as i64
}

#[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
fn exact(ticks: i64) -> f64 {
    ticks as f64
}
