//! Why there is no number: a typed reason, its words, and what would give one.

use serde::{Deserialize, Serialize};

/// Why a measure has no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum AbsenceKind {
    /// No mark of this arm.
    ArmNotMarked,
    /// No mark of the other arm, and the measure needs both.
    OtherArmNotMarked,
    /// This arm has no complete cycle: an entry and its next.
    NoCompleteCycle,
    /// The other arm's entry within this cycle is not marked.
    NoOtherEntry,
    /// The stroke's catch is not marked.
    NoCatch,
    /// The other arm's catch is not marked.
    NoOtherCatch,
    /// The stroke's mid-pull is not marked.
    NoMidPull,
    /// The stroke's exit is not marked.
    NoExit,
    /// Marks it needs are in an impossible order; see its flags.
    ImpossibleOrder,
    /// The two sides add up to nothing, so their difference has no share.
    NothingToCompare,
    /// No swimming speed is stated.
    NoSpeed,
    /// The stated speed, pace or distance is not a positive number.
    SpeedNotPositive,
    /// Speed from passes needs two pass marks or more, on different frames.
    TwoPassesNeeded,
    /// No breath is marked in this clip.
    NoBreathMarked,
    /// Only one breath is marked, and the measure runs from one to the next.
    OneBreathMarked,
    /// None of the measured strokes has a breath.
    NoBreathingStroke,
    /// All of the measured strokes have a breath.
    NoNonBreathingStroke,
    /// The breath's exhale start is not marked.
    NoExhaleStart,
    /// The breath's face turn is not marked.
    NoFaceTurn,
    /// The breath's mouth clear is not marked.
    NoMouthClear,
    /// The breath's face return is not marked.
    NoFaceReturn,
    /// The breath lies in no complete cycle of the arm on its side.
    BreathOutsideCycles,
    /// The entries of both arms are needed to tell strokes apart.
    NoStrokes,
    /// No complete kick-out is marked.
    NoKickOut,
    /// No downbeats are marked over a whole cycle.
    NoDownbeat,
}

/// Why a measure has no value, with its words. Written as `{kind, message, hint}`; read from `kind` alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(into = "Written", from = "Written")]
pub struct Absence {
    /// The reason.
    pub kind: AbsenceKind,
}

#[derive(Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename = "Absence")]
struct Written {
    kind: AbsenceKind,
    #[serde(default)]
    message: String,
    #[serde(default)]
    hint: String,
}

impl From<Absence> for Written {
    fn from(absence: Absence) -> Self {
        Self {
            kind: absence.kind,
            message: absence.message().to_owned(),
            hint: absence.hint().to_owned(),
        }
    }
}

impl From<Written> for Absence {
    fn from(written: Written) -> Self {
        Self { kind: written.kind }
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Absence {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Absence".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        Written::json_schema(generator)
    }
}

impl Absence {
    /// What is missing, for the coach.
    #[must_use]
    pub fn message(self) -> &'static str {
        self.words().0
    }

    /// What would give a number.
    #[must_use]
    pub fn hint(self) -> &'static str {
        self.words().1
    }

    fn words(self) -> (&'static str, &'static str) {
        match self.kind {
            AbsenceKind::ArmNotMarked => ("This arm is not marked.", "Mark its entries first."),
            AbsenceKind::OtherArmNotMarked => (
                "The other arm is not marked.",
                "Mark both arms, if both can be seen.",
            ),
            AbsenceKind::NoCompleteCycle => (
                "There is no complete cycle.",
                "A cycle needs two entries of the same hand, one after the other.",
            ),
            AbsenceKind::NoOtherEntry => (
                "The other hand's entry in this cycle is not marked.",
                "Mark the other hand's entry.",
            ),
            AbsenceKind::NoCatch => (
                "The catch is not marked.",
                "Mark the frame where the hand starts to move backward.",
            ),
            AbsenceKind::NoOtherCatch => (
                "The other arm's catch is not marked.",
                "Mark the frame where the other hand starts to move backward.",
            ),
            AbsenceKind::NoMidPull => (
                "The mid-pull is not marked.",
                "Mark the frame where the hand passes below the shoulder.",
            ),
            AbsenceKind::NoExit => (
                "The exit is not marked.",
                "Mark the frame where the hand leaves the water.",
            ),
            AbsenceKind::ImpossibleOrder => (
                "Marks that it needs are in an impossible order.",
                "Mend the flagged marks.",
            ),
            AbsenceKind::NothingToCompare => (
                "There is nothing on either side to compare.",
                "Both sides must last longer than nothing.",
            ),
            AbsenceKind::NoSpeed => (
                "The swimming speed is not known.",
                "State the flume's speed, the pace, or mark two passes a known distance apart.",
            ),
            AbsenceKind::SpeedNotPositive => (
                "The stated speed, pace or distance is not a positive number.",
                "Correct it in the clip's facts.",
            ),
            AbsenceKind::TwoPassesNeeded => (
                "Speed from passes needs at least two pass marks on different frames.",
                "Mark where the same body point passes each reference; neighbouring references are the stated distance apart.",
            ),
            AbsenceKind::NoBreathMarked => (
                "No breath is marked.",
                "Mark at least where the mouth is clear, for every breath in the part you mark.",
            ),
            AbsenceKind::OneBreathMarked => ("Only one breath is marked.", "Mark the next breath too."),
            AbsenceKind::NoBreathingStroke => (
                "None of the measured strokes has a breath.",
                "Mark cycles with a breath, if the swimmer takes one.",
            ),
            AbsenceKind::NoNonBreathingStroke => (
                "Every measured stroke has a breath.",
                "That is how this swimmer breathes: compare the two arms instead.",
            ),
            AbsenceKind::NoExhaleStart => (
                "The start of the exhalation is not marked.",
                "Mark the first bubbles.",
            ),
            AbsenceKind::NoFaceTurn => (
                "The face turn is not marked.",
                "Mark the frame where the head starts to turn.",
            ),
            AbsenceKind::NoMouthClear => (
                "The mouth clear of the water is not marked.",
                "Mark the first frame with the mouth out of the water.",
            ),
            AbsenceKind::NoFaceReturn => (
                "The return of the face is not marked.",
                "Mark the frame where the face is back in the water.",
            ),
            AbsenceKind::BreathOutsideCycles => (
                "The breath lies in no complete cycle of the arm on its side.",
                "Mark that arm's entry before and after the breath.",
            ),
            AbsenceKind::NoStrokes => (
                "The strokes cannot be told apart.",
                "Mark the entries of both arms.",
            ),
            AbsenceKind::NoKickOut => (
                "No complete kick-out is marked.",
                "Mark where the legs part and where they close.",
            ),
            AbsenceKind::NoDownbeat => (
                "No downbeats are marked over a whole cycle.",
                "Mark every downbeat of both feet through at least one cycle.",
            ),
        }
    }
}
