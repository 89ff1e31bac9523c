//! What the guide knows: the marks by kind and side, the skipped steps, and the length of a cycle.

use crate::guide::plan::{GuidePlan, StepId};
use crate::guide::predict::{lower_median, median};
use crate::{MarkKind, Passage, Side};

/// A first guess at a cycle, s: 43 cycles/min, between an easy and a fast swim. It only says where to look
/// for the second entry.
const FIRST_PERIOD_S: f64 = 1.4;
/// Two events of one kind and arm are never closer than this share of a cycle; nor is a guess that close to
/// a mark a new event.
pub(super) const SAME_EVENT_SHARE: f64 = 0.3;
/// Entries farther apart than this many cycles have one between them.
pub(super) const LONGEST_SHARE: f64 = 1.6;

/// Times are ticks as floating-point numbers: they are guesses.
pub(super) struct Known<'a> {
    passage: &'a Passage<'a>,
    skipped: &'a [StepId],
    pub(super) start: f64,
    pub(super) end: f64,
    pub(super) ticks_per_s: f64,
    /// Ticks of one frame.
    pub(super) spacing: f64,
    /// Entries of the left and of the right arm, marked or passed over.
    anchors: [Vec<Anchor>; 2],
    /// The length of a cycle, ticks.
    pub(super) period: f64,
    /// Whether that comes from marks.
    pub(super) period_is_known: bool,
}

/// An entry that is marked, or where one was asked for and passed over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Anchor {
    pub(super) ticks: f64,
    pub(super) marked: bool,
}

#[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
impl<'a> Known<'a> {
    pub(super) fn of(passage: &'a Passage<'a>, plan: &GuidePlan, skipped: &'a [StepId]) -> Self {
        let clock = passage.clock;
        let times = clock.frame_times();
        let ticks_per_s = 1.0 / clock.seconds(1);
        let (first, end) = (times.first(), times.end());
        let span = plan
            .span
            .map_or((first, end), |span| (span.start.max(first), span.end.min(end)));
        let mut known = Self {
            passage,
            skipped,
            start: span.0.0 as f64,
            end: span.1.0 as f64,
            ticks_per_s,
            spacing: ticks_per_s / clock.frame_rate_fps(),
            anchors: [Vec::new(), Vec::new()],
            period: FIRST_PERIOD_S * ticks_per_s,
            period_is_known: false,
        };
        let mut cycles: Vec<f64> = Vec::new();
        for side in [Side::Left, Side::Right] {
            let entries = known.marked(MarkKind::Entry, side);
            cycles.extend(entries.windows(2).map(|pair| pair[1] - pair[0]));
        }
        // An entry that is not marked makes one long interval, which this does not mind.
        if let Some(period) = lower_median(&mut cycles).filter(|period| *period > 0.0) {
            known.period = period;
            known.period_is_known = true;
        }
        known.anchors = [Side::Left, Side::Right].map(|side| known.find_anchors(side));
        known
    }

    /// Marks of that kind and side, in time order.
    pub(super) fn marked(&self, kind: MarkKind, side: Side) -> Vec<f64> {
        let of_kind = self
            .passage
            .marks
            .iter()
            .filter(|mark| mark.kind == kind && mark.side == Some(side));
        let mut ticks: Vec<f64> = of_kind.map(|mark| mark.time.0 as f64).collect();
        tiny_sort::unstable::sort_by(&mut ticks, f64::total_cmp);
        ticks
    }

    /// Where that kind and side was asked for and passed over, in time order.
    pub(super) fn passed_over(&self, kind: MarkKind, side: Side) -> Vec<f64> {
        let of_kind = self
            .skipped
            .iter()
            .filter(|step| step.kind == kind && step.side == side);
        let mut ticks: Vec<f64> = of_kind.map(|step| step.time.0 as f64).collect();
        tiny_sort::unstable::sort_by(&mut ticks, f64::total_cmp);
        ticks
    }

    /// The arm's entries, in time order.
    pub(super) fn anchors(&self, side: Side) -> &[Anchor] {
        if side == Side::Left {
            &self.anchors[0]
        } else {
            &self.anchors[1]
        }
    }

    /// Whether an event there lies in the part of the clip that is to be marked.
    pub(super) fn holds(&self, ticks: f64) -> bool {
        self.start <= ticks && ticks < self.end
    }

    /// The length of the arm's cycles near that time: the median of the five nearest.
    pub(super) fn period_near(&self, side: Side, ticks: f64) -> f64 {
        let anchors = self.anchors(side);
        let here = anchors.partition_point(|anchor| anchor.ticks <= ticks);
        let nearest = &anchors[here.saturating_sub(4)..anchors.len().min(here + 3)];
        let mut cycles: Vec<f64> = nearest
            .windows(2)
            .map(|pair| pair[1].ticks - pair[0].ticks)
            .filter(|cycle| *cycle > 0.0 && *cycle < LONGEST_SHARE * self.period)
            .collect();
        median(&mut cycles).unwrap_or(self.period)
    }

    fn find_anchors(&self, side: Side) -> Vec<Anchor> {
        let entries = self.marked(MarkKind::Entry, side);
        let mut anchors: Vec<Anchor> = entries
            .iter()
            .map(|ticks| Anchor {
                ticks: *ticks,
                marked: true,
            })
            .collect();
        for ticks in self.passed_over(MarkKind::Entry, side) {
            if !near(&entries, ticks, SAME_EVENT_SHARE * self.period) {
                anchors.push(Anchor { ticks, marked: false });
            }
        }
        tiny_sort::unstable::sort_by(&mut anchors, |one, other| one.ticks.total_cmp(&other.ticks));
        anchors
    }
}

/// Whether one of the sorted times lies within `reach` of `ticks`.
pub(super) fn near(sorted: &[f64], ticks: f64, reach: f64) -> bool {
    let after = sorted.partition_point(|time| *time < ticks - reach);
    sorted.get(after).is_some_and(|time| *time <= ticks + reach)
}

/// Whether one of the sorted times lies in `start < time < end`.
pub(super) fn within(sorted: &[f64], start: f64, end: f64) -> Option<f64> {
    let after = sorted.partition_point(|time| *time <= start);
    sorted.get(after).copied().filter(|time| *time < end)
}
