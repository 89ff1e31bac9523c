//! Asking for breaths and kick-outs: where in the breathing arm's cycle, and how often.

use crate::guide::Stage;
use crate::guide::known::{Known, LONGEST_SHARE, near, within};
use crate::guide::plan::Basis;
use crate::guide::predict::{Question, median, nearest_median};
use crate::{MarkKind, Side};

/// Before any is marked, the mouth is looked for where the arm on that side leaves the water.
const USUAL_BREATH_SHARE: f64 = 0.7;
/// First guesses from the mouth clear of the water, s: they only say where to look first.
const USUAL_FACE_TURN_S: f64 = -0.25;
const USUAL_FACE_RETURN_S: f64 = 0.45;
const USUAL_EXHALE_START_S: f64 = -0.7;
const USUAL_KICK_OUT_S: f64 = 0.3;

/// The mouth clear of the water on one side: in every cycle until the first, then as often as so far.
pub(super) fn breaths(known: &Known, side: Side) -> Stage {
    let kind = MarkKind::MouthClear;
    let anchors = known.anchors(side);
    let mut bounds: Vec<(f64, f64)> = anchors
        .windows(2)
        .map(|pair| (pair[0].ticks, pair[1].ticks))
        .collect();
    if let Some(last) = anchors.last() {
        bounds.push((last.ticks, last.ticks + known.period_near(side, last.ticks)));
    }
    bounds.retain(|(start, end)| end > start && end - start <= LONGEST_SHARE * known.period);
    let marked = known.marked(kind, side);
    let passed_over = known.passed_over(kind, side);
    let in_cycle = |times: &[f64], (start, end): (f64, f64)| within(times, start - known.spacing / 2.0, end);
    let with_breath: Vec<(usize, f64)> = bounds
        .iter()
        .enumerate()
        .filter_map(|(number, cycle)| {
            Some((
                number,
                (in_cycle(&marked, *cycle)? - cycle.0) / (cycle.1 - cycle.0),
            ))
        })
        .collect();
    let candidates = due(
        &with_breath.iter().map(|(number, _)| *number).collect::<Vec<_>>(),
        bounds.len(),
    );
    let open = candidates
        .into_iter()
        .filter(|number| in_cycle(&passed_over, bounds[*number]).is_none())
        .filter_map(|number| {
            let (start, end) = bounds[number];
            let (share, basis, search) = match nearest_median(&with_breath, number) {
                Some((share, scatter)) => (share, Basis::CyclesSoFar, (2.0 * scatter).max(0.02)),
                None => (USUAL_BREATH_SHARE, Basis::First, 0.2),
            };
            let ticks = start + share * (end - start);
            let search_ticks = search * (end - start);
            let free = known.holds(ticks) && !near(&marked, ticks, 0.3 * known.period);
            free.then_some(Question {
                kind,
                side,
                ticks,
                basis,
                search_ticks,
            })
        });
    let open: Vec<Question> = open.collect();
    Stage {
        marked: marked.len(),
        expected: open.len(),
        open,
    }
}

/// Cycles in which a breath is due: all while none is known; then every so many from each breath to the next,
/// and after the last from the one that is due on.
fn due(with_breath: &[usize], cycles: usize) -> Vec<usize> {
    let (Some(first), Some(last)) = (with_breath.first(), with_breath.last()) else {
        return (0..cycles).collect();
    };
    let mut steps: Vec<usize> = with_breath.windows(2).map(|pair| pair[1] - pair[0]).collect();
    tiny_sort::unstable::sort(&mut steps);
    let step = steps
        .get(steps.len().saturating_sub(1) / 2)
        .copied()
        .unwrap_or(1)
        .max(1);
    let mut due: Vec<usize> = with_breath
        .windows(2)
        .flat_map(|pair| (pair[0] + step..pair[1]).step_by(step))
        .collect();
    due.extend(last + step..cycles);
    due.extend((1..).map_while(|back: usize| first.checked_sub(back * step)));
    due
}

