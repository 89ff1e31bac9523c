//! The small reversible steps that a command is made of. Performing one gives the one that takes it back.

use std::mem;

use stroke::{MarkId, Speed};

use crate::{
    Aid, Athlete, ClipId, ClipRecord, ComparisonId, ComparisonRecord, Date, Document, Fault, Kick,
    MarkRecord, Remark, Remarking, RemarkingId, Settings, View, Water,
};

/// The editable fields of the session itself.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SessionFields {
    pub athlete: Athlete,
    pub date: Date,
    pub notes: String,
    pub water: Option<Water>,
    pub settings: Settings,
}

/// The editable fields of a clip.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ClipFields {
    pub name: String,
    pub label: String,
    pub filmed_rate_fps: Option<f64>,
    pub view: Option<View>,
    pub kick: Option<Kick>,
    pub aids: Vec<Aid>,
    pub speed: Option<Speed>,
    pub notes: String,
    pub duplicated_frames: Option<Vec<u32>>,
}

impl ClipFields {
    pub fn of(clip: &ClipRecord) -> Self {
        Self {
            name: clip.name.clone(),
            label: clip.label.clone(),
            filmed_rate_fps: clip.filmed_rate_fps,
            view: clip.view,
            kick: clip.kick,
            aids: clip.aids.clone(),
            speed: clip.speed,
            notes: clip.notes.clone(),
            duplicated_frames: clip.duplicated_frames.clone(),
        }
    }

    fn swap(&mut self, clip: &mut ClipRecord) {
        mem::swap(&mut self.name, &mut clip.name);
        mem::swap(&mut self.label, &mut clip.label);
        mem::swap(&mut self.filmed_rate_fps, &mut clip.filmed_rate_fps);
        mem::swap(&mut self.view, &mut clip.view);
        mem::swap(&mut self.kick, &mut clip.kick);
        mem::swap(&mut self.aids, &mut clip.aids);
        mem::swap(&mut self.speed, &mut clip.speed);
        mem::swap(&mut self.notes, &mut clip.notes);
        mem::swap(&mut self.duplicated_frames, &mut clip.duplicated_frames);
    }
}

/// What a question of a second marking has got.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Answer {
    Open,
    Skipped,
    Marked(Remark),
}

#[derive(Clone, Debug)]
pub(crate) enum Edit {
    /// Puts a clip in at `index`, and `next_clip` beside it.
    ClipIn {
        index: usize,
        clip: Box<ClipRecord>,
        next_clip: ClipId,
    },
    /// Takes a clip out, with its marks.
    ClipOut { clip: ClipId, next_clip: ClipId },
    /// Replaces what the coach says about a clip; its marks stay.
    ClipSet { clip: ClipId, fields: Box<ClipFields> },
    /// Puts a mark in at its place in time.
    MarkIn {
        clip: ClipId,
        mark: MarkRecord,
        next_mark: MarkId,
    },
    /// Takes a mark out.
    MarkOut {
        clip: ClipId,
        mark: MarkId,
        next_mark: MarkId,
    },
    /// Replaces a mark by one of the same id.
    MarkSet { clip: ClipId, mark: MarkRecord },
    /// Replaces the session's own fields.
    SessionSet(Box<SessionFields>),
    /// Puts a comparison in at `index`, and `next_comparison` beside it.
    ComparisonIn {
        index: usize,
        record: Box<ComparisonRecord>,
        next_comparison: ComparisonId,
    },
    /// Takes a comparison out.
    ComparisonOut {
        comparison: ComparisonId,
        next_comparison: ComparisonId,
    },
    /// Replaces a comparison by one of the same id.
    ComparisonSet(Box<ComparisonRecord>),
    /// Puts a second marking in at `index`, and `next_remarking` beside it.
    RemarkingIn {
        index: usize,
        remarking: Box<Remarking>,
        next_remarking: RemarkingId,
    },
    /// Takes a second marking out.
    RemarkingOut {
        remarking: RemarkingId,
        next_remarking: RemarkingId,
    },
    /// Says whether a second marking is finished.
    RemarkingFinished { remarking: RemarkingId, finished: bool },
    /// Replaces the answer to a question of a second marking.
    AnswerSet {
        remarking: RemarkingId,
        asked: MarkId,
        answer: Answer,
    },
}

