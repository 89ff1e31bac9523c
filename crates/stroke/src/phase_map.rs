//! Where in its stroke an arm is at a time, and when it is there: what two clips are held together by.
//!
//! The events of a cycle are the nodes of a scale u: 0 entry, 1 catch, 2 mid-pull, 3 exit, 4 the next entry.
//! Between two nodes u runs evenly with time. A node that is not marked, or whose mark cannot be trusted, is
//! passed over: u runs evenly between the nodes around it, and the cycle says so. Without a trusted entry and
//! next entry a cycle has no map.
//!
//! Everything is integer arithmetic on ticks: a phase is a node and an exact share of the way to the next, so
//! that a time mapped to its phase and back is that time, and which of two frames is nearer is never decided
//! by rounding. Frame rates and timescales play no part.
//!
//! Not for: measures. The share of a phase at which something happens depends on how the phases are scaled.
//! The scale is our own; linear registration between landmarks is from functional data analysis (Kneip &
//! Gasser 1992, Ann Stat 20:1266-1305; from memory).

use std::num::NonZeroU64;

use serde::{Serialize, Serializer};
use time::{FineTime, Ticks};

use crate::{ArmTimeline, Cycle, MarkKind, Phase, Side};

/// The node that ends a cycle.
const NEXT_ENTRY: u8 = 4;

/// How far a stroke is: the scale u in `[0, 4)`, exactly. Written as a number.
#[derive(Clone, Copy, Debug)]
pub struct StrokePhase {
    /// The event before, 0 to 3.
    node: u8,
    /// `over`/`of` of the way from it to the next event.
    over: u64,
    of: NonZeroU64,
}

impl StrokePhase {
    /// The hand enters.
    pub const ENTRY: Self = Self {
        node: 0,
        over: 0,
        of: NonZeroU64::MIN,
    };

    /// From u, taken exactly to 1/2⁵⁰; `None` unless `0 <= u < 4`.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "u is in 0..4, its share below 1"
    )]
    pub fn new(u: f64) -> Option<Self> {
        const PARTS: u64 = 1 << 50;
        if !(0.0..f64::from(NEXT_ENTRY)).contains(&u) {
            return None;
        }
        let node = u as u8;
        // Powers of two: the product is exact.
        let over = ((u - f64::from(node)) * (1_u64 << 50) as f64) as u64;
        Some(Self {
            node,
            over,
            of: NonZeroU64::new(PARTS)?,
        })
    }

    /// u, rounded to a float's precision; always below 4.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "it is said to be rounded")]
    pub fn u(self) -> f64 {
        let u = f64::from(self.node) + self.over as f64 / self.of.get() as f64;
        u.min(f64::from(NEXT_ENTRY) - f64::EPSILON * 2.0)
    }

    /// The phase that it falls into.
    #[must_use]
    pub fn phase(self) -> Phase {
        match self.node {
            0 => Phase::EntryAndCatch,
            1 => Phase::Pull,
            2 => Phase::Push,
            _ => Phase::Recovery,
        }
    }
}

impl Serialize for StrokePhase {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.u())
    }
}

/// A node that is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Node {
    place: u8,
    time: Ticks,
}

/// One cycle with its map.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MappedCycle {
    /// The cycle's name within its arm, as in [`Cycle::index`].
    pub index: u32,
    /// The hand's entry, ticks.
    pub start: Ticks,
    /// The same hand's next entry, ticks.
    pub end: Ticks,
    /// Events over which the map runs evenly, because they are not marked or their marks cannot be trusted.
    pub interpolated: Vec<MarkKind>,
    /// As in [`Cycle::breathing`].
    pub breathing: Option<bool>,
    /// Known nodes in order: the first is the entry, the last the next entry.
    #[serde(skip)]
    nodes: Vec<Node>,
}

impl MappedCycle {
    fn of(cycle: &Cycle) -> Option<Self> {
        let [Some(start), .., Some(end)] = cycle.events else {
            return None;
        };
        if end <= start {
            return None;
        }
        let mut nodes = Vec::with_capacity(5);
        for (place, event) in (0..=NEXT_ENTRY).zip(cycle.events) {
            if let Some(time) = event {
                nodes.push(Node { place, time });
            }
        }
        // An order that trusted marks never have; a map could not run both ways.
        if nodes.windows(2).any(|pair| pair[1].time < pair[0].time) {
            return None;
        }
        let is_missing = |(kind, event): (MarkKind, &Option<Ticks>)| event.is_none().then_some(kind);
        Some(Self {
            index: cycle.index,
            start,
            end,
            interpolated: MarkKind::ARM
                .into_iter()
                .zip(&cycle.events)
                .filter_map(is_missing)
                .collect(),
            breathing: cycle.breathing,
            nodes,
        })
    }

    /// The phase at a time of this cycle; `None` outside `start <= time < end`. Where events share a frame,
    /// the last of them.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the way over fewer than four nodes is less than four"
    )]
    pub fn phase_at(&self, time: Ticks) -> Option<StrokePhase> {
        if time < self.start || time >= self.end {
            return None;
        }
        let after = self.nodes.partition_point(|node| node.time <= time);
        let (from, to) = (self.nodes.get(after.checked_sub(1)?)?, self.nodes.get(after)?);
        let of = NonZeroU64::new(to.time.0.abs_diff(from.time.0))?;
        // At most three nodes are passed over, and a clip is far shorter than 2^60 ticks.
        let way = u64::from(to.place - from.place).saturating_mul(time.0.abs_diff(from.time.0));
        Some(StrokePhase {
            node: from.place + (way / of.get()) as u8,
            over: way % of.get(),
            of,
        })
    }

    /// When this cycle is at a phase.
    #[must_use]
    pub fn time_at(&self, phase: StrokePhase) -> FineTime {
        let after = self.nodes.partition_point(|node| node.place <= phase.node);
        let (Some(from), Some(to)) = (
            after.checked_sub(1).and_then(|before| self.nodes.get(before)),
            self.nodes.get(after),
        ) else {
            return self.start.into();
        };
        let of = phase.of.get();
        let way = u64::from(phase.node - from.place) * of + phase.over;
        let whole = phase
            .of
            .saturating_mul(NonZeroU64::new(u64::from(to.place - from.place)).unwrap_or(NonZeroU64::MIN));
        FineTime::between(from.time, to.time, way, whole)
    }
}

/// The maps of one arm's complete cycles.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PhaseMap {
    /// Left or right.
    pub side: Side,
    /// In time order; they never overlap.
    pub cycles: Vec<MappedCycle>,
}

impl PhaseMap {
    /// From an arm's timeline, cycle by cycle; a cycle without a trusted entry or next entry is left out.
    #[must_use]
    pub fn of(arm: &ArmTimeline) -> Self {
        Self {
            side: arm.side,
            cycles: arm.cycles.iter().filter_map(MappedCycle::of).collect(),
        }
    }

    /// The cycle of that name.
    #[must_use]
    pub fn cycle(&self, index: u32) -> Option<&MappedCycle> {
        self.cycles.iter().find(|cycle| cycle.index == index)
    }

    /// The cycle that a time falls into, and its phase then.
    #[must_use]
    pub fn phase_at(&self, time: Ticks) -> Option<(&MappedCycle, StrokePhase)> {
        let after = self.cycles.partition_point(|cycle| cycle.start <= time);
        let cycle = self.cycles.get(after.checked_sub(1)?)?;
        Some((cycle, cycle.phase_at(time)?))
    }
}
