//! Asking for exits, catches and mid-pulls: at the share of the cycle where the swimmer's own have been.

use crate::guide::Stage;
use crate::guide::known::{Known, LONGEST_SHARE, SAME_EVENT_SHARE, near, within};
use crate::guide::plan::Basis;
use crate::guide::predict::{Question, nearest_median};
use crate::{MarkKind, Side};

/// Where an arm's events are in its cycle before any is marked: entry, catch, mid-pull, exit, next entry. The
/// mean phases of 14 national swimmers (Cortesi 2019) rounded; they only say where to look first.
const USUAL_SHARES: [f64; 5] = [0.0, 0.33, 0.55, 0.71, 1.0];

/// A cycle to ask in, with the time of each of its events where that is marked; the bounds always stand.
struct Cycle {
    events: [Option<f64>; 5],
}

/// One kind of event of one arm.
pub(super) fn stage(known: &Known, kind: MarkKind, side: Side) -> Stage {
    let event = place(kind);
    let own = cycles(known, side);
    let other = if own.iter().any(|cycle| cycle.events[event].is_some()) {
        Vec::new()
    } else {
        cycles(known, side.other())
    };
    let marked_times = known.marked(kind, side);
    let passed_over = known.passed_over(kind, side);
    let mut stage = Stage {
        marked: 0,
        open: Vec::new(),
        expected: 0,
    };
    let mut shares: [Option<Vec<(usize, f64)>>; 16] = Default::default();
    for (number, cycle) in own.iter().enumerate() {
        let [start, end] = [cycle.events[0], cycle.events[4]].map(Option::unwrap_or_default);
        if cycle.events[event].is_some() {
            stage.marked += 1;
            continue;
        }
        if within(&passed_over, start - known.spacing / 2.0, end).is_some() {
            continue;
        }
        let before = (0..event)
            .rev()
            .find(|event| cycle.events[*event].is_some())
            .unwrap_or(0);
        let after = (event + 1..5)
            .find(|event| cycle.events[*event].is_some())
            .unwrap_or(4);
        let (Some(from), Some(to)) = (cycle.events[before], cycle.events[after]) else {
            continue;
        };
        let known_shares =
            shares[before * 4 + after - 1].get_or_insert_with(|| shares_of(&own, before, event, after));
        let (share, basis, scatter) = match nearest_median(known_shares, number) {
            Some((share, scatter)) => (share, Basis::CyclesSoFar, scatter),
            None => match nearest_median(&shares_of(&other, before, event, after), number) {
                Some((share, _)) => (share, Basis::Period, 0.05),
                None => (
                    (USUAL_SHARES[event] - USUAL_SHARES[before])
                        / (USUAL_SHARES[after] - USUAL_SHARES[before]),
                    Basis::First,
                    0.1,
                ),
            },
        };
        let ticks = from + share * (to - from);
        if known.holds(ticks) && !near(&marked_times, ticks, SAME_EVENT_SHARE / 3.0 * known.period) {
            let search_ticks = (2.0 * scatter * (to - from)).max(2.0 * known.spacing);
            stage.open.push(Question {
                kind,
                side,
                ticks,
                basis,
                search_ticks,
            });
        }
    }
    stage
}

/// Where the event lies between two others, in each cycle that has all three.
fn shares_of(cycles: &[Cycle], before: usize, event: usize, after: usize) -> Vec<(usize, f64)> {
    let share = |cycle: &Cycle| {
        let (from, at, to) = (cycle.events[before]?, cycle.events[event]?, cycle.events[after]?);
        (to > from && (from..=to).contains(&at)).then(|| (at - from) / (to - from))
    };
    cycles
        .iter()
        .enumerate()
        .filter_map(|(number, cycle)| Some((number, share(cycle)?)))
        .collect()
}

/// The arm's cycles in time order, with one guessed before the first entry and one after the last.
fn cycles(known: &Known, side: Side) -> Vec<Cycle> {
    let anchors = known.anchors(side);
    let (Some(first), Some(last)) = (anchors.first(), anchors.last()) else {
        return Vec::new();
    };
    let mut bounds = vec![(first.ticks - known.period_near(side, first.ticks), first.ticks)];
    bounds.extend(anchors.windows(2).map(|pair| (pair[0].ticks, pair[1].ticks)));
    bounds.push((last.ticks, last.ticks + known.period_near(side, last.ticks)));
    bounds.retain(|(start, end)| end > start && end - start <= LONGEST_SHARE * known.period);
    let marked = [MarkKind::Catch, MarkKind::MidPull, MarkKind::Exit].map(|kind| known.marked(kind, side));
    bounds
        .into_iter()
        .map(|(start, end)| {
            // On the frame of the entry itself counts too.
            let find = |event: usize| within(&marked[event - 1], start - known.spacing / 2.0, end);
            Cycle {
                events: [Some(start), find(1), find(2), find(3), Some(end)],
            }
        })
        .collect()
}

fn place(kind: MarkKind) -> usize {
    match kind {
        MarkKind::Catch => 1,
        MarkKind::MidPull => 2,
        _ => 3,
    }
}
