//! Swimmers made of numbers, and how to look a measure up.
#![allow(dead_code, reason = "each test file uses a part")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use time::{Clock, FrameTimes, Ticks, Timescale};
use wetframe_stroke::{
    Analysis, BreathingSplit, Mark, MarkId, MarkKind, Measure, MeasureKind, Passage, Side,
};

/// A clock whose ticks are milliseconds and whose every frame lasts one.
pub fn millisecond_clock(length_s: f64) -> Clock {
    constant_clock(1000, 1, (length_s * 1000.0) as i64)
}

/// `frames` frames of `spacing` ticks each.
pub fn constant_clock(ticks_per_second: u32, spacing: i64, frames: i64) -> Clock {
    let starts = (0..frames).map(|frame| Ticks(frame * spacing)).collect();
    Clock::new(
        Timescale::new(ticks_per_second).unwrap(),
        FrameTimes::from_starts(starts, spacing).unwrap(),
    )
}

/// Marks in the order in which they are pushed.
#[derive(Default)]
pub struct Marks(pub Vec<Mark>);

impl Marks {
    pub fn push(&mut self, kind: MarkKind, side: Option<Side>, ticks: i64) -> &mut Self {
        let id = MarkId(u32::try_from(self.0.len()).unwrap() + 1);
        self.0.push(Mark {
            id,
            kind,
            side,
            time: Ticks(ticks),
        });
        self
    }

    /// `cycles` strokes and one more, each entry, catch, mid-pull and exit (ms from the entry) repeated every
    /// `period_ms`; the last stroke has its catch but does not end.
    pub fn arm(
        &mut self,
        side: Side,
        start_ms: i64,
        events_ms: [i64; 4],
        period_ms: i64,
        cycles: i64,
    ) -> &mut Self {
        for cycle in 0..=cycles {
            let events = if cycle == cycles { 2 } else { 4 };
            for (kind, event_ms) in MarkKind::ARM.into_iter().zip(events_ms).take(events) {
                self.push(kind, Some(side), start_ms + cycle * period_ms + event_ms);
            }
        }
        self
    }
}

pub fn analyse(clock: &Clock, marks: &[Mark]) -> Analysis {
    wetframe_stroke::analyse(&Passage {
        clock,
        marks,
        speed: None,
    })
}

pub fn mean_of(analysis: &Analysis, kind: MeasureKind, side: Option<Side>) -> &Measure {
    split_of(analysis, kind, side, BreathingSplit::All)
}

pub fn split_of(
    analysis: &Analysis,
    kind: MeasureKind,
    side: Option<Side>,
    split: BreathingSplit,
) -> &Measure {
    let mut found = analysis.measures.iter().filter(|measure| {
        measure.kind == kind && measure.side == side && measure.cycle.is_none() && measure.breathing == split
    });
    let measure = found
        .next()
        .unwrap_or_else(|| panic!("no mean of {kind:?} {side:?} {split:?}"));
    assert!(found.next().is_none(), "two means of {kind:?} {side:?} {split:?}");
    measure
}

pub fn of_cycle(analysis: &Analysis, kind: MeasureKind, side: Option<Side>, cycle: u32) -> &Measure {
    analysis
        .measures
        .iter()
        .find(|measure| measure.kind == kind && measure.side == side && measure.cycle == Some(cycle))
        .unwrap_or_else(|| panic!("no {kind:?} {side:?} of cycle {cycle}"))
}

pub fn value(measure: &Measure) -> f64 {
    measure
        .quantity
        .unwrap_or_else(|| panic!("{measure:?} has no value"))
        .value
}

#[track_caller]
pub fn assert_near(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not within {tolerance} of {expected}"
    );
}

/// Repeatable chance: SplitMix64 (Steele, Lea & Flood 2014, OOPSLA), and normal numbers as the sum of twelve.
pub struct Chance(pub u64);

impl Chance {
    pub fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// How an invented swimmer swims, s. Strokes differ by normal numbers that are independent of one another.
#[derive(Clone, Copy, Debug)]
pub struct Swimmer {
    /// Mean cycle duration.
    pub cycle_s: f64,
    /// SD of a cycle's duration.
    pub cycle_sd_s: f64,
    /// Every catch comes this much later after its entry than the usual 31 % of a cycle.
    pub catch_later_s: f64,
    /// SD of when a catch, a mid-pull and an exit come within their cycle, and of where the right arm's entry
    /// falls in the left arm's cycle.
    pub event_sd_s: f64,
}

impl Swimmer {
    /// Like trained swimmers at a middle pace (invented; a gap of about 0.15 s in a cycle of 1.5 s).
    pub const USUAL: Self = Self {
        cycle_s: 1.5,
        cycle_sd_s: 0.03,
        catch_later_s: 0.0,
        event_sd_s: 0.018,
    };

    /// True events of both arms over `cycles` two-arm cycles: kind, side, time.
    pub fn swim(self, cycles: usize, chance: &mut Chance) -> Vec<(MarkKind, Side, f64)> {
        let mut events = Vec::new();
        let mut entry_s = 0.5 + chance.uniform();
        let mut entries: [Vec<f64>; 2] = [Vec::new(), Vec::new()];
        for _ in 0..cycles + 2 {
            let cycle_s = self.cycle_s + self.cycle_sd_s * chance.normal();
            entries[0].push(entry_s);
            entries[1].push(entry_s + 0.49 * cycle_s + self.event_sd_s * chance.normal());
            entry_s += cycle_s;
        }
        for (side, entries) in [Side::Left, Side::Right].into_iter().zip(&entries) {
            for cycle in 0..=cycles {
                let (start_s, length_s) = (entries[cycle], entries[cycle + 1] - entries[cycle]);
                let count = if cycle == cycles { 2 } else { 4 };
                for (kind, share) in MarkKind::ARM.into_iter().zip([0.0, 0.31, 0.54, 0.71]).take(count) {
                    let mut time_s = start_s + share * length_s;
                    if kind != MarkKind::Entry {
                        time_s += self.event_sd_s * chance.normal();
                    }
                    if kind == MarkKind::Catch {
                        time_s += self.catch_later_s;
                    }
                    events.push((kind, side, time_s));
                }
            }
        }
        events
    }
}

/// Marks on the frames that show the events.
pub fn marks_on_frames(clock: &Clock, events: &[(MarkKind, Side, f64)]) -> Vec<Mark> {
    let times = clock.frame_times();
    let ticks_per_second = f64::from(clock.timescale().ticks_per_second());
    (1..)
        .zip(events)
        .map(|(id, (kind, side, time_s))| {
            let frame = times
                .frame_at_or_before(Ticks((time_s * ticks_per_second) as i64))
                .unwrap();
            Mark {
                id: MarkId(id),
                kind: *kind,
                side: Some(*side),
                time: times.start(frame).unwrap(),
            }
        })
        .collect()
}
