//! The points that ordinary charts draw: each gap at its time, each cycle's phases, each cycle's rate.
//!
//! The values are the analysis' own measures of single cycles, put beside their place in the clip and turned
//! into the chart's unit. Not for: drawing, or any statistic.

use std::collections::BTreeMap;

use serde::Serialize;
use stroke::{Analysis, BreathingSplit, MarkId, Measure, MeasureKind, Quantity, Side};
use time::{Clock, Ticks};

/// What the charts of one clip draw; each list in time order.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Plots {
    /// The gaps.
    pub gaps: Vec<GapPoint>,
    /// The complete cycles of which all four phases are marked.
    pub phases: Vec<PhaseBar>,
    /// The complete cycles.
    pub rates: Vec<RatePoint>,
}

/// A value with one standard deviation from frame quantisation, in the unit that its field names.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// One standard deviation, in the same unit.
    pub uncertainty: f64,
}

/// One gap, or overlap, between one arm's exit and the other's catch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GapPoint {
    /// The arm whose catch ends it.
    pub waiting: Side,
    /// Its middle, true seconds from the clip's first frame.
    pub time_s: f64,
    /// Its start, ticks.
    pub at: Ticks,
    /// Milliseconds; negative where both arms propel.
    pub gap_ms: Figure,
    /// The same in frames, where the analysis gives it.
    pub frames: Option<Figure>,
    /// The same in % of the cycle, where the analysis gives it.
    pub share_percent: Option<Figure>,
    /// Whether a breath is taken in its cycle; `None` when no breath is marked.
    pub breathing: Option<bool>,
    /// The marks it came from.
    pub marks: Vec<MarkId>,
}

/// One complete cycle's four phases.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhaseBar {
    /// Whose cycle.
    pub side: Side,
    /// Which of that arm's cycles, from 0.
    pub cycle: u32,
    /// Its start, true seconds from the clip's first frame.
    pub start_s: f64,
    /// Its start, ticks.
    pub at: Ticks,
    /// Whether a breath is taken in it; `None` when no breath is marked.
    pub breathing: Option<bool>,
    /// % of the cycle in the order of the stroke; they sum to 100.
    pub shares_percent: [Figure; 4],
    /// The cycle's marks.
    pub marks: Vec<MarkId>,
}

/// One complete cycle's rate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RatePoint {
    /// Whose cycle.
    pub side: Side,
    /// Which of that arm's cycles, from 0.
    pub cycle: u32,
    /// Its middle, true seconds from the clip's first frame.
    pub time_s: f64,
    /// Its start, ticks.
    pub at: Ticks,
    /// Strokes a minute: two a cycle.
    pub strokes_per_min: Figure,
    /// Cycles a minute: half of it.
    pub cycles_per_min: Figure,
    /// Whether a breath is taken in it; `None` when no breath is marked.
    pub breathing: Option<bool>,
    /// The cycle's marks.
    pub marks: Vec<MarkId>,
}

type Place = (MeasureKind, Option<Side>, u32);

/// The charts' points of one analysed clip; `clock` is the one it was analysed with.
#[must_use]
pub fn plots_of(analysis: &Analysis, clock: &Clock) -> Plots {
    let single: BTreeMap<Place, &Measure> = analysis
        .measures
        .iter()
        .filter_map(|measure| Some(((measure.kind, measure.side, measure.cycle?), measure)))
        .collect();
    let from_first = |time: Ticks| clock.seconds_between(clock.frame_times().first(), time);
    let mut plots = Plots::default();
    for (&(kind, side, cycle), measure) in &single {
        let (Some(side), Some(quantity), Some(span)) = (side, measure.quantity, measure.span) else {
            continue;
        };
        let breathing = breathing_of(measure);
        let time_s = f64::midpoint(from_first(span.start), from_first(span.end));
        let other = |kind| figure_of(&single, (kind, Some(side), cycle));
        if kind == MeasureKind::PropulsiveGap {
            plots.gaps.push(GapPoint {
                waiting: side,
                time_s,
                at: span.start,
                gap_ms: figure(quantity, 1000.0),
                frames: other(MeasureKind::PropulsiveGapFrames),
                share_percent: other(MeasureKind::PropulsiveGapShare),
                breathing,
                marks: measure.marks.to_vec(),
            });
        } else if kind == MeasureKind::StrokeRate {
            let Some(cycles_per_min) = other(MeasureKind::CycleRate) else {
                continue;
            };
            plots.rates.push(RatePoint {
                side,
                cycle,
                time_s,
                at: span.start,
                strokes_per_min: figure(quantity, 1.0),
                cycles_per_min,
                breathing,
                marks: measure.marks.to_vec(),
            });
        }
    }
    for arm in &analysis.arms {
        for cycle in &arm.cycles {
            let shares = PHASE_SHARES.map(|kind| figure_of(&single, (kind, Some(arm.side), cycle.index)));
            let [Some(entry_and_catch), Some(pull), Some(push), Some(recovery)] = shares else {
                continue;
            };
            plots.phases.push(PhaseBar {
                side: arm.side,
                cycle: cycle.index,
                start_s: from_first(cycle.start),
                at: cycle.start,
                breathing: cycle.breathing,
                shares_percent: [entry_and_catch, pull, push, recovery],
                marks: cycle.marks.clone(),
            });
        }
    }
    tiny_sort::stable::sort_by_key(&mut plots.gaps, |gap| gap.at);
    tiny_sort::stable::sort_by_key(&mut plots.phases, |bar| bar.at);
    tiny_sort::stable::sort_by_key(&mut plots.rates, |rate| rate.at);
    plots
}

/// The shares of the phases, in the order of the stroke.
pub(crate) const PHASE_SHARES: [MeasureKind; 4] = [
    MeasureKind::PhaseEntryAndCatch,
    MeasureKind::PhasePull,
    MeasureKind::PhasePush,
    MeasureKind::PhaseRecovery,
];

fn figure(quantity: Quantity, factor: f64) -> Figure {
    Figure {
        value: quantity.value * factor,
        uncertainty: quantity.uncertainty * factor,
    }
}

fn figure_of(single: &BTreeMap<Place, &Measure>, place: Place) -> Option<Figure> {
    let quantity = single.get(&place)?.quantity?;
    Some(figure(quantity, 1.0))
}

fn breathing_of(measure: &Measure) -> Option<bool> {
    match measure.breathing {
        BreathingSplit::All => None,
        BreathingSplit::Breathing => Some(true),
        BreathingSplit::NonBreathing => Some(false),
    }
}
