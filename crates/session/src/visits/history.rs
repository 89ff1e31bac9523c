//! One measure over dates.

use std::collections::BTreeMap;

use serde::Serialize;
use stroke::{Absence, MeasureKind, Side, Unit};

use super::visit::{Mean, Visit, VisitClip};
use super::{ConditionWords, Visits};
use crate::{ClipId, Date};

/// A measure of every clip of every session.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeasureHistory {
    /// What is measured.
    pub kind: MeasureKind,
    /// The unit of every number here.
    pub unit: Unit,
    /// By date, those of one day by session id and then in the order of the clips.
    pub entries: Vec<HistoryEntry>,
}

/// One clip on its day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HistoryEntry {
    /// The session's id.
    pub session: String,
    /// The swimmer's label; may be empty.
    pub athlete_label: String,
    /// The day of filming.
    pub date: Date,
    /// Which clip of the session.
    pub clip: ClipId,
    /// What it is called.
    pub title: String,
    /// The how-manieth clip of this day, from 1.
    pub of_day: u32,
    /// How many clips there are of this day.
    pub on_day: u32,
    /// As [`crate::ClipSummary::cycles_marked`].
    pub cycles_marked: usize,
    /// Frames a true second at the median spacing.
    pub frame_rate_fps: f64,
    /// What was stated about the clip.
    pub conditions: ConditionWords,
    /// What was stated otherwise of the marked clip before; empty for the first and for a clip without marks.
    pub changes: Vec<String>,
    /// Both arms together or what has no side, then left, then right; what the kind does not have is left out.
    pub values: Vec<HistoryValue>,
}

/// A mean over all cycles of a clip, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HistoryValue {
    /// As in [`stroke::Measure`].
    pub side: Option<Side>,
    /// The mean.
    pub value: Option<f64>,
    /// Its standard uncertainty from the frames and the stated speed.
    pub uncertainty: Option<f64>,
    /// 95 % t interval from stroke to stroke, low and high; from n = 3. Where there is none the frames' uncertainty
    /// is all that is known.
    pub interval: Option<[f64; 2]>,
    /// What a chart draws beside the value, low and high: the interval, or the value ± its uncertainty below n = 3 and
    /// where strokes so alike would promise more than the frames allow.
    pub bar: Option<[f64; 2]>,
    /// How many cycles, hand-overs, breaths … it stands on; 0 where there is none.
    pub n: u32,
    /// Some of its marks are flagged.
    pub in_doubt: bool,
    /// Why there is no number.
    pub absence: Option<Absence>,
}

impl Visits {
    /// A measure of every clip, by date.
    #[must_use]
    pub fn history(&self, kind: MeasureKind) -> MeasureHistory {
        let visits = self.in_order();
        let mut on_day: BTreeMap<Date, u32> = BTreeMap::new();
        for visit in &visits {
            for _ in &visit.clips {
                *on_day.entry(visit.date).or_default() += 1;
            }
        }
        let mut so_far: BTreeMap<Date, u32> = BTreeMap::new();
        let mut before: Option<&ConditionWords> = None;
        let mut entries = Vec::new();
        for visit in visits {
            for clip in &visit.clips {
                let of_day = so_far.entry(visit.date).or_default();
                *of_day += 1;
                let mut entry = entry(visit, clip, kind);
                entry.of_day = *of_day;
                entry.on_day = on_day.get(&visit.date).copied().unwrap_or_default();
                if clip.marks > 0 {
                    entry.changes = before.map_or_else(Vec::new, |was| clip.conditions.changes_since(was));
                    before = Some(&clip.conditions);
                }
                entries.push(entry);
            }
        }
        MeasureHistory {
            kind,
            unit: kind.unit(),
            entries,
        }
    }
}

fn entry(visit: &Visit, clip: &VisitClip, kind: MeasureKind) -> HistoryEntry {
    let mut values: Vec<HistoryValue> = clip.means_of(kind).map(HistoryValue::of).collect();
    tiny_sort::stable::sort_by_key(&mut values, |value| {
        value.side.map_or(0, |side| 1 + u8::from(side == Side::Right))
    });
    HistoryEntry {
        session: visit.session.clone(),
        athlete_label: visit.athlete_label.clone(),
        date: visit.date,
        clip: clip.clip,
        title: clip.title.clone(),
        of_day: 0,
        on_day: 0,
        cycles_marked: clip.cycles_marked,
        frame_rate_fps: clip.frame_rate_fps,
        conditions: clip.conditions.clone(),
        changes: Vec::new(),
        values,
    }
}

impl HistoryValue {
    fn of(mean: &Mean) -> Self {
        let known = mean.outcome.ok();
        Self {
            side: mean.side,
            value: known.map(|known| known.value),
            uncertainty: known.map(|known| known.uncertainty),
            interval: known.and_then(|known| known.interval),
            bar: known.map(|known| {
                let frames = [known.value - known.uncertainty, known.value + known.uncertainty];
                let [low, high] = known.interval.unwrap_or(frames);
                [low.min(frames[0]), high.max(frames[1])]
            }),
            n: known.map_or(0, |known| known.n),
            in_doubt: known.is_some_and(|known| known.in_doubt),
            absence: mean.outcome.err().map(|kind| Absence { kind }),
        }
    }
}
