//! A session in a few words, for a list of sessions.

use serde::Serialize;
use stroke::{MarkKind, Side};

use crate::{ClipId, ClipRecord, Date, Document};

/// A session in a few words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Summary {
    /// The session's id.
    pub id: String,
    /// The swimmer's label; may be empty.
    pub athlete_label: String,
    /// The day of filming.
    pub date: Date,
    /// The clips, in the order in which they were added.
    pub clips: Vec<ClipSummary>,
    /// Arm cycles in all clips, see [`ClipSummary::cycles_marked`].
    pub cycles_marked: usize,
    /// Marks in all clips.
    pub marks: usize,
}

/// A clip in a few words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ClipSummary {
    /// The clip's id.
    pub id: ClipId,
    /// The file's name.
    pub name: String,
    /// The coach's word for it; may be empty.
    pub label: String,
    /// Cycles (entry to the same hand's next entry) of the arm that has more of them.
    pub cycles_marked: usize,
    /// Marks of all kinds.
    pub marks: usize,
}

impl Document {
    /// The session in a few words.
    #[must_use]
    pub fn summary(&self) -> Summary {
        let clips: Vec<ClipSummary> = self.clips.iter().map(ClipRecord::summary).collect();
        Summary {
            id: self.id.clone(),
            athlete_label: self.athlete.label.clone(),
            date: self.date,
            cycles_marked: clips.iter().map(|clip| clip.cycles_marked).sum(),
            marks: clips.iter().map(|clip| clip.marks).sum(),
            clips,
        }
    }
}

impl ClipRecord {
    /// The clip in a few words.
    #[must_use]
    pub fn summary(&self) -> ClipSummary {
        ClipSummary {
            id: self.id,
            name: self.name.clone(),
            label: self.label.clone(),
            cycles_marked: self.cycles_of(Side::Left).max(self.cycles_of(Side::Right)),
            marks: self.marks.len(),
        }
    }

    fn cycles_of(&self, side: Side) -> usize {
        let entries = self
            .marks
            .iter()
            .filter(|mark| mark.kind == MarkKind::Entry && mark.side == Some(side));
        entries.count().saturating_sub(1)
    }
}
