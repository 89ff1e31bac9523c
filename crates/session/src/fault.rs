//! What can be wrong with a command or a document: one list for both, since both keep the same rules.

use stroke::{MarkKind, Side};
use thiserror::Error;

use crate::limits::Range;
use crate::trouble::{Place, Severity, Trouble};
use crate::words::{mark_words, range_words, side_words};

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Error)]
#[expect(
    missing_docs,
    reason = "the fields are those of the sentence above each variant"
)]
pub enum Fault {
    /// A clip that the session does not have.
    #[error("this session has no clip {clip}")]
    UnknownClip { clip: u32 },
    /// A mark that the session does not have.
    #[error("this session has no mark {mark}")]
    UnknownMark { mark: u32 },
    /// A second marking that the session does not have.
    #[error("this session has no second marking {remarking}")]
    UnknownRemarking { remarking: u32 },
    /// A question that a second marking does not ask.
    #[error("this second marking does not ask for mark {asked}")]
    UnknownQuestion { asked: u32 },
    /// A question that has no answer yet.
    #[error("mark {asked} is not yet answered in this second marking")]
    UnknownRemark { asked: u32 },
    /// A question that is answered, or passed over, already.
    #[error("mark {asked} is answered twice in this second marking")]
    AnsweredTwice { asked: u32 },
    /// An answer of another kind or side than asked for.
    #[error("the answer to mark {asked} is {}, and {} was asked for", mark_words(*kind, *side), mark_words(*wanted_kind, *wanted_side))]
    AnswerDiffers {
        asked: u32,
        kind: MarkKind,
        side: Option<Side>,
        wanted_kind: MarkKind,
        wanted_side: Option<Side>,
    },
    /// A second marking that is finished and counts.
    #[error("this second marking is finished")]
    RemarkingFinished,
    /// A finish before anything was marked again.
    #[error("nothing was marked again yet")]
    NothingMarkedAgain,
    /// A passage without marks.
    #[error("this passage of “{clip}” has no marks that could be made again")]
    NothingToMarkAgain { clip: String },
    /// A comparison that the session does not have.
    #[error("this session has no comparison {comparison}")]
    UnknownComparison { comparison: u32 },
    /// A time that is the start of no frame of the clip.
    #[error(
        "no frame of “{clip}” starts at {time} ticks; the nearest is frame {nearest_frame} at {nearest_time}"
    )]
    NoFrameAtTime {
        clip: String,
        time: i64,
        nearest_frame: usize,
        nearest_time: i64,
    },
    /// A side that this kind of mark cannot have.
    #[error("a mark “{}” cannot be of side {}", kind.words(), side_words(*side))]
    SideNotPossible { kind: MarkKind, side: Option<Side> },
    /// The same event of the same side is already on that frame.
    #[error("frame {frame} already has a mark {}", mark_words(*kind, *side))]
    MarkExists {
        kind: MarkKind,
        side: Option<Side>,
        frame: usize,
    },
    /// A text longer than there is room for.
    #[error("{field} has {length} characters; {most} are possible")]
    TextTooLong {
        field: &'static str,
        length: usize,
        most: usize,
    },
    /// A text that must not be empty.
    #[error("{field} is empty")]
    TextEmpty { field: &'static str },
    /// A line break or another control character in a text of one line.
    #[error("{field} holds a line break or another control character")]
    ControlCharacter { field: &'static str },
    /// A number outside what is possible.
    #[error("{field} is {value} {}; it has to be {}", range.unit, range_words(range))]
    OutOfRange {
        field: &'static str,
        value: f64,
        range: Range,
    },
    /// An integer that not every JSON reader keeps exactly.
    #[error("{field} is {value}, beyond 2^53 − 1, the largest integer that every JSON reader keeps")]
    IntegerTooLarge { field: &'static str, value: i128 },
    /// A text that names no day.
    #[error("“{text}” is no day of the calendar, written YYYY-MM-DD, from 1900 to 2999")]
    NotADate { text: String },
    /// A session id that cannot serve as a name in storage.
    #[error("the session id “{text}” is not 1 to 64 ASCII letters, digits, “-” or “_”")]
    SessionId { text: String },
    /// A picture with no width or no height.
    #[error("the picture is {width} × {height} pixels")]
    PictureSize { width: u32, height: u32 },
    /// A rotation that is no quarter turn.
    #[error("the rotation is {rotation_deg}°, not 0, 90, 180 or 270")]
    Rotation { rotation_deg: u16 },
    /// A duplicated frame that the clip does not have, or out of order.
    #[error("duplicated frame {frame} is out of order or beyond the clip's {frames} frames")]
    DuplicatedFrame { frame: u32, frames: usize },
    /// More of something than a session can hold.
    #[error("more than {most} {what}")]
    TooMany { what: &'static str, most: usize },
    /// The same id twice.
    #[error("{what} id {id} is used twice")]
    IdUsedTwice { what: &'static str, id: u32 },
    /// A next id that is already in use, or an id of 0.
    #[error("{what} id {id} is not between 1 and {} (next_{what} is {next})", next.saturating_sub(1))]
    IdNotBelowNext { what: &'static str, id: u32, next: u32 },
    /// The same aid twice.
    #[error("an aid is named twice")]
    AidTwice,
    /// A set of cycles that names no clip.
    #[error("the set of cycles names no clip")]
    CycleSetEmpty,
    /// A stretch of a clip that ends before it starts.
    #[error("the stretch from {from} to {to} ticks holds nothing")]
    StretchEmpty { from: i64, to: i64 },
    /// A command that leaves everything as it is.
    #[error("this changes nothing")]
    NothingChanges,
    /// A group without commands.
    #[error("the group “{label}” holds no commands")]
    GroupEmpty { label: String },
    /// A group inside a group.
    #[error("a group cannot hold another group")]
    GroupInGroup,
    /// Text that is no command.
    #[error("this is no command: {reason}")]
    NotACommand { reason: String },
    /// A value that JSON cannot write.
    #[error("this cannot be written: {reason}")]
    NotWritable { reason: String },
    /// Nothing left to undo.
    #[error("there is nothing to undo")]
    NothingToUndo,
    /// Nothing left to redo.
    #[error("there is nothing to redo")]
    NothingToRedo,
}

impl Fault {
    /// A stable snake_case name.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::UnknownClip { .. } => "unknown_clip",
            Self::UnknownMark { .. } => "unknown_mark",
            Self::UnknownComparison { .. } => "unknown_comparison",
            Self::UnknownRemarking { .. } => "unknown_remarking",
            Self::UnknownQuestion { .. } => "unknown_question",
            Self::UnknownRemark { .. } => "unknown_remark",
            Self::AnsweredTwice { .. } => "answered_twice",
            Self::AnswerDiffers { .. } => "answer_differs",
            Self::RemarkingFinished => "remarking_finished",
            Self::NothingMarkedAgain => "nothing_marked_again",
            Self::NothingToMarkAgain { .. } => "nothing_to_mark_again",
            Self::NoFrameAtTime { .. } => "no_frame_at_time",
            Self::SideNotPossible { .. } => "side_not_possible",
            Self::MarkExists { .. } => "mark_exists",
            Self::TextTooLong { .. } => "text_too_long",
            Self::TextEmpty { .. } => "text_empty",
            Self::ControlCharacter { .. } => "control_character",
            Self::OutOfRange { .. } => "out_of_range",
            Self::IntegerTooLarge { .. } => "integer_too_large",
            Self::NotADate { .. } => "not_a_date",
            Self::SessionId { .. } => "session_id",
            Self::PictureSize { .. } => "picture_size",
            Self::Rotation { .. } => "rotation",
            Self::DuplicatedFrame { .. } => "duplicated_frame",
            Self::TooMany { .. } => "too_many",
            Self::IdUsedTwice { .. } => "id_used_twice",
            Self::IdNotBelowNext { .. } => "id_not_below_next",
            Self::AidTwice => "aid_twice",
            Self::CycleSetEmpty => "cycle_set_empty",
            Self::StretchEmpty { .. } => "stretch_empty",
            Self::NothingChanges => "nothing_changes",
            Self::GroupEmpty { .. } => "group_empty",
            Self::GroupInGroup => "group_in_group",
            Self::NotACommand { .. } => "not_a_command",
            Self::NotWritable { .. } => "not_writable",
            Self::NothingToUndo => "nothing_to_undo",
            Self::NothingToRedo => "nothing_to_redo",
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::UnknownClip { .. } => "It may have been removed; undo brings it back.".into(),
            Self::UnknownMark { .. } => "It may have been deleted; undo brings it back.".into(),
            Self::UnknownComparison { .. } => "It may have been removed; undo brings it back.".into(),
            Self::UnknownRemarking { .. } => "It may have been discarded; undo brings it back.".into(),
            Self::UnknownQuestion { .. } => "Answer what it asks for.".into(),
            Self::UnknownRemark { .. } => "Mark it, or pass over it.".into(),
            Self::AnsweredTwice { .. } => "Go back one question to answer it anew.".into(),
            Self::AnswerDiffers { .. } => "Mark the event that is asked for.".into(),
            Self::RemarkingFinished => "Undo the finish, or begin another.".into(),
            Self::NothingMarkedAgain => "Mark at least one event, or discard it.".into(),
            Self::NothingToMarkAgain { .. } => "Choose a passage that you have marked.".into(),
            Self::NoFrameAtTime { nearest_frame, .. } => {
                format!("Step to frame {nearest_frame} and mark there.")
            }
            Self::SideNotPossible { kind, .. } => match kind.body() {
                stroke::Body::Arm | stroke::Body::Head => "Say left or right.".into(),
                stroke::Body::Legs => "Say left, right or both.".into(),
                stroke::Body::Whole => "A pass has no side: leave it out.".into(),
            },
            Self::MarkExists { .. } => {
                "Step to another frame, or move or delete the mark that is there.".into()
            }
            Self::TextTooLong { most, .. } => format!("Shorten it to {most} characters."),
            Self::TextEmpty { .. } => "Write something.".into(),
            Self::ControlCharacter { .. } => "Write it on one line.".into(),
            Self::OutOfRange { range, .. } => {
                format!("Give a number {} {}.", range_words(range), range.unit)
            }
            Self::IntegerTooLarge { .. } => "The file's own numbers are damaged; copy the clip again.".into(),
            Self::NotADate { .. } => "Write the day as YYYY-MM-DD, such as 2026-03-14.".into(),
            Self::SessionId { .. } => "Use letters, digits, “-” and “_”.".into(),
            Self::PictureSize { .. } => "Check that the clip has a picture.".into(),
            Self::Rotation { .. } => "Give a quarter turn.".into(),
            Self::DuplicatedFrame { .. } => "Look for duplicated frames again with the clip open.".into(),
            Self::TooMany { what, .. } => format!("Start another session for the other {what}."),
            Self::IdUsedTwice { .. } | Self::IdNotBelowNext { .. } => {
                "Give every clip, mark, second marking and comparison an id of its own, below next_clip, next_mark, next_remarking \
                 and next_comparison."
                    .into()
            }
            Self::AidTwice => "Name each aid once.".into(),
            Self::CycleSetEmpty => "Choose at least one clip for it.".into(),
            Self::StretchEmpty { .. } => "Let it end after it starts.".into(),
            Self::NothingChanges => "Nothing to do.".into(),
            Self::GroupEmpty { .. } | Self::GroupInGroup => {
                "List the commands themselves in the group.".into()
            }
            Self::NotACommand { .. } => {
                "See FORMAT.md of the session crate for the commands and their fields.".into()
            }
            Self::NotWritable { .. } => "Undo the last step and report this.".into(),
            Self::NothingToUndo | Self::NothingToRedo => "Nothing to do.".into(),
        }
    }

    /// How much it matters.
    #[must_use]
    pub fn severity(&self) -> Severity {
        match self {
            Self::NothingChanges | Self::NothingToUndo | Self::NothingToRedo => Severity::Notice,
            _ => Severity::Error,
        }
    }

    /// The fault at a place, for the page.
    #[must_use]
    pub fn trouble(&self, place: Place) -> Trouble {
        Trouble {
            kind: self.kind().into(),
            message: self.to_string(),
            hint: self.hint(),
            severity: self.severity(),
            place,
        }
    }
}

/// A command that was refused, and where; the document is as it was before.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{fault}")]
pub struct Refusal {
    /// What is wrong.
    pub fault: Fault,
    /// Where.
    pub place: Box<Place>,
}

impl Refusal {
    /// In the shape that the page shows.
    #[must_use]
    pub fn trouble(&self) -> Trouble {
        self.fault.trouble((*self.place).clone())
    }
}

impl From<Fault> for Refusal {
    fn from(fault: Fault) -> Self {
        let mut place = Box::<Place>::default();
        match &fault {
            Fault::UnknownClip { clip } => place.clip = Some(*clip),
            Fault::UnknownMark { mark } => place.mark = Some(*mark),
            Fault::MarkExists { frame, .. } => place.frame = Some(*frame),
            _ => {}
        }
        Self { fault, place }
    }
}
