//! The swimming speed, as stated or from passes.

use smallvec::SmallVec;

use crate::MarkKind;
use crate::absence::AbsenceKind;
use crate::measure_kind::MeasureKind;
use crate::ordered::Marks;
use crate::table::{Means, Row, Sides, Table};
use crate::uncertain::Estimate;
use crate::{Passage, Speed};

/// The speed, m/s. Sets the variance of the stated speed in `marks`.
pub(crate) fn speed_of(passage: &Passage, marks: &mut Marks) -> Result<Estimate, AbsenceKind> {
    let positive = |value: f64| {
        if value.is_finite() && value > 0.0 {
            Ok(value)
        } else {
            Err(AbsenceKind::SpeedNotPositive)
        }
    };
    match passage.speed.ok_or(AbsenceKind::NoSpeed)? {
        Speed::Flume {
            m_per_s,
            uncertainty_m_per_s,
        } => {
            let stated = uncertainty_m_per_s
                .filter(|stated| stated.is_finite())
                .unwrap_or(0.0);
            let input = marks.speed_input();
            if let Some(variance) = marks.variances_s2.last_mut() {
                *variance = stated * stated;
            }
            Ok(Estimate::of_input(positive(m_per_s)?, input))
        }
        Speed::Pace { s_per_100_m } => Ok(Estimate::exact(100.0 / positive(s_per_100_m)?)),
        Speed::Passes { distance_m } => {
            let distance_m = positive(distance_m)?;
            let passes = marks.select(|mark| mark.kind == MarkKind::Pass);
            let [first, .., last] = passes[..] else {
                return Err(AbsenceKind::TwoPassesNeeded);
            };
            let stretches = f64::from(u32::try_from(passes.len() - 1).unwrap_or(u32::MAX));
            let time = marks.seconds(first, last);
            if time.value > 0.0 {
                Ok(time.reciprocal(distance_m * stretches))
            } else {
                Err(AbsenceKind::TwoPassesNeeded)
            }
        }
    }
}

/// Adds the speed itself.
pub(crate) fn add_speed(table: &mut Table, speed: &Result<Estimate, AbsenceKind>) {
    let none = |_, _| speed.as_ref().err().copied().unwrap_or(AbsenceKind::NoSpeed);
    let means = Means {
        sides: Sides::Together,
        split: false,
        over: None,
        none: &none,
    };
    let row = Row {
        side: None,
        cycle: None,
        breathing: None,
        outcome: speed.clone(),
        about: SmallVec::new(),
    };
    table.add_kind(MeasureKind::Speed, means, std::iter::once(row));
}
