//! Measures over dates as a table.

use serde::{Deserialize, Serialize};
use stroke::{MeasureKind, Side, Unit};

use super::{FreeText, name, written};
use crate::visits::{HistoryEntry, HistoryValue, MeasureHistory, Visits};
use crate::{ClipId, Date, Refusal};

/// One mean of one clip. The fields are the columns, in this order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct VisitRow {
    /// The day of filming.
    pub date: Date,
    /// The swimmer's label.
    pub swimmer: FreeText,
    /// The session's id.
    pub session: String,
    /// The clip's id within the session.
    pub clip_id: ClipId,
    /// What the clip is called, as in [`crate::MarkRow`].
    pub clip: FreeText,
    /// The how-manieth clip of that day, from 1.
    pub of_day: u32,
    /// What is measured.
    pub measure: MeasureKind,
    /// The arm; empty for both.
    pub side: Option<Side>,
    /// The mean over all strokes of the clip, in `unit`; empty where there is none.
    pub value: Option<f64>,
    /// The unit of all numbers up to `n`.
    pub unit: Unit,
    /// Standard uncertainty (1 SD) from the frames and the stated speed.
    pub uncertainty: Option<f64>,
    /// Low end of the 95 % interval from stroke to stroke; empty below n = 3.
    pub interval_low: Option<f64>,
    /// High end of it.
    pub interval_high: Option<f64>,
    /// How many cycles, strokes or breaths the value stands on.
    pub n: u32,
    /// Where the camera stood, in words; empty where nobody said. So are the next three.
    pub view: String,
    /// Whether the swimmer kicked.
    pub kick: String,
    /// What the swimmer wore or held.
    pub aids: String,
    /// The speed that was set, or that it was timed by pass marks.
    pub speed: String,
    /// Frames a true second at the median spacing.
    pub frame_rate_fps: f64,
    /// What was stated otherwise of the marked clip before, parted by `; `.
    pub changes: String,
    /// Why there is no value: a stable name, a colon, and the words; `in_doubt` where some of its marks are
    /// flagged; else empty.
    pub reason: String,
}

const COLUMNS: [&str; 21] = [
    "date",
    "swimmer",
    "session",
    "clip_id",
    "clip",
    "of_day",
    "measure",
    "side",
    "value",
    "unit",
    "uncertainty",
    "interval_low",
    "interval_high",
    "n",
    "view",
    "kick",
    "aids",
    "speed",
    "frame_rate_fps",
    "changes",
    "reason",
];

fn row(history: &MeasureHistory, entry: &HistoryEntry, value: &HistoryValue) -> VisitRow {
    let reason = match value.absence {
        Some(absence) => format!("{}: {}", name(&absence.kind), absence.message()),
        None if value.in_doubt => "in_doubt".to_owned(),
        None => String::new(),
    };
    VisitRow {
        date: entry.date,
        swimmer: FreeText(entry.athlete_label.clone()),
        session: entry.session.clone(),
        clip_id: entry.clip,
        clip: FreeText(entry.title.clone()),
        of_day: entry.of_day,
        measure: history.kind,
        side: value.side,
        value: value.value,
        unit: history.unit,
        uncertainty: value.uncertainty,
        interval_low: value.interval.map(|[low, _]| low),
        interval_high: value.interval.map(|[_, high]| high),
        n: value.n,
        view: entry.conditions.view.clone(),
        kick: entry.conditions.kick.clone(),
        aids: entry.conditions.aids.clone(),
        speed: entry.conditions.speed.clone(),
        frame_rate_fps: entry.frame_rate_fps,
        changes: entry.changes.join("; "),
        reason,
    }
}

/// Those measures of every clip as CSV, measure by measure and by date; with no kinds named, all that any clip has.
///
/// # Errors
/// [`crate::Fault::NotWritable`], never in practice.
pub fn visits_csv(visits: &Visits, kinds: &[MeasureKind]) -> Result<String, Refusal> {
    let kinds = if kinds.is_empty() {
        visits.measured_kinds()
    } else {
        kinds.to_vec()
    };
    let mut rows = Vec::new();
    for kind in kinds {
        let history = visits.history(kind);
        for entry in &history.entries {
            rows.extend(entry.values.iter().map(|value| row(&history, entry, value)));
        }
    }
    written(&COLUMNS, rows.into_iter())
}
