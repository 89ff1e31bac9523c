//! The second markings of a session as tables: every answer beside the earlier mark, and what follows from them.

use std::collections::HashMap;

use serde::Serialize;
use stroke::{MarkKind, MeasureKind, Repeatability, Side, TooFewPairs};
use time::{Ticks, Timescale};

use super::{FreeText, clip_titles, written};
use crate::{ClipId, Document, Fault, Proof, Refusal, RemarkingId};

/// What a question of a second marking has got, for a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AnswerGiven {
    /// A mark.
    Marked,
    /// It was passed over.
    Skipped,
    /// Nothing: the coach finished before it was asked.
    None,
}

/// One question of a finished second marking. The fields are the columns, in this order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RemarkRow {
    /// What the clip is called, as in [`crate::MarkRow`].
    pub clip: FreeText,
    /// Which second marking.
    pub remarking: RemarkingId,
    /// The earlier mark's id.
    pub mark: stroke::MarkId,
    /// What was asked for.
    pub kind: MarkKind,
    /// Of which side; empty for a pass.
    pub side: Option<Side>,
    /// The frame that the earlier mark stood on when the second marking began.
    pub earlier_frame: usize,
    /// Its time in true seconds.
    pub earlier_true_time_s: f64,
    /// What the question got.
    pub answer: AnswerGiven,
    /// The frame of the answer.
    pub frame: Option<usize>,
    /// Its presentation time.
    pub presentation_ticks: Option<Ticks>,
    /// Ticks per second of playback.
    pub timescale: Timescale,
    /// The answer's time in true seconds.
    pub true_time_s: Option<f64>,
    /// How sure it is that this was the frame shown.
    pub proof: Option<Proof>,
    /// The clip's id within the session.
    pub clip_id: ClipId,
    /// The clip's file name.
    pub clip_name: FreeText,
}

const REMARK_COLUMNS: [&str; 15] = [
    "clip",
    "remarking",
    "mark",
    "kind",
    "side",
    "earlier_frame",
    "earlier_true_time_s",
    "answer",
    "frame",
    "presentation_ticks",
    "timescale",
    "true_time_s",
    "proof",
    "clip_id",
    "clip_name",
];

/// What a line of the table of repeatability speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum Repeated {
    /// A kind of mark, in ms.
    Mark(MarkKind),
    /// A kind of measure, in its own unit.
    Measure(MeasureKind),
}

/// How closely one kind of mark or measure comes out again. The fields are the columns, in this order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RepeatabilityRow {
    /// `mark` or `measure`.
    pub of: &'static str,
    /// Which.
    pub what: Repeated,
    /// Pairs.
    pub n: u32,
    /// The unit of all that follows.
    pub unit: &'static str,
    /// Standard error of measurement; empty where there is none.
    pub sem: Option<f64>,
    /// Low end of its 95 % interval.
    pub sem_low: Option<f64>,
    /// High end.
    pub sem_high: Option<f64>,
    /// Smallest detectable change (95 %) between two single values.
    pub mdc: Option<f64>,
    /// The SEM without the frames' share.
    pub own_sem: Option<f64>,
    /// Mean of (again − earlier).
    pub shift: Option<f64>,
    /// Low end of its 95 % interval.
    pub shift_low: Option<f64>,
    /// High end.
    pub shift_high: Option<f64>,
    /// Earlier marks without a partner; empty for a measure.
    pub unpaired_earlier: Option<u32>,
    /// Marks again without a partner; empty for a measure.
    pub unpaired_again: Option<u32>,
    /// Why there is no SEM; else empty.
    pub reason: String,
}

const REPEATABILITY_COLUMNS: [&str; 15] = [
    "of",
    "what",
    "n",
    "unit",
    "sem",
    "sem_low",
    "sem_high",
    "mdc",
    "own_sem",
    "shift",
    "shift_low",
    "shift_high",
    "unpaired_earlier",
    "unpaired_again",
    "reason",
];