impl Edit {
    /// Does it; gives the edit that takes it back.
    pub fn perform(self, document: &mut Document) -> Result<Self, Fault> {
        match self {
            Self::ClipIn {
                index,
                clip,
                next_clip,
            } => {
                let index = index.min(document.clips.len());
                let id = clip.id;
                document.clips.insert(index, *clip);
                Ok(Self::ClipOut {
                    clip: id,
                    next_clip: mem::replace(&mut document.next_clip, next_clip),
                })
            }
            Self::ClipOut { clip, next_clip } => {
                let index = clip_index(document, clip)?;
                Ok(Self::ClipIn {
                    index,
                    clip: Box::new(document.clips.remove(index)),
                    next_clip: mem::replace(&mut document.next_clip, next_clip),
                })
            }
            Self::ClipSet { clip, mut fields } => {
                let index = clip_index(document, clip)?;
                fields.swap(&mut document.clips[index]);
                Ok(Self::ClipSet { clip, fields })
            }
            Self::MarkIn {
                clip,
                mark,
                next_mark,
            } => {
                let marks = marks_of(document, clip)?;
                let index = marks.partition_point(|other| other.order() < mark.order());
                marks.insert(index, mark);
                Ok(Self::MarkOut {
                    clip,
                    mark: mark.id,
                    next_mark: mem::replace(&mut document.next_mark, next_mark),
                })
            }
            Self::MarkOut {
                clip,
                mark,
                next_mark,
            } => {
                let marks = marks_of(document, clip)?;
                let mark = marks.remove(mark_index(marks, mark)?);
                Ok(Self::MarkIn {
                    clip,
                    mark,
                    next_mark: mem::replace(&mut document.next_mark, next_mark),
                })
            }
            Self::MarkSet { clip, mark } => {
                let marks = marks_of(document, clip)?;
                let before = marks.remove(mark_index(marks, mark.id)?);
                let index = marks.partition_point(|other| other.order() < mark.order());
                marks.insert(index, mark);
                Ok(Self::MarkSet { clip, mark: before })
            }
            Self::SessionSet(fields) => {
                let SessionFields {
                    athlete,
                    date,
                    notes,
                    water,
                    settings,
                } = *fields;
                Ok(Self::SessionSet(Box::new(SessionFields {
                    athlete: mem::replace(&mut document.athlete, athlete),
                    date: mem::replace(&mut document.date, date),
                    notes: mem::replace(&mut document.notes, notes),
                    water: mem::replace(&mut document.water, water),
                    settings: mem::replace(&mut document.settings, settings),
                })))
            }
            Self::ComparisonIn {
                index,
                record,
                next_comparison,
            } => {
                let index = index.min(document.comparisons.len());
                let comparison = record.id;
                document.comparisons.insert(index, *record);
                Ok(Self::ComparisonOut {
                    comparison,
                    next_comparison: mem::replace(&mut document.next_comparison, next_comparison),
                })
            }
            Self::ComparisonOut {
                comparison,
                next_comparison,
            } => {
                let index = comparison_index(document, comparison)?;
                Ok(Self::ComparisonIn {
                    index,
                    record: Box::new(document.comparisons.remove(index)),
                    next_comparison: mem::replace(&mut document.next_comparison, next_comparison),
                })
            }
            Self::ComparisonSet(record) => {
                let index = comparison_index(document, record.id)?;
                let before = mem::replace(&mut document.comparisons[index], *record);
                Ok(Self::ComparisonSet(Box::new(before)))
            }
            Self::RemarkingIn {
                index,
                remarking,
                next_remarking,
            } => {
                let index = index.min(document.remarkings.len());
                let id = remarking.id;
                document.remarkings.insert(index, *remarking);
                Ok(Self::RemarkingOut {
                    remarking: id,
                    next_remarking: mem::replace(&mut document.next_remarking, next_remarking),
                })
            }
            Self::RemarkingOut {
                remarking,
                next_remarking,
            } => {
                let index = remarking_index(document, remarking)?;
                Ok(Self::RemarkingIn {
                    index,
                    remarking: Box::new(document.remarkings.remove(index)),
                    next_remarking: mem::replace(&mut document.next_remarking, next_remarking),
                })
            }
            Self::RemarkingFinished { remarking, finished } => {
                let index = remarking_index(document, remarking)?;
                let finished = mem::replace(&mut document.remarkings[index].finished, finished);
                Ok(Self::RemarkingFinished { remarking, finished })
            }
            Self::AnswerSet {
                remarking,
                asked,
                answer,
            } => {
                let index = remarking_index(document, remarking)?;
                let answer = set_answer(&mut document.remarkings[index], asked, answer);
                Ok(Self::AnswerSet {
                    remarking,
                    asked,
                    answer,
                })
            }
        }
    }

