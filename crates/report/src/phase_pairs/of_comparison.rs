//! From the phases of a comparison to their pairs of bars.

use stroke::Side;
use stroke::compare::{MeasureComparison, SetValues};

use super::{Bar, PhasePair, PhasePairs};
use crate::plot::PHASE_SHARES;

impl PhasePairs {
    /// The phases of one arm (`None`: of both together) among the measures of a comparison.
    #[must_use]
    pub fn of(measures: &[MeasureComparison], side: Option<Side>) -> Self {
        Self {
            phases: PHASE_SHARES.map(|kind| {
                let measure = measures
                    .iter()
                    .find(|measure| measure.kind == kind && measure.side == side);
                PhasePair {
                    before: measure.and_then(|measure| measure.before.as_ref()).map(bar),
                    after: measure.and_then(|measure| measure.after.as_ref()).map(bar),
                }
            }),
        }
    }
}

fn bar(set: &SetValues) -> Bar {
    Bar {
        mean: set.mean,
        interval: set.interval,
    }
}