impl Document {
    /// The questions of all finished second markings, in order of time. One that goes on is left out: whoever
    /// still answers must not read where the earlier marks stand.
    ///
    /// # Errors
    /// A [`Fault`] where the document breaks a rule; none that was checked does.
    pub fn remark_rows(&self) -> Result<Vec<RemarkRow>, Fault> {
        let mut rows = Vec::new();
        for (clip, title) in self.clips.iter().zip(clip_titles(self)) {
            let clock = clip.checked_clock()?;
            let of_clip = |remarking: &&crate::Remarking| remarking.clip == clip.id && remarking.finished;
            for remarking in self.remarkings.iter().filter(of_clip) {
                let answers: HashMap<_, _> = remarking.marks.iter().map(|mark| (mark.asked, mark)).collect();
                for question in &remarking.earlier {
                    let answer = answers.get(&question.mark);
                    rows.push(RemarkRow {
                        clip: FreeText(title.clone()),
                        remarking: remarking.id,
                        mark: question.mark,
                        kind: question.kind,
                        side: question.side,
                        earlier_frame: crate::check::frame_number(clip, question.time),
                        earlier_true_time_s: clock.seconds(question.time.0),
                        answer: match answer {
                            Some(_) => AnswerGiven::Marked,
                            None if remarking.skipped.binary_search(&question.mark).is_ok() => {
                                AnswerGiven::Skipped
                            }
                            None => AnswerGiven::None,
                        },
                        frame: answer.map(|answer| crate::check::frame_number(clip, answer.time)),
                        presentation_ticks: answer.map(|answer| answer.time),
                        timescale: clip.timescale,
                        true_time_s: answer.map(|answer| clock.seconds(answer.time.0)),
                        proof: answer.map(|answer| answer.proof),
                        clip_id: clip.id,
                        clip_name: FreeText(clip.name.clone()),
                    });
                }
            }
        }
        Ok(rows)
    }
}

/// Every answer of the finished second markings, beside its earlier mark, as CSV.
///
/// # Errors
/// As [`Document::remark_rows`].
pub fn remarks_csv(document: &Document) -> Result<String, Refusal> {
    written(&REMARK_COLUMNS, document.remark_rows()?.iter())
}

/// How closely the coach marks again, as CSV: the kinds of mark, then the kinds of measure; only the names of
/// the columns where nothing was marked again.
///
/// # Errors
/// As [`Document::repeatability`].
pub fn repeatability_csv(document: &Document) -> Result<String, Refusal> {
    written(
        &REPEATABILITY_COLUMNS,
        repeatability_rows(&document.repeatability()?).iter(),
    )
}

fn repeatability_rows(repeatability: &Repeatability) -> Vec<RepeatabilityRow> {
    let low = |interval: Option<[f64; 2]>| interval.map(|[low, _]| low);
    let high = |interval: Option<[f64; 2]>| interval.map(|[_, high]| high);
    let marks = repeatability.per_mark.iter().map(|mark| RepeatabilityRow {
        of: "mark",
        what: Repeated::Mark(mark.kind),
        n: mark.n,
        unit: "ms",
        sem: mark.sem_ms,
        sem_low: low(mark.sem_interval_ms),
        sem_high: high(mark.sem_interval_ms),
        mdc: mark.mdc_ms,
        own_sem: mark.own_sem_ms,
        shift: mark.shift_ms,
        shift_low: low(mark.shift_interval_ms),
        shift_high: high(mark.shift_interval_ms),
        unpaired_earlier: Some(mark.unpaired_earlier),
        unpaired_again: Some(mark.unpaired_again),
        reason: reason(mark.too_few.as_ref()),
    });
    let measures = repeatability.per_measure.iter().map(|measure| RepeatabilityRow {
        of: "measure",
        what: Repeated::Measure(measure.kind),
        n: measure.n,
        unit: measure.unit.symbol(),
        sem: measure.sem,
        sem_low: low(measure.sem_interval),
        sem_high: high(measure.sem_interval),
        mdc: measure.mdc,
        own_sem: measure.own_sem,
        shift: measure.shift,
        shift_low: low(measure.shift_interval),
        shift_high: high(measure.shift_interval),
        unpaired_earlier: None,
        unpaired_again: None,
        reason: reason(measure.too_few.as_ref()),
    });
    marks.chain(measures).collect()
}

fn reason(too_few: Option<&TooFewPairs>) -> String {
    too_few.map_or_else(String::new, |too_few| {
        format!("too_few_pairs: {}", too_few.message)
    })
}
