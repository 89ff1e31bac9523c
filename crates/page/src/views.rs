//! What the page draws, put together from the session and its analysis; nothing is computed here.

use serde::Serialize;
use session::{ClipRecord, Document};
use stroke::{Analysis, Measure, Side};
use time::Ticks;

/// The session without marks and frame times: what lists and headings need.
#[derive(Serialize)]
pub struct SessionView<'a> {
    id: &'a str,
    athlete: &'a session::Athlete,
    date: session::Date,
    notes: &'a str,
    water: &'a Option<session::Water>,
    settings: &'a session::Settings,
    clips: Vec<ClipView<'a>>,
    comparisons: &'a [session::ComparisonRecord],
    undo_label: Option<&'a str>,
    redo_label: Option<&'a str>,
}

/// A clip without its marks and frame times, and how far it is.
#[derive(Serialize)]
pub struct ClipView<'a> {
    id: session::ClipId,
    name: &'a str,
    label: &'a str,
    size_bytes: u64,
    fingerprint: &'a str,
    container: &'a str,
    codec: &'a str,
    width: u32,
    height: u32,
    rotation_deg: u16,
    timescale: time::Timescale,
    capture_rate_fps: Option<f64>,
    filmed_rate_fps: Option<f64>,
    view: Option<session::View>,
    kick: Option<session::Kick>,
    aids: &'a [session::Aid],
    speed: Option<stroke::Speed>,
    notes: &'a str,
    duplicated_frames: &'a Option<Vec<u32>>,
    frame_count: usize,
    first: Ticks,
    end: Ticks,
    /// Frames a true second at the median spacing.
    frame_rate_fps: f64,
    /// From the first frame to the end of the last, in true seconds.
    duration_s: f64,
    marks_count: usize,
    cycles_marked: usize,
    flags_count: usize,
}

impl<'a> ClipView<'a> {
    /// `clock` is the clip's own.
    pub fn of(clip: &'a ClipRecord, clock: &time::Clock, analysis: &Analysis) -> Self {
        let summary = clip.summary();
        Self {
            id: clip.id,
            name: &clip.name,
            label: &clip.label,
            size_bytes: clip.size_bytes,
            fingerprint: &clip.fingerprint,
            container: &clip.container,
            codec: &clip.codec,
            width: clip.width,
            height: clip.height,
            rotation_deg: clip.rotation_deg,
            timescale: clip.timescale,
            capture_rate_fps: clip.capture_rate_fps,
            filmed_rate_fps: clip.filmed_rate_fps,
            view: clip.view,
            kick: clip.kick,
            aids: &clip.aids,
            speed: clip.speed,
            notes: &clip.notes,
            duplicated_frames: &clip.duplicated_frames,
            frame_count: clip.frame_times.len(),
            first: clip.frame_times.first(),
            end: clip.frame_times.end(),
            frame_rate_fps: clock.frame_rate_fps(),
            duration_s: clock.seconds_between(clip.frame_times.first(), clip.frame_times.end()),
            marks_count: summary.marks,
            cycles_marked: summary.cycles_marked,
            flags_count: analysis.flags.len(),
        }
    }
}

impl<'a> SessionView<'a> {
    /// From the document and its clips' views.
    pub fn of(
        document: &'a Document,
        clips: Vec<ClipView<'a>>,
        undo_label: Option<&'a str>,
        redo_label: Option<&'a str>,
    ) -> Self {
        Self {
            id: &document.id,
            athlete: &document.athlete,
            date: document.date,
            notes: &document.notes,
            water: &document.water,
            settings: &document.settings,
            clips,
            comparisons: &document.comparisons,
            undo_label,
            redo_label,
        }
    }
}

/// The numbers of the moment under the playhead.
#[derive(Serialize)]
pub struct NowView<'a> {
    /// Which cycle of the left arm the playhead is in.
    left_cycle: Option<u32>,
    /// Which cycle of the right arm the playhead is in.
    right_cycle: Option<u32>,
    /// The measures of those cycles.
    measures: Vec<&'a Measure>,
    /// The means over the clip.
    means: Vec<&'a Measure>,
}

impl<'a> NowView<'a> {
    /// From an analysis and the playhead's time.
    pub fn of(analysis: &'a Analysis, time: Ticks) -> Self {
        let cycle_of = |side: Side| {
            let arm = analysis.arms.iter().find(|arm| arm.side == side)?;
            let cycle = arm
                .cycles
                .iter()
                .find(|cycle| cycle.start <= time && time < cycle.end)?;
            Some(cycle.index)
        };
        let (left_cycle, right_cycle) = (cycle_of(Side::Left), cycle_of(Side::Right));
        let leading_cycle = analysis.leading_arm.and_then(cycle_of);
        let (mut measures, mut means) = (Vec::new(), Vec::new());
        // One pass: there are tens of thousands, and the coach waits for it after every key.
        for measure in &analysis.measures {
            let now = match (measure.cycle, measure.side) {
                (None, _) => {
                    means.push(measure);
                    continue;
                }
                (_, Some(Side::Left)) => left_cycle,
                (_, Some(Side::Right)) => right_cycle,
                _ => leading_cycle,
            };
            if measure.cycle == now {
                measures.push(measure);
            }
        }
        Self {
            left_cycle,
            right_cycle,
            measures,
            means,
        }
    }
}
