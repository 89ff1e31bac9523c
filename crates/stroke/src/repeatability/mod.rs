//! How closely the same coach marks the same strokes again: what a change must exceed before it can be the
//! swimmer's.
//!
//! The coach marks a passage a second time, blind. From the differences between the two markings come the
//! standard error of measurement, SEM = SD of the differences / √2, and the smallest detectable change between
//! two single values, MDC₉₅ = 1.96·√2·SEM (Weir 2005, J Strength Cond Res 19:231-240).
//!
//! Not for: the error of the frames alone ([`crate::Quantity::uncertainty`]), nor for how the swimmer's strokes
//! differ. **Never add the frames' error to a SEM**: the second marking fell on frames too, so that the SEM
//! holds their share already. `own_sem` is the SEM without it, for planning at another frame rate.

mod blind_pass;
mod differences;
mod pairing;
mod sentences;
mod two_markings;

use serde::{Deserialize, Serialize};

pub use blind_pass::{RemarkStep, last_remark, next_remark};
pub use two_markings::TwoMarkings;

use crate::{MarkKind, MeasureKind, Unit};

/// Pairs needed for a SEM: below, the upper end of its 95 % interval lies above two and a half times its value
/// (5 degrees of freedom: 2.45; 4: 2.87), which no comparison can use.
pub const FEWEST_PAIRS: u32 = 6;

/// The coach's repeatability in one session. Empty = not known: the coach has not marked anything again.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Repeatability {
    /// How many finished passes of marking again it stands on.
    pub passes: u32,
    /// One line for each kind of mark that was marked again, in the order of the stroke.
    pub per_mark: Vec<MarkRepeatability>,
    /// One line for each kind of measure that both markings give cycle by cycle, in the order of the measures.
    pub per_measure: Vec<MeasureRepeatability>,
}

/// How closely one kind of mark is placed again, both sides together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MarkRepeatability {
    /// What was marked.
    pub kind: MarkKind,
    /// Pairs of an earlier mark and its mark again.
    pub n: u32,
    /// Earlier marks in the passage that no mark again belongs to.
    pub unpaired_earlier: u32,
    /// Marks again that belong to no earlier mark.
    pub unpaired_again: u32,
    /// Standard error of measurement of one mark, true ms; the frames' share is in it. `None` exactly when
    /// `too_few` says why.
    pub sem_ms: Option<f64>,
    /// Its 95 % interval.
    pub sem_interval_ms: Option<[f64; 2]>,
    /// Smallest detectable change (95 %) between two single marks, true ms.
    pub mdc_ms: Option<f64>,
    /// The SEM without the frames' share, true ms: the hand and eye alone.
    pub own_sem_ms: Option<f64>,
    /// `sem_ms` in frames of the clip (of the first clip, where several were marked again).
    pub sem_frames: Option<f64>,
    /// `mdc_ms` in frames of the clip.
    pub mdc_frames: Option<f64>,
    /// Mean of (again − earlier), true ms: above 0, the coach now marks later. `None` without a pair.
    pub shift_ms: Option<f64>,
    /// Its 95 % t interval; from three pairs.
    pub shift_interval_ms: Option<[f64; 2]>,
    /// Why there is no SEM.
    pub too_few: Option<TooFewPairs>,
}

/// How closely one kind of measure comes out again from a second marking of the same cycles.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MeasureRepeatability {
    /// What is measured.
    pub kind: MeasureKind,
    /// The unit of every number here.
    pub unit: Unit,
    /// Cycles (hand-overs, breaths …) that both markings give a value for, both sides together.
    pub n: u32,
    /// Standard error of measurement of one cycle's value, in `unit`; the frames' share is in it. `None`
    /// exactly when `too_few` says why.
    pub sem: Option<f64>,
    /// Its 95 % interval.
    pub sem_interval: Option<[f64; 2]>,
    /// Smallest detectable change (95 %) between two single cycles' values, in `unit`.
    pub mdc: Option<f64>,
    /// The SEM without the frames' share, in `unit`.
    pub own_sem: Option<f64>,
    /// Mean of (again − earlier), in `unit`. `None` without a pair.
    pub shift: Option<f64>,
    /// Its 95 % t interval; from three pairs.
    pub shift_interval: Option<[f64; 2]>,
    /// Why there is no SEM.
    pub too_few: Option<TooFewPairs>,
}

/// Why there is no SEM: what there is, and what is needed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct TooFewPairs {
    /// Different marks (or cycles) that were marked again.
    pub pairs: u32,
    /// How many are needed: [`FEWEST_PAIRS`].
    pub needed: u32,
    /// What is missing, for the coach.
    pub message: String,
    /// What would give a number.
    pub hint: String,
}

impl Repeatability {
    /// Whether anything is known: a SEM of at least one kind of mark.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.per_mark.iter().any(|mark| mark.sem_ms.is_some())
    }

    /// That of one kind of mark.
    #[must_use]
    pub fn of_mark(&self, kind: MarkKind) -> Option<&MarkRepeatability> {
        self.per_mark.iter().find(|mark| mark.kind == kind)
    }

    /// That of one kind of measure.
    #[must_use]
    pub fn of_measure(&self, kind: MeasureKind) -> Option<&MeasureRepeatability> {
        self.per_measure.iter().find(|measure| measure.kind == kind)
    }
}

impl MeasureRepeatability {
    /// Smallest change (95 %) between the means of `before` and of `after` cycles that is more than the
    /// coach's hand, in `unit`: 1.96·SEM·√(1/before + 1/after), which is `mdc` for one cycle each. Compare it
    /// with the difference by itself, beside the frames' error, never added to it.
    ///
    /// `None` without a SEM or without cycles.
    #[must_use]
    pub fn smallest_change_of_means(&self, before: u32, after: u32) -> Option<f64> {
        let sem = self.sem?;
        (before > 0 && after > 0)
            .then(|| NORMAL_97_5 * sem * (1.0 / f64::from(before) + 1.0 / f64::from(after)).sqrt())
    }
}

/// 97.5 % quantile of the normal distribution, as Weir rounds it.
pub(crate) const NORMAL_97_5: f64 = 1.96;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn not_known_is_the_empty_state() {
        let unknown = Repeatability::default();
        assert!(!unknown.is_known());
        assert_eq!(unknown.of_measure(MeasureKind::PropulsiveGap), None);
        let read: Repeatability = serde_json::from_str(&serde_json::to_string(&unknown).unwrap()).unwrap();
        assert_eq!(read, unknown);
    }

    #[test]
    fn the_change_of_means_is_the_mdc_for_one_cycle_each_and_falls_with_more() {
        let gap = MeasureRepeatability {
            kind: MeasureKind::PropulsiveGap,
            unit: Unit::Seconds,
            n: 12,
            sem: Some(0.010),
            sem_interval: None,
            mdc: Some(1.96 * 2.0_f64.sqrt() * 0.010),
            own_sem: None,
            shift: None,
            shift_interval: None,
            too_few: None,
        };
        let one_each = gap.smallest_change_of_means(1, 1).unwrap();
        assert!((one_each - gap.mdc.unwrap()).abs() < 1e-12);
        assert!((gap.smallest_change_of_means(9, 9).unwrap() - one_each / 3.0).abs() < 1e-12);
        assert_eq!(gap.smallest_change_of_means(0, 4), None);
    }
}
