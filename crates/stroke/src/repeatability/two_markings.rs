//! Two markings of the same passage, and what their differences say about the hand that made both.

use std::collections::BTreeMap;

use time::Clock;

use super::differences::Differences;
use super::pairing::pair_in_time;
use super::{MarkRepeatability, MeasureRepeatability, Repeatability};
use crate::{Mark, MarkKind, Measure, MeasureKind, Passage, Side, Speed, analyse};

/// One passage, marked by the same coach twice.
#[derive(Clone, Copy, Debug)]
pub struct TwoMarkings<'a> {
    /// The clip's frame times and scale.
    pub clock: &'a Clock,
    /// How fast the swimmer went; `None` where nobody said.
    pub speed: Option<Speed>,
    /// The marks of the passage as they stood when the second marking began, in any order.
    pub earlier: &'a [Mark],
    /// The marks of the second marking, in any order; their ids mean nothing.
    pub again: &'a [Mark],
}

/// What is compared with what: the same kind of mark or measure of the same side.
type Sided<K> = (K, Option<Side>);

#[derive(Default)]
struct OfMark {
    differences: Differences,
    unpaired_earlier: usize,
    unpaired_again: usize,
}

impl Repeatability {
    /// What all finished second markings of a session say together; empty when there is none.
    #[must_use]
    pub fn of(passes: &[TwoMarkings]) -> Self {
        let mut per_mark: BTreeMap<MarkKind, OfMark> = BTreeMap::new();
        let mut per_measure: BTreeMap<MeasureKind, SidedDifferences> = BTreeMap::new();
        for pass in passes {
            compare_marks(pass, &mut per_mark);
            compare_measures(pass, &mut per_measure);
        }
        let frames_per_ms = passes
            .first()
            .map_or(0.0, |pass| pass.clock.frame_rate_fps() / 1e3);
        Self {
            passes: u32::try_from(passes.len()).unwrap_or(u32::MAX),
            per_mark: per_mark
                .into_iter()
                .map(|(kind, of_mark)| of_mark.written(kind, frames_per_ms))
                .collect(),
            per_measure: per_measure
                .into_iter()
                .filter_map(|(kind, differences)| differences.written(kind))
                .collect(),
        }
    }
}

fn compare_marks(pass: &TwoMarkings, into: &mut BTreeMap<MarkKind, OfMark>) {
    let earlier = by_kind_and_side(pass.earlier);
    let again = by_kind_and_side(pass.again);
    let nobody = Vec::new();
    let keys = earlier
        .keys()
        .chain(again.keys().filter(|key| !earlier.contains_key(key)));
    for key in keys {
        let (earlier, again) = (
            earlier.get(key).unwrap_or(&nobody),
            again.get(key).unwrap_or(&nobody),
        );
        let seconds = |marks: &[Mark]| -> Vec<f64> {
            marks.iter().map(|mark| pass.clock.seconds(mark.time.0)).collect()
        };
        let (times, times_again) = (seconds(earlier), seconds(again));
        let pairing = pair_in_time(&times, &times_again);
        let of_mark = into.entry(key.0).or_default();
        of_mark.unpaired_earlier += pairing.unpaired_first;
        of_mark.unpaired_again += pairing.unpaired_second;
        for (first, second) in pairing.pairs {
            let (first, second) = (&earlier[first], &again[second]);
            of_mark.differences.add(
                u64::from(first.id.0),
                1e3 * pass.clock.seconds_between(first.time, second.time),
                [first, second].map(|mark| frame_variance_ms2(pass.clock, mark)),
            );
        }
    }
}

/// In order of time.
fn by_kind_and_side(marks: &[Mark]) -> BTreeMap<Sided<MarkKind>, Vec<Mark>> {
    let mut sorted: BTreeMap<_, Vec<Mark>> = BTreeMap::new();
    for mark in marks {
        sorted.entry((mark.kind, mark.side)).or_default().push(*mark);
    }
    for marks in sorted.values_mut() {
        tiny_sort::unstable::sort_by_key(marks, |mark| (mark.time, mark.id));
    }
    sorted
}

/// Of a mark's time: uniform over its frame, d²/12.
fn frame_variance_ms2(clock: &Clock, mark: &Mark) -> f64 {
    let frame = clock.frame_times().frame_at_or_before(mark.time).unwrap_or(0);
    clock
        .spacing_s(frame)
        .map_or(0.0, |spacing_s| 1e6 * spacing_s * spacing_s / 12.0)
}

