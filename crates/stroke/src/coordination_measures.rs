//! What is measured of the hand-over between the arms.

use smallvec::SmallVec;

use crate::Side;
use crate::absence::AbsenceKind;
use crate::arm::{Arm, Stroke};
use crate::arm_measures::no_cycle;
use crate::hand_over::{HandOver, Moments};
use crate::measure::{BreathingSplit, Measure};
use crate::measure_kind::MeasureKind;
use crate::ordered::Marks;
use crate::table::{Means, Row, Sides, Table};
use crate::uncertain::Estimate;

/// Two hand-overs in a row, from the leading arm and back to it: a cycle of both arms.
struct Pair<'a> {
    cycle: Option<u32>,
    breathing: Option<bool>,
    there: &'a HandOver<'a>,
    back: &'a HandOver<'a>,
}

type Quantify = fn(Moments, &Marks) -> Estimate;

/// Each kind, how it is computed, and whether its side is the arm that waits (else the arm that ends).
const KINDS: [(MeasureKind, Quantify, bool); 5] = [
    (
        MeasureKind::IndexOfCoordination,
        Moments::index_of_coordination,
        false,
    ),
    (MeasureKind::PropulsiveGap, Moments::propulsive_gap, true),
    (
        MeasureKind::PropulsiveGapFrames,
        Moments::propulsive_gap_frames,
        true,
    ),
    (
        MeasureKind::PropulsiveGapShare,
        Moments::propulsive_gap_share,
        true,
    ),
    (MeasureKind::LeadArmLag, Moments::lead_arm_lag, true),
];

/// The arm whose first complete cycle starts first: its cycles number the measures of both arms.
pub(crate) fn leading_arm(arms: &[Arm; 2]) -> Option<Side> {
    let start = |arm: &Arm| {
        arm.cycles()
            .next()
            .and_then(Stroke::bounds)
            .map(|(entry, _)| entry)
    };
    match (start(&arms[0]), start(&arms[1])) {
        (Some(left), Some(right)) => Some(if left < right { Side::Left } else { Side::Right }),
        (Some(_), None) => Some(Side::Left),
        (None, Some(_)) => Some(Side::Right),
        (None, None) => None,
    }
}

/// Adds index of coordination, gap and lead-arm lag. Returns the comparison of the two sides.
pub(crate) fn add_coordination_measures(
    table: &mut Table,
    arms: &[Arm; 2],
    from_left: &[HandOver],
    from_right: &[HandOver],
    marks: &Marks,
) -> Vec<Measure> {
    let (there, back) = match leading_arm(arms) {
        Some(Side::Right) => (from_right, from_left),
        _ => (from_left, from_right),
    };
    let pairs = pairs_of(there, back);
    let none = |side: Option<Side>, _: BreathingSplit| match no_cycle(arms, side) {
        AbsenceKind::ArmNotMarked => AbsenceKind::ArmNotMarked,
        absence if arms.iter().all(Arm::is_marked) => absence,
        _ => AbsenceKind::OtherArmNotMarked,
    };
    let means = Means {
        sides: Sides::Apart,
        split: true,
        over: None,
        none: &none,
    };
    let mut comparisons = Vec::new();
    for (kind, quantify, by_waiting) in KINDS {
        let single = from_left
            .iter()
            .chain(from_right)
            .filter_map(|hand_over| row_of(hand_over, quantify, by_waiting, marks));
        let both = pairs.iter().map(|pair| row_of_pair(pair, quantify, marks));
        table.add_kind(kind, means, single.chain(both));
        if kind == MeasureKind::IndexOfCoordination {
            comparisons =
                table.compare_sides(MeasureKind::IndexOfCoordinationDifference, true, |left, right| {
                    Some([right - left, -1.0, 1.0])
                });
        }
    }
    comparisons
}

fn row_of(hand_over: &HandOver, quantify: Quantify, by_waiting: bool, marks: &Marks) -> Option<Row> {
    let (side, cycle) = if by_waiting {
        (
            hand_over.waiting_side,
            hand_over.waiting.and_then(|stroke| stroke.index),
        )
    } else {
        (hand_over.ending_side, hand_over.ending.index)
    };
    // A gap of an arm that has no stroke there is no row of that arm.
    cycle?;
    let outcome = hand_over.moments.map(|moments| quantify(moments, marks));
    let about = if outcome.is_ok() {
        SmallVec::new()
    } else {
        about(hand_over)
    };
    Some(Row {
        side: Some(side),
        cycle,
        breathing: hand_over.breathing,
        outcome,
        about,
    })
}

fn row_of_pair(pair: &Pair, quantify: Quantify, marks: &Marks) -> Row {
    let one = |hand_over: &HandOver| hand_over.moments.map(|moments| quantify(moments, marks));
    let outcome = one(pair.there).and_then(|there| Ok((there + one(pair.back)?) * 0.5));
    let about = if outcome.is_ok() {
        SmallVec::new()
    } else {
        let mut about = about(pair.there);
        about.extend(crate::coordination_measures::about(pair.back));
        tiny_sort::unstable::sort(&mut about);
        about.dedup();
        about
    };
    Row {
        side: None,
        cycle: pair.cycle,
        breathing: pair.breathing,
        outcome,
        about,
    }
}

fn about(hand_over: &HandOver) -> SmallVec<[u32; 6]> {
    let ending = hand_over.ending.marks_to_next_entry();
    ending
        .chain(hand_over.waiting.into_iter().flat_map(Stroke::marks))
        .collect()
}

/// Pairs each hand-over from the leading arm with the one that brings the work back to it.
fn pairs_of<'a>(there: &'a [HandOver<'a>], back: &'a [HandOver<'a>]) -> Vec<Pair<'a>> {
    let mut later = back.iter().peekable();
    let mut pairs = Vec::with_capacity(there.len());
    for hand_over in there {
        let Some(waiting) = hand_over.waiting.and_then(|stroke| stroke.index) else {
            continue;
        };
        while later.next_if(|back| back.ending.index < Some(waiting)).is_some() {}
        let Some(back) = later.peek().filter(|back| back.ending.index == Some(waiting)) else {
            continue;
        };
        let breathing = match (hand_over.breathing, back.breathing) {
            (Some(there), Some(back)) => Some(there || back),
            (Some(true), None) | (None, Some(true)) => Some(true),
            _ => None,
        };
        pairs.push(Pair {
            cycle: hand_over.ending.index,
            breathing,
            there: hand_over,
            back,
        });
    }
    pairs
}
