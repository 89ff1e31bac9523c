//! A document and the way it came about: every step can be taken back and done again, without limit.

use std::collections::HashSet;

use stroke::MarkId;

use crate::edit::Edit;
use crate::journal::Entry;
use crate::perform::{Performed, perform, take_back};
use crate::{ClipId, Command, Document, Fault, Refusal};

/// A step that was done or undone.
#[derive(Clone, Debug)]
struct Step {
    label: String,
    /// What takes it back (of a done step) or does it again (of an undone one); from the last to the first.
    edits: Vec<Edit>,
}

/// The document and its steps.
#[derive(Clone, Debug)]
pub struct History {
    document: Document,
    done: Vec<Step>,
    undone: Vec<Step>,
    lines: u64,
}

/// What a command, an undo or a redo did.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Applied {
    /// One line of JSON without a line break: append it to the journal.
    pub journal_line: String,
    /// The step in the coach's words, such as "mark left entry on frame 120".
    pub label: String,
    /// The clips that are not as before, in order of id; those that were removed too.
    pub clips_touched: Vec<ClipId>,
    /// The marks that were not there before, in order of id; those of a clip in `new_clips` are not listed.
    pub new_marks: Vec<MarkId>,
    /// The clips that were not there before, in order of id.
    pub new_clips: Vec<ClipId>,
}

impl History {
    /// Starts from a document, with nothing to undo.
    #[must_use]
    pub fn new(document: Document) -> Self {
        Self {
            document,
            done: Vec::new(),
            undone: Vec::new(),
            lines: 0,
        }
    }

    /// The document as it stands.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// How many journal lines there are so far.
    #[must_use]
    pub fn journal_lines(&self) -> u64 {
        self.lines
    }

    /// Does a command.
    ///
    /// # Errors
    /// [`Refusal`] says why the command cannot be done; the document is then as it was.
    pub fn apply(&mut self, command: Command) -> Result<Applied, Refusal> {
        let line = self.lines + 1;
        let journal_line = Entry::apply(line, &command).written()?;
        let step = self.perform(command)?;
        let applied = Applied::of(&step.edits, journal_line, &step.label);
        self.done.push(step);
        Ok(applied)
    }

    /// Does a command again that a journal tells of, whose line is written already.
    pub(crate) fn apply_again(&mut self, command: Command) -> Result<(), Refusal> {
        let step = self.perform(command)?;
        self.done.push(step);
        Ok(())
    }

    fn perform(&mut self, command: Command) -> Result<Step, Refusal> {
        let Performed { label, inverse } = perform(&mut self.document, command)?;
        self.undone.clear();
        self.lines += 1;
        Ok(Step {
            label,
            edits: inverse,
        })
    }

    /// Takes back the last step that is done.
    ///
    /// # Errors
    /// [`Fault::NothingToUndo`].
    pub fn undo(&mut self) -> Result<Applied, Refusal> {
        let line = self.lines + 1;
        let journal_line = Entry::<Command>::undo(line).written()?;
        let step = self.done.pop().ok_or(Fault::NothingToUndo)?;
        let edits = take_back(&mut self.document, step.edits)?;
        let applied = Applied::of(&edits, journal_line, &step.label);
        self.undone.push(Step { edits, ..step });
        self.lines = line;
        Ok(applied)
    }

    /// Does the step again that was undone last.
    ///
    /// # Errors
    /// [`Fault::NothingToRedo`].
    pub fn redo(&mut self) -> Result<Applied, Refusal> {
        let line = self.lines + 1;
        let journal_line = Entry::<Command>::redo(line).written()?;
        let step = self.undone.pop().ok_or(Fault::NothingToRedo)?;
        let edits = take_back(&mut self.document, step.edits)?;
        let applied = Applied::of(&edits, journal_line, &step.label);
        self.done.push(Step { edits, ..step });
        self.lines = line;
        Ok(applied)
    }

    /// What undo would take back; `None` where there is nothing.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|step| step.label.as_str())
    }

    /// What redo would do again; `None` where there is nothing.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|step| step.label.as_str())
    }
}

impl Applied {
    /// Read from the edits that take the step back: what they would take out is new.
    fn of(inverse: &[Edit], journal_line: String, label: &str) -> Self {
        let mut clips_touched: Vec<ClipId> = inverse.iter().filter_map(Edit::clip).collect();
        let mut new_marks = Vec::new();
        let mut new_clips = Vec::new();
        let mut gone_marks = HashSet::new();
        let mut gone_clips = HashSet::new();
        for edit in inverse {
            match edit {
                Edit::MarkOut { mark, .. } => new_marks.push(*mark),
                Edit::ClipOut { clip, .. } => new_clips.push(*clip),
                Edit::MarkIn { mark, .. } => drop(gone_marks.insert(mark.id)),
                Edit::ClipIn { clip, .. } => {
                    gone_clips.insert(clip.id);
                    gone_marks.extend(clip.marks.iter().map(|mark| mark.id));
                }
                _ => {}
            }
        }
        // A group may add and delete the same mark.
        new_marks.retain(|mark| !gone_marks.contains(mark));
        new_clips.retain(|clip| !gone_clips.contains(clip));
        tiny_sort::unstable::sort(&mut clips_touched);
        clips_touched.dedup();
        tiny_sort::unstable::sort(&mut new_marks);
        tiny_sort::unstable::sort(&mut new_clips);
        Self {
            journal_line,
            label: label.to_owned(),
            clips_touched,
            new_marks,
            new_clips,
        }
    }
}
