//! The kinds of measure: names, units, and the marks each one uses.
//!
//! The names are those of the session's CSV and of the screen. What each number means, its formula, source
//! and limits: `METHODS.md` in this crate.

use serde::{Deserialize, Serialize};

use crate::MarkKind;

/// What is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MeasureKind {
    /// Duration of an arm's cycle, entry to the same hand's next entry.
    CycleDuration,
    /// Strokes a minute, 120/T: one cycle of the crawl is two strokes.
    StrokeRate,
    /// Cycles a minute, 60/T.
    CycleRate,
    /// Seconds a stroke, T/2: what a beeper is set to.
    StrokeInterval,
    /// Entry to catch, % of the cycle.
    PhaseEntryAndCatch,
    /// Catch to mid-pull, % of the cycle.
    PhasePull,
    /// Mid-pull to exit, % of the cycle.
    PhasePush,
    /// Exit to next entry, % of the cycle.
    PhaseRecovery,
    /// Entry to catch.
    PhaseEntryAndCatchDuration,
    /// Catch to mid-pull.
    PhasePullDuration,
    /// Mid-pull to exit.
    PhasePushDuration,
    /// Exit to next entry.
    PhaseRecoveryDuration,
    /// Pull and push together (catch to exit), % of the cycle.
    PropulsiveShare,
    /// 100·(exit of one arm − catch of the other)/T of the arm whose propulsion ends; below 0 catch-up, above 0 superposition.
    IndexOfCoordination,
    /// Catch of the waiting arm − exit of the other: time in which neither arm propels; negative = overlap.
    PropulsiveGap,
    /// The same, in frames of the clip.
    PropulsiveGapFrames,
    /// The same, % of the cycle of the arm whose propulsion ends.
    PropulsiveGapShare,
    /// Catch of the lead arm − entry of the other hand; positive = the lead arm still waits when the other hand comes in.
    LeadArmLag,
    /// Symmetry index 200·(right − left)/(right + left) of the mean durations from entry to catch.
    SymmetryPhaseEntryAndCatchDuration,
    /// Symmetry index of the mean pull durations.
    SymmetryPhasePullDuration,
    /// Symmetry index of the mean push durations.
    SymmetryPhasePushDuration,
    /// Symmetry index of the mean recovery durations.
    SymmetryPhaseRecoveryDuration,
    /// Symmetry index of the mean propulsive shares.
    SymmetryPropulsiveShare,
    /// Index of coordination of the right arm − that of the left, percentage points.
    IndexOfCoordinationDifference,
    /// Swimming speed, as stated or from two passes.
    Speed,
    /// Metres a complete cycle, v·T.
    StrokeLength,
    /// Speed × stroke length.
    StrokeIndex,
    /// Strokes from one breath to the next.
    StrokesPerBreath,
    /// Face turn to mouth clear.
    BreathTurnToClear,
    /// The same, in frames of the clip.
    BreathTurnToClearFrames,
    /// The same, % of the cycle of the arm on the breathing side.
    BreathTurnToClearShare,
    /// Mouth clear to face return.
    BreathOpen,
    /// The same, in frames of the clip.
    BreathOpenFrames,
    /// The same, % of the cycle of the arm on the breathing side.
    BreathOpenShare,
    /// Exhale start to mouth clear.
    Exhale,
    /// The same, in frames of the clip.
    ExhaleFrames,
    /// The same, % of the cycle of the arm on the breathing side.
    ExhaleShare,
    /// Face return to the next exhale start.
    BreathHold,
    /// The same, in frames of the clip.
    BreathHoldFrames,
    /// The same, % of the cycle of the arm on the breathing side.
    BreathHoldShare,
    /// The part of the exhalation that falls after the face turn starts, %.
    LateExhaleShare,
    /// How far the recovery of the arm on the breathing side has gone when the face is back: 0 % at its exit, 100 % at its next entry.
    FaceReturnInRecovery,
    /// Kick-out start to end.
    KickOutDuration,
    /// Kick-outs that start in a stroke with a breath, per such stroke.
    KickOutsPerBreathingStroke,
    /// Kick-outs that start in a stroke without a breath, per such stroke.
    KickOutsPerNonBreathingStroke,
    /// Downbeats within an arm's cycle.
    KickBeatsPerCycle,
}

