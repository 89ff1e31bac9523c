//! Sets of cycles of several sessions compared.

use serde::Serialize;
use stroke::{Comparison, MeasureKind, SelectedCycles};

use super::swimmer::same_swimmer;
use crate::cycle_set::CyclePart;
use crate::{ClipId, CycleSet, Date, Document, Fault, Refusal, check};

/// Sessions whose clips go by numbers of their own, so that a [`CycleSet`] may take them from any of the sessions.
#[derive(Clone, Debug)]
pub struct SideBySide<'a> {
    documents: Vec<&'a Document>,
    clips: Vec<ClipOfVisit>,
}

/// A clip and the session it is of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ClipOfVisit {
    /// What a set and a comparison call it here.
    pub name: u32,
    /// The session's id.
    pub session: String,
    /// The session's day.
    pub date: Date,
    /// The clip's id within the session.
    pub clip: ClipId,
}

impl<'a> SideBySide<'a> {
    /// The open session and others. The open one's clips keep their ids, the others' get numbers that none of those
    /// has; a session that comes a second time is left out.
    #[must_use]
    pub fn of(open: &'a Document, others: &[&'a Document]) -> Self {
        let mut documents = vec![open];
        for other in others {
            if documents.iter().all(|document| document.id != other.id) {
                documents.push(other);
            }
        }
        let mut free = (1..).filter(|name| open.clip(ClipId(*name)).is_none());
        let mut clips = Vec::new();
        for (place, document) in documents.iter().enumerate() {
            for clip in &document.clips {
                let name = if place == 0 { Some(clip.id.0) } else { free.next() };
                clips.extend(name.map(|name| ClipOfVisit {
                    name,
                    session: document.id.clone(),
                    date: document.date,
                    clip: clip.id,
                }));
            }
        }
        Self { documents, clips }
    }

    /// Every clip of every session.
    #[must_use]
    pub fn clips(&self) -> &[ClipOfVisit] {
        &self.clips
    }

    /// The session and the id that a clip's number here stands for.
    ///
    /// # Errors
    /// [`Fault::UnknownClip`].
    pub fn place_of(&self, name: u32) -> Result<(&'a Document, ClipId), Fault> {
        let unknown = Fault::UnknownClip { clip: name };
        let Some(of) = self.clips.iter().find(|clip| clip.name == name) else {
            return Err(unknown);
        };
        let document = self.documents.iter().find(|document| document.id == of.session);
        document.map(|document| (*document, of.clip)).ok_or(unknown)
    }

    /// Compares two sets as [`Document::comparison`] does within one session.
    ///
    /// # Errors
    /// As [`Document::selected_cycles`].
    pub fn comparison(
        &self,
        before: &CycleSet,
        after: &CycleSet,
        paired: bool,
        kinds: &[MeasureKind],
    ) -> Result<Comparison, Refusal> {
        let (before, after) = (self.selected_cycles(before)?, self.selected_cycles(after)?);
        // What is known of the coach's own marking is known in the open session.
        let open = self.documents.first().ok_or(Fault::CycleSetEmpty)?;
        open.compared(&before, &after, paired, kinds)
    }

    /// The cycles of the set with everything that is measured of them, each clip under its number here.
    ///
    /// # Errors
    /// As [`Document::selected_cycles`].
    pub fn selected_cycles(&self, set: &CycleSet) -> Result<Vec<SelectedCycles>, Refusal> {
        check::stretches(set)?;
        let mut selected = Vec::with_capacity(set.parts.len());
        for part in &set.parts {
            let (document, clip) = self.place_of(part.clip.0)?;
            let own = CyclePart { clip, ..*part };
            selected.push(document.part_of(set, &own, part.clip.0, self.label_of(document))?);
        }
        Ok(selected)
    }

    /// The swimmer's label as the open session writes it, where it is the same swimmer.
    fn label_of(&self, document: &'a Document) -> &'a str {
        let open = self.documents.first().map(|open| open.athlete.label.as_str());
        let own = document.athlete.label.as_str();
        open.filter(|open| same_swimmer(open, own)).unwrap_or(own)
    }
}
