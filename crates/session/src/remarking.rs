//! A second, blind marking of a passage: what was asked, what the coach answered, and where the earlier marks
//! stood when it began.
//!
//! The earlier marks are kept as they were: whoever mends a mark later, having seen both, must not make the
//! hand look steadier than it was. What follows from it all is derived again by `stroke`.

use serde::{Deserialize, Serialize};
use stroke::{
    Mark, MarkId, MarkKind, RemarkStep, Repeatability, Side, TwoMarkings, last_remark, next_remark,
};
use time::{Clock, Ticks};

use crate::{ClipId, ClipRecord, Document, Fault, Proof};

/// Names a second marking within one session, from 1; never used again after it is removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct RemarkingId(pub u32);

impl RemarkingId {
    /// The id of a session's first.
    pub(crate) fn first() -> Self {
        Self(1)
    }
}

/// A mark of the first marking, as it stood when the second began.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct EarlierMark {
    /// The mark's id; the mark itself may have been moved or deleted since.
    pub mark: MarkId,
    /// What happened.
    pub kind: MarkKind,
    /// Of which side; `null` only for a pass.
    pub side: Option<Side>,
    /// The start of the frame it stood on, in the clip's ticks.
    pub time: Ticks,
}

impl EarlierMark {
    /// The mark as the measures take it.
    #[must_use]
    pub fn mark(&self) -> Mark {
        Mark {
            id: self.mark,
            kind: self.kind,
            side: self.side,
            time: self.time,
        }
    }

    /// The order in which a second marking keeps them.
    pub(crate) fn order(&self) -> (Ticks, MarkId) {
        (self.time, self.mark)
    }
}

/// A mark of the second marking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// The earlier mark whose event was asked for.
    pub asked: MarkId,
    /// What happened: what was asked for.
    pub kind: MarkKind,
    /// Of which side.
    pub side: Option<Side>,
    /// The start of the frame it was seen on, in the clip's ticks.
    pub time: Ticks,
    /// How sure it is that this was the frame shown.
    pub proof: Proof,
}

impl Remark {
    /// The mark as the measures take it.
    #[must_use]
    pub fn mark(&self) -> Mark {
        Mark {
            id: self.asked,
            kind: self.kind,
            side: self.side,
            time: self.time,
        }
    }

    /// The order in which a second marking keeps them.
    pub(crate) fn order(&self) -> (Ticks, MarkId) {
        (self.time, self.asked)
    }
}

/// Where a second marking stands; it tells nothing of where the earlier marks are.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RemarkPass {
    /// What it asks for next; `None` when every question is answered or passed over.
    pub step: Option<RemarkStep>,
    /// The question to go back to: the earlier mark's id; `None` at the first.
    pub back: Option<MarkId>,
    /// How many questions are answered by a mark.
    pub marked: usize,
    /// How many are passed over.
    pub skipped: usize,
    /// How many there are.
    pub of: usize,
}

/// A second marking of a passage of a clip.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Remarking {
    /// Its name within the session.
    pub id: RemarkingId,
    /// Which clip.
    pub clip: ClipId,
    /// Where the passage starts, in the clip's ticks; `null` = at the start of the clip.
    pub from: Option<Ticks>,
    /// Where it ends, inclusive; `null` = at the end of the clip.
    pub to: Option<Ticks>,
    /// Whether the coach has finished it; only then does it count.
    pub finished: bool,
    /// The marks of the passage as they stood when it began, in order of time; one question each.
    pub earlier: Vec<EarlierMark>,
    /// The marks made again, in order of time.
    pub marks: Vec<Remark>,
    /// The questions passed over, by the earlier mark's id, increasing.
    pub skipped: Vec<MarkId>,
}

impl Remarking {
    /// Begins one over the marks that the clip has now.
    pub(crate) fn of(id: RemarkingId, clip: &ClipRecord, from: Option<Ticks>, to: Option<Ticks>) -> Self {
        let inside = |time: Ticks| from.is_none_or(|from| from <= time) && to.is_none_or(|to| time <= to);
        Self {
            id,
            clip: clip.id,
            from,
            to,
            finished: false,
            earlier: clip
                .marks
                .iter()
                .filter(|mark| inside(mark.time))
                .map(|mark| EarlierMark {
                    mark: mark.id,
                    kind: mark.kind,
                    side: mark.side,
                    time: mark.time,
                })
                .collect(),
            marks: Vec::new(),
            skipped: Vec::new(),
        }
    }