/// The unit of a quantity; serialised as it is written on the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Unit {
    /// s.
    #[serde(rename = "s")]
    Seconds,
    /// Frames of the clip.
    #[serde(rename = "frames")]
    Frames,
    /// Per cent.
    #[serde(rename = "%")]
    Percent,
    /// Percentage points: the difference of two percentages.
    #[serde(rename = "points")]
    Points,
    /// strokes/min.
    #[serde(rename = "strokes/min")]
    StrokesPerMinute,
    /// cycles/min.
    #[serde(rename = "cycles/min")]
    CyclesPerMinute,
    /// m.
    #[serde(rename = "m")]
    Metres,
    /// m/s.
    #[serde(rename = "m/s")]
    MetresPerSecond,
    /// m²/s.
    #[serde(rename = "m²/s")]
    SquareMetresPerSecond,
    /// strokes.
    #[serde(rename = "strokes")]
    Strokes,
    /// kick-outs/stroke.
    #[serde(rename = "kick-outs/stroke")]
    KickOuts,
    /// beats/cycle.
    #[serde(rename = "beats/cycle")]
    Beats,
}

impl Unit {
    /// As it is written on the screen and in the CSV.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Seconds => "s",
            Self::Frames => "frames",
            Self::Percent => "%",
            Self::Points => "points",
            Self::StrokesPerMinute => "strokes/min",
            Self::CyclesPerMinute => "cycles/min",
            Self::Metres => "m",
            Self::MetresPerSecond => "m/s",
            Self::SquareMetresPerSecond => "m²/s",
            Self::Strokes => "strokes",
            Self::KickOuts => "kick-outs/stroke",
            Self::Beats => "beats/cycle",
        }
    }
}

impl MeasureKind {
    /// Every kind, in the order in which measures are listed.
    pub const ALL: [Self; 46] = [
        Self::CycleDuration,
        Self::StrokeRate,
        Self::CycleRate,
        Self::StrokeInterval,
        Self::PhaseEntryAndCatch,
        Self::PhasePull,
        Self::PhasePush,
        Self::PhaseRecovery,
        Self::PhaseEntryAndCatchDuration,
        Self::PhasePullDuration,
        Self::PhasePushDuration,
        Self::PhaseRecoveryDuration,
        Self::PropulsiveShare,
        Self::IndexOfCoordination,
        Self::PropulsiveGap,
        Self::PropulsiveGapFrames,
        Self::PropulsiveGapShare,
        Self::LeadArmLag,
        Self::SymmetryPhaseEntryAndCatchDuration,
        Self::SymmetryPhasePullDuration,
        Self::SymmetryPhasePushDuration,
        Self::SymmetryPhaseRecoveryDuration,
        Self::SymmetryPropulsiveShare,
        Self::IndexOfCoordinationDifference,
        Self::Speed,
        Self::StrokeLength,
        Self::StrokeIndex,
        Self::StrokesPerBreath,
        Self::BreathTurnToClear,
        Self::BreathTurnToClearFrames,
        Self::BreathTurnToClearShare,
        Self::BreathOpen,
        Self::BreathOpenFrames,
        Self::BreathOpenShare,
        Self::Exhale,
        Self::ExhaleFrames,
        Self::ExhaleShare,
        Self::BreathHold,
        Self::BreathHoldFrames,
        Self::BreathHoldShare,
        Self::LateExhaleShare,
        Self::FaceReturnInRecovery,
        Self::KickOutDuration,
        Self::KickOutsPerBreathingStroke,
        Self::KickOutsPerNonBreathingStroke,
        Self::KickBeatsPerCycle,
    ];

