//! Held together by phase: pairs of strokes, and the frames of the driving clip that go through them.

use std::ops::Range;

use time::{Clock, FineTime, Ticks};

use super::choice::{CyclesChosen, NotTogether, Which};
use crate::{MappedCycle, PhaseMap, StrokePhase};

/// Nodes in a stroke: the length of one on the common scale.
pub(crate) const STROKE_LENGTH: f64 = 4.0;

/// A stroke of each clip.
#[derive(Clone, Debug)]
pub(crate) struct Stroke {
    pub(crate) cycles: [MappedCycle; 2],
    /// Whether each clip has started again with its first cycle.
    pub(crate) again: [bool; 2],
    /// The frames of the driving clip that start in its cycle.
    frames: Range<usize>,
    /// How many of them the strokes before have.
    pub(crate) first_place: usize,
    /// True seconds of the driving clip's cycles before.
    first_s: f64,
}

/// Where both clips are.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PhasePlace {
    pub(crate) place: usize,
    pub(crate) stroke: usize,
    pub(crate) phase: StrokePhase,
    pub(crate) times: [FineTime; 2],
}

/// All pairs of strokes, in order; never empty, and each has at least one frame of the driving clip.
#[derive(Clone, Debug)]
pub(crate) struct ByPhase {
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) driving: usize,
    places: usize,
    pub(crate) length_s: f64,
}

impl ByPhase {
    pub(crate) fn of(
        clocks: [&Clock; 2],
        maps: [&PhaseMap; 2],
        chosen: CyclesChosen,
        driving: Option<Which>,
    ) -> Result<Self, NotTogether> {
        let cycles = [
            chosen_of(Which::First, clocks, maps, chosen)?,
            chosen_of(Which::Second, clocks, maps, chosen)?,
        ];
        let driving = driving.map_or_else(|| busier(clocks, &cycles), Which::index);
        let mut together = Self {
            strokes: Vec::new(),
            driving,
            places: 0,
            length_s: 0.0,
        };
        for stroke in 0..cycles[0].len().max(cycles[1].len()) {
            let pair = [0, 1].map(|clip: usize| cycles[clip][stroke % cycles[clip].len()].clone());
            let own = &pair[driving];
            let frames = frames_of(clocks[driving], own);
            let (first_place, first_s) = (together.places, together.length_s);
            together.places += frames.len();
            together.length_s += clocks[driving].seconds_between(own.start, own.end);
            together.strokes.push(Stroke {
                cycles: pair,
                again: [0, 1].map(|clip: usize| stroke >= cycles[clip].len()),
                frames,
                first_place,
                first_s,
            });
        }
        Ok(together)
    }

    pub(crate) fn places(&self) -> usize {
        self.places
    }

    /// At a frame of the driving clip; beyond the last, the last.
    pub(crate) fn at_place(&self, clocks: [&Clock; 2], place: usize) -> PhasePlace {
        let place = place.min(self.places.saturating_sub(1));
        let stroke = self.stroke_at(|stroke| stroke.first_place <= place);
        let at = &self.strokes[stroke];
        let frame = at.frames.start + (place - at.first_place);
        let start = clocks[self.driving]
            .frame_times()
            .start(frame)
            .unwrap_or_default();
        let phase = at.cycles[self.driving]
            .phase_at(start)
            .unwrap_or(StrokePhase::ENTRY);
        let mut times = [0, 1].map(|clip: usize| at.cycles[clip].time_at(phase));
        times[self.driving] = start.into();
        PhasePlace {
            place,
            stroke,
            phase,
            times,
        }
    }