    /// The earlier mark that a question asks for.
    #[must_use]
    pub fn question(&self, asked: MarkId) -> Option<&EarlierMark> {
        self.earlier.iter().find(|mark| mark.mark == asked)
    }

    /// The answer to a question, where it was marked again.
    #[must_use]
    pub fn answer(&self, asked: MarkId) -> Option<&Remark> {
        self.marks.iter().find(|mark| mark.asked == asked)
    }

    /// Whether a question was answered or passed over.
    #[must_use]
    pub fn is_settled(&self, asked: MarkId) -> bool {
        self.answer(asked).is_some() || self.skipped.binary_search(&asked).is_ok()
    }

    /// The earlier marks as the measures take them.
    #[must_use]
    pub fn earlier_marks(&self) -> Vec<Mark> {
        self.earlier.iter().map(EarlierMark::mark).collect()
    }

    /// The marks made again as the measures take them.
    #[must_use]
    pub fn marks_again(&self) -> Vec<Mark> {
        self.marks.iter().map(Remark::mark).collect()
    }

    /// What orders its questions: the same after a reload, another in another session. FNV-1a, 64 bits
    /// (Fowler, Noll & Vo; draft-eastlake-fnv).
    fn seed(&self, session_id: &str) -> u64 {
        let bytes = session_id.bytes().chain(self.id.0.to_le_bytes());
        bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        })
    }
}

impl Document {
    /// The second marking of that id.
    #[must_use]
    pub fn remarking(&self, id: RemarkingId) -> Option<&Remarking> {
        self.remarkings.iter().find(|remarking| remarking.id == id)
    }

    /// Where a second marking stands.
    ///
    /// # Errors
    /// [`Fault::UnknownRemarking`]; [`Fault::UnknownClip`] or a filmed rate that is no rate, which a checked
    /// document does not have.
    pub fn remark_pass(&self, id: RemarkingId) -> Result<RemarkPass, Fault> {
        let remarking = self
            .remarking(id)
            .ok_or(Fault::UnknownRemarking { remarking: id.0 })?;
        let clock = self.clock_of(remarking)?;
        let settled: Vec<MarkId> = remarking
            .marks
            .iter()
            .map(|mark| mark.asked)
            .chain(remarking.skipped.iter().copied())
            .collect();
        let seed = remarking.seed(&self.id);
        let earlier = remarking.earlier_marks();
        Ok(RemarkPass {
            step: next_remark(&clock, &earlier, &settled, seed),
            back: last_remark(&earlier, &settled, seed),
            marked: remarking.marks.len(),
            skipped: remarking.skipped.len(),
            of: earlier.len(),
        })
    }

    /// How closely the coach marks again, from all finished second markings; empty (not known) without one.
    ///
    /// # Errors
    /// As [`Self::remark_pass`].
    pub fn repeatability(&self) -> Result<Repeatability, Fault> {
        let mut kept = Vec::new();
        for remarking in self.remarkings.iter().filter(|remarking| remarking.finished) {
            let speed = self.clip(remarking.clip).and_then(|clip| clip.speed);
            kept.push((
                self.clock_of(remarking)?,
                speed,
                remarking.earlier_marks(),
                remarking.marks_again(),
            ));
        }
        let passes: Vec<TwoMarkings> = kept
            .iter()
            .map(|(clock, speed, earlier, again)| TwoMarkings {
                clock,
                speed: *speed,
                earlier,
                again,
            })
            .collect();
        Ok(Repeatability::of(&passes))
    }

    fn clock_of(&self, remarking: &Remarking) -> Result<Clock, Fault> {
        let clip = self.clip(remarking.clip).ok_or(Fault::UnknownClip {
            clip: remarking.clip.0,
        })?;
        clip.checked_clock()
    }
}
