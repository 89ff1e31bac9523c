//! One session as a history sees it: its clips' means and conditions.

use serde::Serialize;
use stroke::{AbsenceKind, BreathingSplit, MeasureKind, Side};

use super::ConditionWords;
use crate::table::clip_titles;
use crate::{ClipId, ClipRecord, Date, Document, Fault};

/// A session in a row of sessions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Visit {
    /// The session's id.
    pub session: String,
    /// The swimmer's label; may be empty.
    pub athlete_label: String,
    /// The day of filming.
    pub date: Date,
    /// The clips, in the order in which they were added.
    pub clips: Vec<VisitClip>,
}

/// A clip of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VisitClip {
    /// Its id within the session.
    pub clip: ClipId,
    /// What it is called, told apart within the session.
    pub title: String,
    /// As [`crate::ClipSummary::cycles_marked`].
    pub cycles_marked: usize,
    /// Marks of all kinds.
    pub marks: usize,
    /// Frames a true second at the median spacing.
    pub frame_rate_fps: f64,
    /// What was stated about it.
    pub conditions: ConditionWords,
    /// The means over all its cycles, in the order of [`stroke::analyse`].
    #[serde(skip)]
    pub(super) means: Vec<Mean>,
}

/// A mean over all cycles of a clip, or why there is none.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mean {
    pub(super) kind: MeasureKind,
    pub(super) side: Option<Side>,
    pub(super) outcome: Result<Known, AbsenceKind>,
}

/// A mean that there is, in the kind's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Known {
    pub(super) value: f64,
    pub(super) uncertainty: f64,
    pub(super) interval: Option<[f64; 2]>,
    pub(super) n: u32,
    pub(super) in_doubt: bool,
}

impl Visit {
    /// Analyses every clip and keeps its means.
    ///
    /// # Errors
    /// A [`Fault`] where the document breaks a rule; none that was checked does.
    pub fn of(document: &Document) -> Result<Self, Fault> {
        let mut clips = Vec::with_capacity(document.clips.len());
        for (clip, title) in document.clips.iter().zip(clip_titles(document)) {
            clips.push(VisitClip::of(clip, title)?);
        }
        Ok(Self {
            session: document.id.clone(),
            athlete_label: document.athlete.label.clone(),
            date: document.date,
            clips,
        })
    }
}

impl VisitClip {
    fn of(clip: &ClipRecord, title: String) -> Result<Self, Fault> {
        let analysis = clip.analyse()?;
        let summary = clip.summary();
        let over_all = analysis
            .measures
            .iter()
            .filter(|measure| measure.cycle.is_none() && measure.breathing == BreathingSplit::All);
        let means = over_all
            .filter_map(|measure| {
                let outcome = match (measure.quantity, measure.absence) {
                    (Some(quantity), _) => Ok(Known {
                        value: quantity.value,
                        uncertainty: quantity.uncertainty,
                        interval: measure.interval,
                        n: measure.n,
                        in_doubt: !measure.flags.is_empty(),
                    }),
                    (None, Some(absence)) => Err(absence.kind),
                    (None, None) => return None,
                };
                Some(Mean {
                    kind: measure.kind,
                    side: measure.side,
                    outcome,
                })
            })
            .collect();
        Ok(Self {
            clip: clip.id,
            title,
            cycles_marked: summary.cycles_marked,
            marks: summary.marks,
            frame_rate_fps: analysis.frame_rate_fps,
            conditions: ConditionWords::of(clip),
            means,
        })
    }

    /// Whether the clip has a mean of that kind, of any side.
    pub(super) fn measures(&self, kind: MeasureKind) -> bool {
        self.means_of(kind).any(|mean| mean.outcome.is_ok())
    }

    pub(super) fn means_of(&self, kind: MeasureKind) -> impl Iterator<Item = &Mean> {
        self.means.iter().filter(move |mean| mean.kind == kind)
    }
}