/// The other marks of the breaths of one side.
pub(super) fn around_breaths(known: &Known, kind: MarkKind, side: Side) -> Stage {
    let half = known.period / 2.0;
    let (usual_s, reach) = match kind {
        MarkKind::FaceTurn => (USUAL_FACE_TURN_S, (-half, 0.0)),
        MarkKind::FaceReturn => (USUAL_FACE_RETURN_S, (0.0, 1.3 * half)),
        _ => (USUAL_EXHALE_START_S, (-2.0 * half, 0.0)),
    };
    offset_stage(
        known,
        kind,
        side,
        &known.marked(MarkKind::MouthClear, side),
        &[side],
        usual_s,
        reach,
    )
}

/// One kick-out beside each breath.
pub(super) fn kick_out_starts(known: &Known) -> Stage {
    let mut breaths = known.marked(MarkKind::MouthClear, Side::Left);
    breaths.extend(known.marked(MarkKind::MouthClear, Side::Right));
    tiny_sort::unstable::sort_by(&mut breaths, f64::total_cmp);
    let half = known.period / 2.0;
    offset_stage(
        known,
        MarkKind::KickOutStart,
        legs(known),
        &breaths,
        &LEGS,
        0.0,
        (-half, half),
    )
}

/// The end of each kick-out.
pub(super) fn kick_out_ends(known: &Known) -> Stage {
    let mut stages = LEGS.into_iter().map(|side| {
        let starts = known.marked(MarkKind::KickOutStart, side);
        offset_stage(
            known,
            MarkKind::KickOutEnd,
            side,
            &starts,
            &[side],
            USUAL_KICK_OUT_S,
            (0.0, known.period),
        )
    });
    let mut all = Stage {
        marked: 0,
        open: Vec::new(),
        expected: 0,
    };
    for stage in &mut stages {
        all.marked += stage.marked;
        all.expected += stage.expected;
        all.open.extend(stage.open);
    }
    all
}

const LEGS: [Side; 3] = [Side::Left, Side::Right, Side::Both];

/// The side that the coach has used for kick-outs so far.
fn legs(known: &Known) -> Side {
    let count = |side: &Side| known.marked(MarkKind::KickOutStart, *side).len();
    LEGS.into_iter()
        .filter(|side| count(side) > 0)
        .max_by_key(count)
        .unwrap_or(Side::Both)
}

/// One event beside each of some marks: as far from them as so far, within `reach` of them.
fn offset_stage(
    known: &Known,
    kind: MarkKind,
    side: Side,
    beside: &[f64],
    counts: &[Side],
    usual_s: f64,
    reach: (f64, f64),
) -> Stage {
    let mut marked: Vec<f64> = counts.iter().flat_map(|side| known.marked(kind, *side)).collect();
    tiny_sort::unstable::sort_by(&mut marked, f64::total_cmp);
    let mut passed_over: Vec<f64> = counts
        .iter()
        .flat_map(|side| known.passed_over(kind, *side))
        .collect();
    tiny_sort::unstable::sort_by(&mut passed_over, f64::total_cmp);
    let find = |times: &[f64], from: f64| {
        within(
            times,
            from + reach.0 - known.spacing / 2.0,
            from + reach.1 + known.spacing / 2.0,
        )
    };
    let mut offsets: Vec<f64> = beside
        .iter()
        .filter_map(|from| Some(find(&marked, *from)? - from))
        .collect();
    let (offset, basis, search) = match median(&mut offsets) {
        Some(offset) => (offset, Basis::CyclesSoFar, 0.1),
        None => (usual_s * known.ticks_per_s, Basis::First, 0.3),
    };
    let offset = offset.clamp(reach.0, reach.1);
    let search_ticks = search * known.ticks_per_s;
    let open: Vec<Question> = beside
        .iter()
        .filter(|from| find(&marked, **from).is_none() && find(&passed_over, **from).is_none())
        .map(|from| Question {
            kind,
            side,
            ticks: from + offset,
            basis,
            search_ticks,
        })
        .filter(|question| known.holds(question.ticks))
        .collect();
    Stage {
        marked: marked.len(),
        expected: open.len(),
        open,
    }
}