    /// Its name in files: snake_case, as serde writes it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::CycleDuration => "cycle_duration",
            Self::StrokeRate => "stroke_rate",
            Self::CycleRate => "cycle_rate",
            Self::StrokeInterval => "stroke_interval",
            Self::PhaseEntryAndCatch => "phase_entry_and_catch",
            Self::PhasePull => "phase_pull",
            Self::PhasePush => "phase_push",
            Self::PhaseRecovery => "phase_recovery",
            Self::PhaseEntryAndCatchDuration => "phase_entry_and_catch_duration",
            Self::PhasePullDuration => "phase_pull_duration",
            Self::PhasePushDuration => "phase_push_duration",
            Self::PhaseRecoveryDuration => "phase_recovery_duration",
            Self::PropulsiveShare => "propulsive_share",
            Self::IndexOfCoordination => "index_of_coordination",
            Self::PropulsiveGap => "propulsive_gap",
            Self::PropulsiveGapFrames => "propulsive_gap_frames",
            Self::PropulsiveGapShare => "propulsive_gap_share",
            Self::LeadArmLag => "lead_arm_lag",
            Self::SymmetryPhaseEntryAndCatchDuration => "symmetry_phase_entry_and_catch_duration",
            Self::SymmetryPhasePullDuration => "symmetry_phase_pull_duration",
            Self::SymmetryPhasePushDuration => "symmetry_phase_push_duration",
            Self::SymmetryPhaseRecoveryDuration => "symmetry_phase_recovery_duration",
            Self::SymmetryPropulsiveShare => "symmetry_propulsive_share",
            Self::IndexOfCoordinationDifference => "index_of_coordination_difference",
            Self::Speed => "speed",
            Self::StrokeLength => "stroke_length",
            Self::StrokeIndex => "stroke_index",
            Self::StrokesPerBreath => "strokes_per_breath",
            Self::BreathTurnToClear => "breath_turn_to_clear",
            Self::BreathTurnToClearFrames => "breath_turn_to_clear_frames",
            Self::BreathTurnToClearShare => "breath_turn_to_clear_share",
            Self::BreathOpen => "breath_open",
            Self::BreathOpenFrames => "breath_open_frames",
            Self::BreathOpenShare => "breath_open_share",
            Self::Exhale => "exhale",
            Self::ExhaleFrames => "exhale_frames",
            Self::ExhaleShare => "exhale_share",
            Self::BreathHold => "breath_hold",
            Self::BreathHoldFrames => "breath_hold_frames",
            Self::BreathHoldShare => "breath_hold_share",
            Self::LateExhaleShare => "late_exhale_share",
            Self::FaceReturnInRecovery => "face_return_in_recovery",
            Self::KickOutDuration => "kick_out_duration",
            Self::KickOutsPerBreathingStroke => "kick_outs_per_breathing_stroke",
            Self::KickOutsPerNonBreathingStroke => "kick_outs_per_non_breathing_stroke",
            Self::KickBeatsPerCycle => "kick_beats_per_cycle",
        }
    }

    /// The unit of its values.
    #[must_use]
    pub fn unit(self) -> Unit {
        match self {
            Self::CycleDuration
            | Self::StrokeInterval
            | Self::PhaseEntryAndCatchDuration
            | Self::PhasePullDuration
            | Self::PhasePushDuration
            | Self::PhaseRecoveryDuration
            | Self::PropulsiveGap
            | Self::LeadArmLag
            | Self::BreathTurnToClear
            | Self::BreathOpen
            | Self::Exhale
            | Self::BreathHold
            | Self::KickOutDuration => Unit::Seconds,
            Self::StrokeRate => Unit::StrokesPerMinute,
            Self::CycleRate => Unit::CyclesPerMinute,
            Self::PhaseEntryAndCatch
            | Self::PhasePull
            | Self::PhasePush
            | Self::PhaseRecovery
            | Self::PropulsiveShare
            | Self::IndexOfCoordination
            | Self::PropulsiveGapShare
            | Self::SymmetryPhaseEntryAndCatchDuration
            | Self::SymmetryPhasePullDuration
            | Self::SymmetryPhasePushDuration
            | Self::SymmetryPhaseRecoveryDuration
            | Self::SymmetryPropulsiveShare
            | Self::BreathTurnToClearShare
            | Self::BreathOpenShare
            | Self::ExhaleShare
            | Self::BreathHoldShare
            | Self::LateExhaleShare
            | Self::FaceReturnInRecovery => Unit::Percent,
            Self::PropulsiveGapFrames
            | Self::BreathTurnToClearFrames
            | Self::BreathOpenFrames
            | Self::ExhaleFrames
            | Self::BreathHoldFrames => Unit::Frames,
            Self::IndexOfCoordinationDifference => Unit::Points,
            Self::Speed => Unit::MetresPerSecond,
            Self::StrokeLength => Unit::Metres,
            Self::StrokeIndex => Unit::SquareMetresPerSecond,
            Self::StrokesPerBreath => Unit::Strokes,
            Self::KickOutsPerBreathingStroke | Self::KickOutsPerNonBreathingStroke => Unit::KickOuts,
            Self::KickBeatsPerCycle => Unit::Beats,
        }
    }

    /// The kinds of mark that it needs.
    #[must_use]
    pub fn uses(self) -> &'static [MarkKind] {
        use MarkKind::{
            Catch, Downbeat, Entry, ExhaleStart, Exit, FaceReturn, FaceTurn, KickOutEnd, KickOutStart,
            MidPull, MouthClear, Pass,
        };
        match self {
            Self::CycleDuration | Self::StrokeRate | Self::CycleRate | Self::StrokeInterval => &[Entry],
            Self::PhaseEntryAndCatch
            | Self::PhaseEntryAndCatchDuration
            | Self::LeadArmLag
            | Self::SymmetryPhaseEntryAndCatchDuration => &[Entry, Catch],
            Self::PhasePull => &[Entry, Catch, MidPull],
            Self::PhasePush => &[Entry, MidPull, Exit],
            Self::PhaseRecovery | Self::PhaseRecoveryDuration | Self::SymmetryPhaseRecoveryDuration => {
                &[Entry, Exit]
            }
            Self::PhasePullDuration | Self::SymmetryPhasePullDuration => &[Catch, MidPull],
            Self::PhasePushDuration | Self::SymmetryPhasePushDuration => &[MidPull, Exit],
            Self::PropulsiveShare
            | Self::IndexOfCoordination
            | Self::PropulsiveGap
            | Self::PropulsiveGapFrames
            | Self::PropulsiveGapShare
            | Self::SymmetryPropulsiveShare
            | Self::IndexOfCoordinationDifference => &[Entry, Catch, Exit],
            Self::Speed => &[Pass],
            Self::StrokeLength | Self::StrokeIndex => &[Entry, Pass],
            Self::StrokesPerBreath => &[Entry, MouthClear],
            Self::BreathTurnToClear | Self::BreathTurnToClearFrames => &[FaceTurn, MouthClear],
            Self::BreathTurnToClearShare => &[Entry, FaceTurn, MouthClear],
            Self::BreathOpen | Self::BreathOpenFrames => &[MouthClear, FaceReturn],
            Self::BreathOpenShare => &[Entry, MouthClear, FaceReturn],
            Self::Exhale | Self::ExhaleFrames => &[ExhaleStart, MouthClear],
            Self::ExhaleShare => &[Entry, ExhaleStart, MouthClear],
            Self::BreathHold | Self::BreathHoldFrames => &[ExhaleStart, FaceReturn],
            Self::BreathHoldShare => &[Entry, ExhaleStart, FaceReturn],
            Self::LateExhaleShare => &[ExhaleStart, FaceTurn, MouthClear],
            Self::FaceReturnInRecovery => &[Entry, Exit, FaceReturn],
            Self::KickOutDuration => &[KickOutStart, KickOutEnd],
            Self::KickOutsPerBreathingStroke | Self::KickOutsPerNonBreathingStroke => {
                &[Entry, MouthClear, KickOutStart]
            }
            Self::KickBeatsPerCycle => &[Entry, Downbeat],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_symbols_are_what_serde_writes() {
        for kind in MeasureKind::ALL {
            assert_eq!(serde_json::to_value(kind).unwrap(), kind.name());
            assert_eq!(serde_json::to_value(kind.unit()).unwrap(), kind.unit().symbol());
        }
    }
}
