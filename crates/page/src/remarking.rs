//! The second, blind marking, and what it says of the coach's own hand.

use serde::Serialize;
use session::{ClipId, Remarking, RemarkingId};
use stroke::Repeatability;
use time::Ticks;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::sitting::{Sitting, refused};
use plain::to_plain;

/// A second marking without its marks: a page that goes through it blind must not hold the earlier ones.
#[derive(Serialize)]
struct RemarkingView {
    id: RemarkingId,
    from: Option<Ticks>,
    to: Option<Ticks>,
    finished: bool,
    marked: usize,
    skipped: usize,
    of: usize,
}

impl RemarkingView {
    fn of(remarking: &Remarking) -> Self {
        Self {
            id: remarking.id,
            from: remarking.from,
            to: remarking.to,
            finished: remarking.finished,
            marked: remarking.marks.len(),
            skipped: remarking.skipped.len(),
            of: remarking.earlier.len(),
        }
    }
}

/// The coach's repeatability and what it means.
#[derive(Serialize)]
struct RepeatabilityView {
    #[serde(flatten)]
    repeatability: Repeatability,
    known: bool,
    sentences: Vec<String>,
}

#[wasm_bindgen]
impl Sitting {
    /// The second markings of a clip, in the order in which they were begun: `[{id, from, to, finished, marked,
    /// skipped, of}]`.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn remarkings(&self, clip: u32) -> Result<JsValue, JsValue> {
        self.clip(clip)?;
        let of_clip = self
            .document()
            .remarkings
            .iter()
            .filter(|remarking| remarking.clip == ClipId(clip));
        to_plain(&of_clip.map(RemarkingView::of).collect::<Vec<_>>())
    }

    /// Where a second marking stands: `{step, back, marked, skipped, of}` with the question to ask next.
    ///
    /// # Errors
    /// Throws a trouble when there is no such second marking.
    pub fn remark_pass(&self, remarking: u32) -> Result<JsValue, JsValue> {
        let pass = self
            .document()
            .remark_pass(RemarkingId(remarking))
            .map_err(|fault| refused(&fault.into()))?;
        to_plain(&pass)
    }

    /// How closely the coach marks again: a `Repeatability`, whether it is `known`, and its `sentences`.
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn repeatability(&self) -> Result<JsValue, JsValue> {
        let repeatability = self
            .document()
            .repeatability()
            .map_err(|fault| refused(&fault.into()))?;
        to_plain(&RepeatabilityView {
            known: repeatability.is_known(),
            sentences: repeatability.sentences(),
            repeatability,
        })
    }

    /// Every mark made again beside its earlier mark, as CSV (RFC 4180).
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn remarks_csv(&self) -> Result<String, JsValue> {
        session::remarks_csv(self.document()).map_err(|refusal| refused(&refusal))
    }

    /// The coach's repeatability as CSV (RFC 4180).
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn repeatability_csv(&self) -> Result<String, JsValue> {
        session::repeatability_csv(self.document()).map_err(|refusal| refused(&refusal))
    }
}
