//! What the sentences of a comparison call things, and how they write numbers.

use crate::Side;
use crate::measure_kind::{MeasureKind, Unit};

/// "Propulsive gap to the left catch": a measure as the subject of a sentence.
pub(super) fn subject(kind: MeasureKind, side: Option<Side>) -> String {
    let noun = noun(kind);
    let Some(side) = side else {
        return noun.to_owned();
    };
    let side = match side {
        Side::Left => "left",
        Side::Right => "right",
        Side::Both => "both",
    };
    match kind {
        MeasureKind::PropulsiveGap
        | MeasureKind::PropulsiveGapFrames
        | MeasureKind::PropulsiveGapShare
        | MeasureKind::LeadArmLag => format!("{noun} to the {side} catch"),
        MeasureKind::IndexOfCoordination => format!("{noun} after the {side} exit"),
        _ => format!("{noun}, {side}"),
    }
}

fn noun(kind: MeasureKind) -> &'static str {
    match kind {
        MeasureKind::CycleDuration => "Cycle duration",
        MeasureKind::StrokeRate => "Stroke rate",
        MeasureKind::CycleRate => "Cycle rate",
        MeasureKind::StrokeInterval => "Time per stroke",
        MeasureKind::PhaseEntryAndCatch => "Share of entry and catch",
        MeasureKind::PhasePull => "Share of the pull",
        MeasureKind::PhasePush => "Share of the push",
        MeasureKind::PhaseRecovery => "Share of the recovery",
        MeasureKind::PhaseEntryAndCatchDuration => "Duration of entry and catch",
        MeasureKind::PhasePullDuration => "Duration of the pull",
        MeasureKind::PhasePushDuration => "Duration of the push",
        MeasureKind::PhaseRecoveryDuration => "Duration of the recovery",
        MeasureKind::PropulsiveShare => "Propulsive share",
        MeasureKind::IndexOfCoordination => "Index of coordination",
        MeasureKind::PropulsiveGap => "Propulsive gap",
        MeasureKind::PropulsiveGapFrames => "Propulsive gap in frames",
        MeasureKind::PropulsiveGapShare => "Propulsive gap as a share of the cycle",
        MeasureKind::LeadArmLag => "Lead-arm lag",
        MeasureKind::SymmetryPhaseEntryAndCatchDuration => "Symmetry index of entry and catch",
        MeasureKind::SymmetryPhasePullDuration => "Symmetry index of the pull",
        MeasureKind::SymmetryPhasePushDuration => "Symmetry index of the push",
        MeasureKind::SymmetryPhaseRecoveryDuration => "Symmetry index of the recovery",
        MeasureKind::SymmetryPropulsiveShare => "Symmetry index of the propulsive share",
        MeasureKind::IndexOfCoordinationDifference => "Index of coordination, right minus left",
        MeasureKind::Speed => "Speed",
        MeasureKind::StrokeLength => "Stroke length",
        MeasureKind::StrokeIndex => "Stroke index",
        MeasureKind::StrokesPerBreath => "Strokes per breath",
        MeasureKind::BreathTurnToClear => "Face turn to mouth clear",
        MeasureKind::BreathTurnToClearFrames => "Face turn to mouth clear, in frames",
        MeasureKind::BreathTurnToClearShare => "Face turn to mouth clear, share of the cycle",
        MeasureKind::BreathOpen => "Mouth clear to face return",
        MeasureKind::BreathOpenFrames => "Mouth clear to face return, in frames",
        MeasureKind::BreathOpenShare => "Mouth clear to face return, share of the cycle",
        MeasureKind::Exhale => "Exhalation",
        MeasureKind::ExhaleFrames => "Exhalation, in frames",
        MeasureKind::ExhaleShare => "Exhalation, share of the cycle",
        MeasureKind::BreathHold => "Face return to next exhalation",
        MeasureKind::BreathHoldFrames => "Face return to next exhalation, in frames",
        MeasureKind::BreathHoldShare => "Face return to next exhalation, share of the cycle",
        MeasureKind::LateExhaleShare => "Share of the exhalation after the face turn",
        MeasureKind::FaceReturnInRecovery => "Face return within the recovery",
        MeasureKind::KickOutDuration => "Kick-out duration",
        MeasureKind::KickOutsPerBreathingStroke => "Kick-outs per breathing stroke",
        MeasureKind::KickOutsPerNonBreathingStroke => "Kick-outs per non-breathing stroke",
        MeasureKind::KickBeatsPerCycle => "Kick beats per cycle",
    }
}

/// How the amounts of one measure are written: all to the same digit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Writing {
    factor: f64,
    unit: &'static str,
    decimals: usize,
}

impl Writing {
    /// `finest` is the smallest amount that matters, in the measure's unit: it keeps one digit or more.
    pub(super) fn of(kind: MeasureKind, finest: f64) -> Self {
        let (factor, unit) = match kind.unit() {
            Unit::Seconds if !is_long(kind) => (1000.0, "ms"),
            // The difference of two percentages.
            Unit::Percent => (1.0, "points"),
            other => (1.0, other.symbol()),
        };
        let finest = (finest * factor).abs();
        let decimals = [1.0, 0.1, 0.01].iter().filter(|step| finest < **step).count();
        Self {
            factor,
            unit,
            decimals: if finest > 0.0 { decimals } else { 1 },
        }
    }

    /// "42 ms", without its sign.
    pub(super) fn size(self, amount: f64) -> String {
        format!("{} {}", self.number(amount.abs()), self.unit)
    }

    /// "−5 to 42 ms".
    pub(super) fn interval(self, [low, high]: [f64; 2]) -> String {
        format!("{} to {} {}", self.number(low), self.number(high), self.unit)
    }

    fn number(self, amount: f64) -> String {
        let written = format!("{:.*}", self.decimals, amount * self.factor);
        match written.strip_prefix('-') {
            Some(zero) if zero.chars().all(|digit| digit == '0' || digit == '.') => zero.to_owned(),
            Some(size) => format!("−{size}"),
            None => written,
        }
    }
}

/// Whether people think of it in seconds rather than milliseconds.
fn is_long(kind: MeasureKind) -> bool {
    use MeasureKind as Kind;
    matches!(
        kind,
        Kind::CycleDuration | Kind::StrokeInterval | Kind::Exhale | Kind::BreathHold
    )
}

/// "1 cycle", "8 cycles".
pub(super) fn counted(count: u32, one: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {one}s")
    }
}

/// "30", "59.94".
pub(super) fn rate(rate_fps: f64) -> String {
    let rounded = format!("{rate_fps:.2}");
    rounded.trim_end_matches('0').trim_end_matches('.').to_owned()
}
