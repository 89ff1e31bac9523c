//! From one measure of a comparison to its picture.

use stroke::compare::{CycleValue, MeasureComparison, SetValues};
use stroke::{MeasureKind, Unit};

use super::{DifferenceChart, Dot, DrawnDifference, DrawnSet};
use crate::figure::decimals_for;

impl DifferenceChart {
    /// The picture of `measure` under the name that the page gives it. Gaps are drawn in milliseconds, as the page
    /// writes them.
    #[must_use]
    pub fn of(measure: &MeasureComparison, name: &str) -> Self {
        let (unit, factor) = drawn_unit(measure.kind, measure.unit);
        let finest = [
            measure
                .difference
                .as_ref()
                .map(|difference| difference.frame_uncertainty),
            measure.before.as_ref().map(|set| set.frame_uncertainty),
            measure.after.as_ref().map(|set| set.frame_uncertainty),
        ];
        let finest = finest.into_iter().flatten().next().unwrap_or(0.0) * factor;
        Self {
            name: name.to_owned(),
            unit: unit.to_owned(),
            unit_of_difference: if measure.unit == Unit::Percent {
                Unit::Points.symbol()
            } else {
                unit
            }
            .to_owned(),
            decimals: if unit == "ms" {
                usize::from(finest < 0.95)
            } else {
                decimals_for(finest)
            },
            before: drawn_set(measure.before.as_ref(), factor),
            after: drawn_set(measure.after.as_ref(), factor),
            difference: measure.difference.as_ref().map(|difference| DrawnDifference {
                value: difference.value * factor,
                interval: difference.interval.map(|ends| ends.map(|end| end * factor)),
                frame_zone: measure.gates.frame.threshold.map(|zone| zone * factor),
                operator_zone: measure.gates.operator.threshold.map(|zone| zone * factor),
            }),
        }
    }
}

fn drawn_unit(kind: MeasureKind, unit: Unit) -> (&'static str, f64) {
    match (kind, unit) {
        (MeasureKind::PropulsiveGap | MeasureKind::LeadArmLag, Unit::Seconds) => ("ms", 1000.0),
        _ => (unit.symbol(), 1.0),
    }
}

fn drawn_set(set: Option<&SetValues>, factor: f64) -> DrawnSet {
    let Some(set) = set else {
        return DrawnSet::default();
    };
    DrawnSet {
        n: set.n,
        mean: Some(set.mean * factor),
        interval: set.interval.map(|ends| ends.map(|end| end * factor)),
        dots: set.values.iter().map(|value| dot(value, factor)).collect(),
    }
}

fn dot(value: &CycleValue, factor: f64) -> Dot {
    Dot {
        value: value.value * factor,
        side: value.side,
        breathing: value.breathing,
        cycle: value.cycle.map(|index| index + 1),
        flagged: value.flagged,
    }
}
