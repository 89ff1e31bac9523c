//! What really happens in a clip: every event with its exact time and the frame that stands for it.
//!
//! The frame of an event is the one whose interval [frame/rate, (frame + 1)/rate) contains it. The renderer
//! opens the shutter for the middle third of that interval.

use serde::Serialize;
use stroke::{MarkKind, Side};

use crate::clips::{DEMO_CLIPS, FRAME_COUNT, duration_s, swimmer_of};
use crate::pose::Swimmer;
use crate::schedule::Schedule;

/// Frames a second of the demo clips.
pub const RATE_FPS: u32 = 60;
/// Ticks a second of the demo clips.
pub const TIMESCALE: u32 = 15_360;
/// Ticks a frame stands.
pub const FRAME_TICKS: i64 = (TIMESCALE / RATE_FPS) as i64;

/// One event.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrueEvent {
    /// What happens.
    pub kind: MarkKind,
    /// Of which side.
    pub side: Side,
    /// Exact time from the clip's start, s.
    pub time_s: f64,
    /// Index of the frame that stands for it, from 0.
    pub frame: u32,
    /// That frame's presentation time, ticks.
    pub presentation: i64,
}

/// Measures that follow from the exact times by plain arithmetic; means over whole cycles inside the clip.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrueMeasures {
    /// Whole cycles of the left and the right arm.
    pub whole_cycles: [usize; 2],
    /// Mean cycle of both arms, s.
    pub cycle_duration_s: f64,
    /// Strokes (of either arm) a minute.
    pub stroke_rate_per_min: f64,
    /// Mean shares of the cycle: entry and catch, pull, push, recovery; %.
    pub phases_percent: [f64; 4],
    /// Mean index of coordination, %.
    pub index_of_coordination_percent: f64,
    /// From the left exit to the right catch, no breath in that left cycle: ms.
    pub gap_right_waits_non_breathing_ms: f64,
    /// The same while breathing, ms.
    pub gap_right_waits_breathing_ms: f64,
    /// From the right exit to the left catch, ms.
    pub gap_left_waits_ms: f64,
    /// The index of coordination of the gaps without and with a breath while the right arm waits, %.
    pub index_right_waits_percent: [f64; 2],
}

/// One clip.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrueClip {
    /// File name beside this file.
    pub file: String,
    /// The coach's word for it.
    pub label: String,
    /// Frames in the clip.
    pub frame_count: u32,
    /// Frames a second.
    pub rate_fps: u32,
    /// Ticks a second.
    pub timescale: u32,
    /// Ticks a frame stands.
    pub frame_ticks: i64,
    /// Length, s.
    pub duration_s: f64,
    /// Every event inside the clip, in time order.
    pub events: Vec<TrueEvent>,
    /// What follows from them.
    pub measures: TrueMeasures,
}

/// The whole file.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Truth {
    /// What this is.
    pub about: String,
    /// Before, then after.
    pub clips: Vec<TrueClip>,
}

/// The index of the frame whose interval contains `time_s`.
#[must_use]
pub fn frame_of(time_s: f64) -> u32 {
    (time_s * f64::from(RATE_FPS)).floor().max(0.0) as u32
}

/// Everything that happens inside the clip.
#[must_use]
pub fn events_of(swimmer: &Swimmer) -> Vec<TrueEvent> {
    let schedule = swimmer.schedule();
    let mut found: Vec<(MarkKind, Side, f64)> = Vec::new();
    for (side, strokes) in [(Side::Left, &schedule.left), (Side::Right, &schedule.right)] {
        for stroke in strokes {
            found.extend([
                (MarkKind::Entry, side, stroke.entry),
                (MarkKind::Catch, side, stroke.catch),
                (MarkKind::MidPull, side, stroke.mid_pull),
                (MarkKind::Exit, side, stroke.exit),
            ]);
        }
    }
    for breath in &schedule.breaths {
        found.extend([
            (MarkKind::ExhaleStart, Side::Left, breath.exhale_start),
            (MarkKind::FaceTurn, Side::Left, breath.face_turn),
            (MarkKind::MouthClear, Side::Left, breath.mouth_clear),
            (MarkKind::FaceReturn, Side::Left, breath.face_return),
        ]);
    }
    for kick_out in &schedule.kick_outs {
        found.extend([
            (MarkKind::KickOutStart, Side::Both, kick_out.start),
            (MarkKind::KickOutEnd, Side::Both, kick_out.end),
        ]);
    }
    for (side, time) in swimmer.downbeats() {
        found.push((MarkKind::Downbeat, side, time));
    }
    found.retain(|(_, _, time)| (0.0..schedule.duration_s).contains(time));
    found.sort_by(|a, b| a.2.total_cmp(&b.2));
    found
        .into_iter()
        .map(|(kind, side, time_s)| {
            let frame = frame_of(time_s);
            TrueEvent {
                kind,
                side,
                time_s: (time_s * 1e6).round() / 1e6,
                frame,
                presentation: i64::from(frame) * FRAME_TICKS,
            }
        })
        .collect()
}

fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let (sum, count) = values
        .into_iter()
        .fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

/// The measures of the whole cycles inside the clip.
#[must_use]
pub fn measures_of(schedule: &Schedule) -> TrueMeasures {
    let inside = |time: f64| (0.0..schedule.duration_s).contains(&time);
    let whole = |strokes: &[crate::schedule::ArmStroke]| -> Vec<[f64; 5]> {
        strokes
            .windows(2)
            .filter(|pair| inside(pair[0].entry) && inside(pair[1].entry))
            .map(|pair| {
                [
                    pair[0].entry,
                    pair[0].catch,
                    pair[0].mid_pull,
                    pair[0].exit,
                    pair[1].entry,
                ]
            })
            .collect()
    };
    let (left, right) = (whole(&schedule.left), whole(&schedule.right));
    let both = || left.iter().chain(&right);
    let share = |phase: usize| {
        mean(both().map(|cycle| 100.0 * (cycle[phase + 1] - cycle[phase]) / (cycle[4] - cycle[0])))
    };
    // From the exit that ends an arm's propulsion to the other arm's next catch, with the cycle's length.
    let gaps = |from: &[[f64; 5]], to: &[crate::schedule::ArmStroke]| -> Vec<(f64, f64, f64)> {
        from.iter()
            .filter_map(|cycle| {
                let catch = to
                    .iter()
                    .map(|stroke| stroke.catch)
                    .find(|catch| *catch > cycle[2])?;
                inside(catch).then_some((cycle[3], catch - cycle[3], cycle[4] - cycle[0]))
            })
            .collect()
    };
    let right_waits = gaps(&left, &schedule.right);
    let left_waits = gaps(&right, &schedule.left);
    let breathes = |exit: f64| {
        schedule
            .breaths
            .iter()
            .any(|breath| (breath.mouth_clear - exit).abs() < 0.2)
    };
    let of = |breathing: bool| right_waits.iter().filter(move |gap| breathes(gap.0) == breathing);
    let index = |gap: &(f64, f64, f64)| -100.0 * gap.1 / gap.2;
    let rounded = |value: f64, places: i32| {
        let scale = libm::pow(10.0, f64::from(places));
        (value * scale).round() / scale
    };
    let cycle_duration_s = mean(both().map(|cycle| cycle[4] - cycle[0]));
    TrueMeasures {
        whole_cycles: [left.len(), right.len()],
        cycle_duration_s: rounded(cycle_duration_s, 4),
        stroke_rate_per_min: rounded(120.0 / cycle_duration_s, 2),
        phases_percent: [0, 1, 2, 3].map(|phase| rounded(share(phase), 2)),
        index_of_coordination_percent: rounded(
            0.5 * (mean(right_waits.iter().map(index)) + mean(left_waits.iter().map(index))),
            2,
        ),
        gap_right_waits_non_breathing_ms: rounded(1000.0 * mean(of(false).map(|gap| gap.1)), 1),
        gap_right_waits_breathing_ms: rounded(1000.0 * mean(of(true).map(|gap| gap.1)), 1),
        gap_left_waits_ms: rounded(1000.0 * mean(left_waits.iter().map(|gap| gap.1)), 1),
        index_right_waits_percent: [false, true].map(|breathing| rounded(mean(of(breathing).map(index)), 2)),
    }
}

/// The truth of both clips.
#[must_use]
pub fn truth() -> Truth {
    Truth {
        about: "Exact event times of the demo clips, made with them by wetframe-demo. An event's frame is the one \
            whose interval contains it; presentation is that frame's start in ticks."
            .to_owned(),
        clips: DEMO_CLIPS
            .iter()
            .map(|clip| {
                let swimmer = swimmer_of(clip);
                TrueClip {
                    file: format!("{}.mp4", clip.label),
                    label: clip.label.to_owned(),
                    frame_count: FRAME_COUNT,
                    rate_fps: RATE_FPS,
                    timescale: TIMESCALE,
                    frame_ticks: FRAME_TICKS,
                    duration_s: duration_s(),
                    events: events_of(&swimmer),
                    measures: measures_of(swimmer.schedule()),
                }
            })
            .collect(),
    }
}