    /// At a place on the common scale; outside it, at its nearer end.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "kept between 0 and the number of strokes"
    )]
    pub(crate) fn at_position(&self, clocks: [&Clock; 2], position: f64) -> PhasePlace {
        let position = if position > 0.0 { position } else { 0.0 };
        let stroke = (position / STROKE_LENGTH) as usize;
        let Some(at) = self.strokes.get(stroke) else {
            return self.at_place(clocks, self.places);
        };
        let phase = StrokePhase::new(position - STROKE_LENGTH * stroke as f64).unwrap_or(StrokePhase::ENTRY);
        let times = [0, 1].map(|clip: usize| at.cycles[clip].time_at(phase));
        let nearest = clocks[self.driving]
            .frame_times()
            .nearest_frame(times[self.driving]);
        let own = nearest.clamp(at.frames.start, at.frames.end - 1) - at.frames.start;
        PhasePlace {
            place: at.first_place + own,
            stroke,
            phase,
            times,
        }
    }

    /// True seconds of the driving clip's cycles up to a frame of it.
    pub(crate) fn seconds_at(&self, clocks: [&Clock; 2], place: usize) -> f64 {
        let stroke = self.stroke_at(|stroke| stroke.first_place <= place);
        let at = &self.strokes[stroke];
        let clock = clocks[self.driving];
        let frame = at.frames.start + (place.min(self.places.saturating_sub(1)) - at.first_place);
        let start = clock.frame_times().start(frame).unwrap_or_default();
        at.first_s + clock.seconds_between(at.cycles[self.driving].start, start)
    }

    /// The frame of the driving clip that stands when so many true seconds of its cycles have passed.
    pub(crate) fn place_at_seconds(&self, clocks: [&Clock; 2], seconds: f64) -> usize {
        let stroke = self.stroke_at(|stroke| stroke.first_s <= seconds);
        let at = &self.strokes[stroke];
        let clock = clocks[self.driving];
        let start = at.cycles[self.driving].start;
        let starts = &clock.frame_times().starts()[at.frames.clone()];
        let passed =
            starts.partition_point(|frame| at.first_s + clock.seconds_between(start, *frame) <= seconds);
        at.first_place + passed.saturating_sub(1)
    }

    /// The last stroke that has begun.
    fn stroke_at(&self, has_begun: impl Fn(&Stroke) -> bool) -> usize {
        self.strokes.partition_point(has_begun).saturating_sub(1)
    }
}

impl Stroke {
    /// Where a time of one of the clips lies on the common scale, of the stroke's own four nodes.
    pub(crate) fn u_at(&self, clip: usize, time: Ticks) -> f64 {
        let cycle = &self.cycles[clip];
        if time >= cycle.end {
            return STROKE_LENGTH;
        }
        cycle.phase_at(time).map_or(0.0, StrokePhase::u)
    }
}

/// The frames that start in a cycle.
fn frames_of(clock: &Clock, cycle: &MappedCycle) -> Range<usize> {
    let starts = clock.frame_times().starts();
    starts.partition_point(|start| *start < cycle.start)..starts.partition_point(|start| *start < cycle.end)
}

fn chosen_of(
    which: Which,
    clocks: [&Clock; 2],
    maps: [&PhaseMap; 2],
    chosen: CyclesChosen,
) -> Result<Vec<MappedCycle>, NotTogether> {
    let (clock, map) = (clocks[which.index()], maps[which.index()]);
    let has_frames = |cycle: &&MappedCycle| !frames_of(clock, cycle).is_empty();
    match chosen {
        CyclesChosen::One { cycles } => {
            let cycle = cycles[which.index()];
            let found = map.cycle(cycle).filter(has_frames);
            Ok(vec![
                found.ok_or(NotTogether::UnknownCycle { which, cycle })?.clone(),
            ])
        }
        CyclesChosen::All => {
            let all: Vec<MappedCycle> = map.cycles.iter().filter(has_frames).cloned().collect();
            if all.is_empty() {
                return Err(NotTogether::NoCycle {
                    which,
                    side: map.side,
                });
            }
            Ok(all)
        }
    }
}

/// The clip with more frames a stroke; the first of two equals.
fn busier(clocks: [&Clock; 2], cycles: &[Vec<MappedCycle>; 2]) -> usize {
    let frames = |clip: usize| -> usize {
        cycles[clip]
            .iter()
            .map(|cycle| frames_of(clocks[clip], cycle).len())
            .sum()
    };
    // Means compared without dividing.
    usize::from(frames(1) * cycles[0].len() > frames(0) * cycles[1].len())
}
