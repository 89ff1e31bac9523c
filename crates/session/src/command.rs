//! The only ways to change a document.

use serde::{Deserialize, Serialize};
use stroke::{MarkId, MarkKind, Side};
use time::Ticks;

use crate::{
    ClipChange, ClipId, ComparisonChange, ComparisonId, Fault, NewClip, NewComparison, Proof, Refusal,
    RemarkingId, SessionChange, command_text,
};

/// A change of the document, as the page sends it and the journal keeps it: an object whose field
/// `command` names it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self", rename_all = "snake_case", deny_unknown_fields)]
pub enum Command {
    /// Adds a clip; it gets the document's `next_clip`.
    AddClip {
        /// The clip, without id and marks.
        clip: Box<NewClip>,
    },
    /// Removes a clip and its marks.
    RemoveClip {
        /// Which clip.
        clip: ClipId,
    },
    /// Changes what the coach says about a clip.
    EditClip {
        /// Which clip.
        clip: ClipId,
        /// The fields to change.
        change: Box<ClipChange>,
    },
    /// Adds a mark; it gets the document's `next_mark`.
    AddMark {
        /// On which clip.
        clip: ClipId,
        /// What happened.
        kind: MarkKind,
        /// Of which side; absent or `null` for a pass.
        #[serde(default)]
        side: Option<Side>,
        /// The start of the frame it was seen on, in the clip's ticks.
        time: Ticks,
        /// How sure it is that this was the frame shown.
        proof: Proof,
    },
    /// Moves a mark to another frame.
    MoveMark {
        /// Which mark.
        mark: MarkId,
        /// The start of the frame it was seen on, in the clip's ticks.
        time: Ticks,
        /// How sure it is that this was the frame shown.
        proof: Proof,
    },
    /// Makes a mark one of another kind or side, on the same frame.
    RetypeMark {
        /// Which mark.
        mark: MarkId,
        /// What happened.
        kind: MarkKind,
        /// Of which side; absent or `null` for a pass.
        #[serde(default)]
        side: Option<Side>,
    },
    /// Deletes marks.
    DeleteMarks {
        /// Which marks; one named twice counts once.
        marks: Vec<MarkId>,
    },
    /// Changes the session itself.
    EditSession {
        /// The fields to change.
        change: Box<SessionChange>,
    },
    /// Begins to mark a passage a second time; it gets the document's `next_remarking` and asks for the marks
    /// that the clip has there now.
    AddRemarking {
        /// Which clip.
        clip: ClipId,
        /// Where the passage starts; absent or `null`: at the start of the clip.
        #[serde(default)]
        from: Option<Ticks>,
        /// Where it ends, inclusive; absent or `null`: at the end of the clip.
        #[serde(default)]
        to: Option<Ticks>,
    },
    /// Answers a question of a second marking.
    AddRemark {
        /// Which second marking.
        remarking: RemarkingId,
        /// The earlier mark whose event was asked for.
        asked: MarkId,
        /// The start of the frame it was seen on, in the clip's ticks.
        time: Ticks,
        /// How sure it is that this was the frame shown.
        proof: Proof,
    },
    /// Moves a mark of a second marking to another frame.
    MoveRemark {
        /// Which second marking.
        remarking: RemarkingId,
        /// The earlier mark whose event was asked for.
        asked: MarkId,
        /// The start of the frame it was seen on, in the clip's ticks.
        time: Ticks,
        /// How sure it is that this was the frame shown.
        proof: Proof,
    },
    /// Passes over a question of a second marking.
    SkipRemark {
        /// Which second marking.
        remarking: RemarkingId,
        /// The earlier mark whose event was asked for.
        asked: MarkId,
    },
    /// Takes back an answer of a second marking, or that its question was passed over.
    DeleteRemark {
        /// Which second marking.
        remarking: RemarkingId,
        /// The earlier mark whose event was asked for.
        asked: MarkId,
    },
    /// Finishes a second marking: from then on it counts.
    FinishRemarking {
        /// Which second marking.
        remarking: RemarkingId,
    },
    /// Discards a second marking, finished or not.
    RemoveRemarking {
        /// Which second marking.
        remarking: RemarkingId,
    },
    /// Keeps a comparison of two sets of cycles; it gets the document's `next_comparison`.
    AddComparison {
        /// The comparison, without id.
        comparison: Box<NewComparison>,
    },
    /// Changes a comparison.
    EditComparison {
        /// Which comparison.
        comparison: ComparisonId,
        /// The fields to change.
        change: Box<ComparisonChange>,
    },
    /// Removes a comparison.
    RemoveComparison {
        /// Which comparison.
        comparison: ComparisonId,
    },
    /// Several commands as one step: all of them, or none where one is refused.
    Group {
        /// What the step is called when it is undone.
        label: String,
        /// The commands, in order; no groups.
        commands: Vec<Command>,
    },
}

impl Command {
    /// Reads a command.
    ///
    /// # Errors
    /// [`Fault::NotACommand`] with serde's reason.
    pub fn from_json(text: &str) -> Result<Self, Refusal> {
        command_text::read(text).map_err(|error| {
            Refusal::from(Fault::NotACommand {
                reason: error.to_string(),
            })
        })
    }
}