/// The sides' own values, and the values that speak of both: never in one pot, since a mean of two hand-overs
/// scatters less than either.
#[derive(Default)]
struct SidedDifferences {
    of_a_side: Differences,
    of_both: Differences,
}

fn compare_measures(pass: &TwoMarkings, into: &mut BTreeMap<MeasureKind, SidedDifferences>) {
    let speed = pass.speed.map(exact);
    let measured = |marks| {
        analyse(&Passage {
            clock: pass.clock,
            marks,
            speed,
        })
    };
    let (earlier, again) = (measured(pass.earlier), measured(pass.again));
    let (earlier, again) = (of_cycles(&earlier.measures), of_cycles(&again.measures));
    for (key, earlier) in &earlier {
        let Some(again) = again.get(key) else { continue };
        // Cycles are told apart by where they are: a count would be off by one after a missed entry.
        let middles = |measures: &[&Measure]| -> Vec<f64> {
            measures
                .iter()
                .map(|measure| middle_s(pass.clock, measure))
                .collect()
        };
        for (first, second) in pair_in_time(&middles(earlier), &middles(again)).pairs {
            let (first, second) = (earlier[first], again[second]);
            let (Some(mark), Some(value), Some(other)) =
                (first.marks.first(), first.quantity, second.quantity)
            else {
                continue;
            };
            let sided = into.entry(key.0).or_default();
            let differences = if key.1.is_some() {
                &mut sided.of_a_side
            } else {
                &mut sided.of_both
            };
            differences.add(
                u64::from(mark.0),
                other.value - value.value,
                [
                    value.uncertainty * value.uncertainty,
                    other.uncertainty * other.uncertainty,
                ],
            );
        }
    }
}

/// The stated speed is the same in both markings: what is not known of it cannot part them.
fn exact(speed: Speed) -> Speed {
    match speed {
        Speed::Flume { m_per_s, .. } => Speed::Flume {
            m_per_s,
            uncertainty_m_per_s: None,
        },
        stated => stated,
    }
}

/// The values of single cycles, hand-overs, breaths …, in order of time.
fn of_cycles(measures: &[Measure]) -> BTreeMap<Sided<MeasureKind>, Vec<&Measure>> {
    let mut sorted: BTreeMap<_, Vec<&Measure>> = BTreeMap::new();
    for measure in measures {
        if measure.cycle.is_some() && measure.quantity.is_some() && measure.span.is_some() {
            sorted
                .entry((measure.kind, measure.side))
                .or_default()
                .push(measure);
        }
    }
    for measures in sorted.values_mut() {
        tiny_sort::stable::sort_by_key(measures, |measure| {
            measure.span.map(|span| span.start.0 + span.end.0)
        });
    }
    sorted
}

fn middle_s(clock: &Clock, measure: &Measure) -> f64 {
    measure.span.map_or(0.0, |span| {
        clock.seconds(span.start.0).midpoint(clock.seconds(span.end.0))
    })
}

impl OfMark {
    fn written(self, kind: MarkKind, frames_per_ms: f64) -> MarkRepeatability {
        let scatter = self.differences.scatter();
        let in_frames = |ms: Option<f64>| ms.map(|ms| ms * frames_per_ms);
        MarkRepeatability {
            kind,
            n: scatter.n,
            unpaired_earlier: u32::try_from(self.unpaired_earlier).unwrap_or(u32::MAX),
            unpaired_again: u32::try_from(self.unpaired_again).unwrap_or(u32::MAX),
            sem_ms: scatter.sem,
            sem_interval_ms: scatter.sem_interval,
            mdc_ms: scatter.mdc,
            own_sem_ms: scatter.own_sem,
            sem_frames: in_frames(scatter.sem),
            mdc_frames: in_frames(scatter.mdc),
            shift_ms: scatter.shift,
            shift_interval_ms: scatter.shift_interval,
            too_few: scatter.too_few,
        }
    }
}

impl SidedDifferences {
    fn written(self, kind: MeasureKind) -> Option<MeasureRepeatability> {
        let of_a_side = self.of_a_side.scatter();
        let scatter = if of_a_side.n > 0 {
            of_a_side
        } else {
            self.of_both.scatter()
        };
        (scatter.n > 0).then(|| MeasureRepeatability {
            kind,
            unit: kind.unit(),
            n: scatter.n,
            sem: scatter.sem,
            sem_interval: scatter.sem_interval,
            mdc: scatter.mdc,
            own_sem: scatter.own_sem,
            shift: scatter.shift,
            shift_interval: scatter.shift_interval,
            too_few: scatter.too_few,
        })
    }
}
