//! Asking for an arm's entries: the first two by eye, then by the period; the other arm's in between.

use crate::guide::Stage;
use crate::guide::known::{Anchor, Known, LONGEST_SHARE, SAME_EVENT_SHARE, near};
use crate::guide::plan::Basis;
use crate::guide::predict::{LOOK_BACK, Question, line_at, nearest_median};
use crate::{MarkKind, Side};

/// A guess is never closer to the entry before it than this share of a cycle.
const SOONEST_SHARE: f64 = 0.6;

/// The entries of one arm; `beside` is an arm that was asked for before it.
pub(super) fn stage(known: &Known, side: Side, beside: Option<Side>) -> Stage {
    let anchors = known.anchors(side);
    let marked = anchors.iter().filter(|anchor| anchor.marked).count();
    let others = beside.map(|beside| known.anchors(beside)).unwrap_or_default();
    if others.iter().any(|anchor| anchor.marked) {
        let open = between(known, side, others);
        return Stage {
            marked,
            expected: open.len(),
            open,
        };
    }
    let open: Vec<Question> = alone(known, side, anchors).into_iter().collect();
    let last = anchors.last().map_or(known.start, |anchor| anchor.ticks);
    let expected = if open.is_empty() {
        0
    } else {
        whole((known.end - last) / known.period).max(1)
    };
    Stage {
        marked,
        open,
        expected,
    }
}

/// The next entry of an arm that has nothing but itself to go by.
fn alone(known: &Known, side: Side, anchors: &[Anchor]) -> Option<Question> {
    let question = |ticks: f64, basis: Basis, search_ticks: f64| {
        known.holds(ticks).then_some(Question {
            kind: MarkKind::Entry,
            side,
            ticks,
            basis,
            search_ticks,
        })
    };
    let (Some(first), Some(last)) = (anchors.first(), anchors.last()) else {
        return question(known.start, Basis::First, known.period);
    };
    let (basis, search_ticks) = if known.period_is_known {
        (Basis::CyclesSoFar, (0.06 * known.period).max(2.0 * known.spacing))
    } else {
        (Basis::First, 0.3 * known.period)
    };
    let hole = anchors
        .windows(2)
        .position(|pair| pair[1].ticks - pair[0].ticks > LONGEST_SHARE * known.period);
    if let Some(hole) = hole {
        let (from, to) = (anchors[hole].ticks, anchors[hole + 1].ticks);
        let cycles = libm::round((to - from) / known.period).max(2.0);
        return question(from + (to - from) / cycles, basis, search_ticks);
    }
    let next = following(known, side, anchors).max(last.ticks + SOONEST_SHARE * known.period);
    let basis_ahead = if basis == Basis::CyclesSoFar && anchors.len() == 2 {
        Basis::Period
    } else {
        basis
    };
    question(next, basis_ahead, search_ticks).or_else(|| {
        question(
            first.ticks - known.period_near(side, first.ticks),
            basis,
            search_ticks,
        )
    })
}

/// Where the entry after the last one should be.
#[expect(clippy::cast_precision_loss, reason = "a handful of cycles")]
fn following(known: &Known, side: Side, anchors: &[Anchor]) -> f64 {
    let last = anchors.last().map_or(known.start, |anchor| anchor.ticks);
    let recent = &anchors[anchors.len().saturating_sub(LOOK_BACK)..];
    let points: Vec<(f64, f64)> = recent
        .iter()
        .enumerate()
        .filter(|(_, anchor)| anchor.marked)
        .map(|(place, anchor)| (place as f64, anchor.ticks))
        .collect();
    let by_line = if points.len() >= 3 {
        line_at(&points, recent.len() as f64)
    } else {
        None
    };
    by_line.unwrap_or_else(|| last + known.period_near(side, last))
}

/// The entries of an arm that lie between those of the other, in time order; what may lie before them last.
fn between(known: &Known, side: Side, others: &[Anchor]) -> Vec<Question> {
    let own: Vec<f64> = known.anchors(side).iter().map(|anchor| anchor.ticks).collect();
    let marked = known.marked(MarkKind::Entry, side);
    let mut slots: Vec<(f64, f64)> = others
        .windows(2)
        .map(|pair| (pair[0].ticks, pair[1].ticks))
        .collect();
    if let (Some(first), Some(last)) = (others.first(), others.last()) {
        slots.push((last.ticks, last.ticks + known.period));
        slots.push((first.ticks - known.period, first.ticks));
    }
    slots.retain(|(start, end)| end - start <= LONGEST_SHARE * known.period);
    // The leading slot is the last of the list, but the earliest of the clip: shares are looked up by time.
    let by_time = |start: f64| slots.iter().filter(|slot| slot.0 < start).count();
    let mut shares: Vec<(usize, f64)> = Vec::new();
    for (start, end) in &slots {
        let first = marked.partition_point(|time| *time < *start);
        if let Some(time) = marked.get(first).filter(|time| **time < *end) {
            shares.push((by_time(*start), (time - start) / (end - start)));
        }
    }
    tiny_sort::unstable::sort_by_key(&mut shares, |(place, _)| *place);
    let mut open = Vec::new();
    for (start, end) in &slots {
        let first = own.partition_point(|time| *time < *start);
        if own.get(first).is_some_and(|time| time < end) {
            continue;
        }
        let length = end - start;
        let (share, basis, search_ticks) = match nearest_median(&shares, by_time(*start)) {
            Some((share, scatter)) => (
                share,
                Basis::CyclesSoFar,
                (2.0 * scatter * length).max(2.0 * known.spacing),
            ),
            None => (0.5, Basis::Period, 0.15 * length),
        };
        let ticks = start + share * length;
        if known.holds(ticks) && !near(&own, ticks, SAME_EVENT_SHARE * known.period) {
            open.push(Question {
                kind: MarkKind::Entry,
                side,
                ticks,
                basis,
                search_ticks,
            });
        }
    }
    open
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a small count, cut at 0"
)]
fn whole(number: f64) -> usize {
    number.max(0.0) as usize
}