    /// The clip whose marks or facts it touches; `None` for the session itself, for comparisons and for second markings, which
    /// change nothing that is derived from a clip.
    pub fn clip(&self) -> Option<ClipId> {
        match self {
            Self::ClipIn { clip, .. } => Some(clip.id),
            Self::ClipOut { clip, .. }
            | Self::ClipSet { clip, .. }
            | Self::MarkIn { clip, .. }
            | Self::MarkOut { clip, .. }
            | Self::MarkSet { clip, .. } => Some(*clip),
            Self::SessionSet(_)
            | Self::ComparisonIn { .. }
            | Self::ComparisonOut { .. }
            | Self::ComparisonSet(_)
            | Self::RemarkingIn { .. }
            | Self::RemarkingOut { .. }
            | Self::RemarkingFinished { .. }
            | Self::AnswerSet { .. } => None,
        }
    }
}

fn comparison_index(document: &Document, id: ComparisonId) -> Result<usize, Fault> {
    document
        .comparisons
        .iter()
        .position(|other| other.id == id)
        .ok_or(Fault::UnknownComparison { comparison: id.0 })
}

fn remarking_index(document: &Document, id: RemarkingId) -> Result<usize, Fault> {
    document
        .remarkings
        .iter()
        .position(|other| other.id == id)
        .ok_or(Fault::UnknownRemarking { remarking: id.0 })
}

/// Sets the answer; gives the one before.
fn set_answer(remarking: &mut Remarking, asked: MarkId, answer: Answer) -> Answer {
    let marked = remarking.marks.iter().position(|mark| mark.asked == asked);
    let before = if let Some(index) = marked {
        Answer::Marked(remarking.marks.remove(index))
    } else if let Ok(index) = remarking.skipped.binary_search(&asked) {
        remarking.skipped.remove(index);
        Answer::Skipped
    } else {
        Answer::Open
    };
    match answer {
        Answer::Open => {}
        Answer::Skipped => {
            let index = remarking.skipped.partition_point(|other| *other < asked);
            remarking.skipped.insert(index, asked);
        }
        Answer::Marked(remark) => {
            let index = remarking
                .marks
                .partition_point(|other| other.order() < remark.order());
            remarking.marks.insert(index, remark);
        }
    }
    before
}

fn clip_index(document: &Document, clip: ClipId) -> Result<usize, Fault> {
    document
        .clips
        .iter()
        .position(|other| other.id == clip)
        .ok_or(Fault::UnknownClip { clip: clip.0 })
}

fn marks_of(document: &mut Document, clip: ClipId) -> Result<&mut Vec<MarkRecord>, Fault> {
    let index = clip_index(document, clip)?;
    Ok(&mut document.clips[index].marks)
}

fn mark_index(marks: &[MarkRecord], mark: MarkId) -> Result<usize, Fault> {
    marks
        .iter()
        .position(|other| other.id == mark)
        .ok_or(Fault::UnknownMark { mark: mark.0 })
}
