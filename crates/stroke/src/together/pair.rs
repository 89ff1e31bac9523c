//! The two clips held together: every question that a screen asks is answered with a [`Moment`].

use serde::Serialize;
use time::{Clock, FineTime};

use super::by_phase::{ByPhase, STROKE_LENGTH};
use super::by_time::ByTime;
use super::choice::{Lock, NotTogether, TogetherChoice, Which};
use super::drive_lane::{LaneStretch, lane_of};
use super::moment::{FrameShown, Moment};
use crate::{Analysis, DriveStretch, MarkKind, PhaseMap, PhaseStretch, Side};

/// One clip: its clock, and what its marks say.
#[derive(Clone, Debug)]
pub struct Seen {
    clock: Clock,
    /// Left, right.
    maps: [PhaseMap; 2],
    /// Left, right: all phases that are known, those of incomplete cycles too.
    phases: [Vec<PhaseStretch>; 2],
    drive: Vec<DriveStretch>,
}

impl Seen {
    /// From a clip's clock and the analysis made with it.
    #[must_use]
    pub fn of(clock: Clock, analysis: &Analysis) -> Self {
        Self {
            clock,
            maps: [0, 1].map(|arm: usize| PhaseMap::of(&analysis.arms[arm])),
            phases: [0, 1].map(|arm: usize| analysis.arms[arm].phases.clone()),
            drive: analysis.drive.clone(),
        }
    }
}

/// Two clips held together by what was chosen.
#[derive(Clone, Debug)]
pub struct Together {
    clips: [Seen; 2],
    held: Held,
}

#[derive(Clone, Debug)]
enum Held {
    Phase(ByPhase),
    Time(ByTime),
}

/// What a screen has to know before the first moment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TogetherFacts {
    /// The clip whose frames a step goes through.
    pub driving: Which,
    /// How many of them there are.
    pub places: usize,
    /// The ends of the common scale.
    pub from: f64,
    /// The ends of the common scale.
    pub to: f64,
    /// By phase: how long the driving clip's strokes (entry to the same hand's next) last on average, true s.
    pub stroke_s: Option<f64>,
    /// By phase: the pairs of strokes in order.
    pub strokes: Vec<StrokePair>,
    /// The drive of each clip over the whole common scale.
    pub drive: [Vec<LaneStretch>; 2],
}

/// A stroke of each clip, seen together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StrokePair {
    /// By [`crate::Cycle::index`]: first clip's, second clip's.
    pub cycles: [u32; 2],
    /// Whether a clip has fewer strokes and has started again.
    pub again: [bool; 2],
    /// Events of each over which the phase runs evenly, because they are not marked or not trusted.
    pub interpolated: [Vec<MarkKind>; 2],
    /// Whether a breath is taken in it.
    pub breathing: [Option<bool>; 2],
    /// The place of its first moment.
    pub place: usize,
}

impl Together {
    /// Holds two clips together; they may be the same clip.
    ///
    /// # Errors
    /// [`NotTogether`] where the chosen strokes are not there.
    pub fn of(clips: [Seen; 2], choice: &TogetherChoice) -> Result<Self, NotTogether> {
        let clocks = [&clips[0].clock, &clips[1].clock];
        let held = match choice.lock {
            Lock::Phase { side, cycles } => {
                let arm = match side {
                    Side::Left => 0,
                    Side::Right => 1,
                    Side::Both => return Err(NotTogether::NoArm),
                };
                let maps = [&clips[0].maps[arm], &clips[1].maps[arm]];
                Held::Phase(ByPhase::of(clocks, maps, cycles, choice.driving)?)
            }
            Lock::Time { from } => Held::Time(ByTime::of(clocks, from, choice.driving)),
        };
        Ok(Self { clips, held })
    }

    /// What a screen has to know before the first moment.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "a clip has far fewer strokes than 2^53"
    )]
    pub fn facts(&self) -> TogetherFacts {
        let drive = [0, 1].map(|clip: usize| self.drive_lane(clip));
        let driving = Which::BOTH[self.driving()];
        let places = self.places();
        match &self.held {
            Held::Phase(held) => TogetherFacts {
                driving,
                places,
                from: 0.0,
                to: STROKE_LENGTH * held.strokes.len() as f64,
                stroke_s: Some(held.length_s / held.strokes.len() as f64),
                strokes: held
                    .strokes
                    .iter()
                    .map(|stroke| StrokePair {
                        cycles: [0, 1].map(|clip: usize| stroke.cycles[clip].index),
                        again: stroke.again,
                        interpolated: [0, 1].map(|clip: usize| stroke.cycles[clip].interpolated.clone()),
                        breathing: [0, 1].map(|clip: usize| stroke.cycles[clip].breathing),
                        place: stroke.first_place,
                    })
                    .collect(),
                drive,
            },
            Held::Time(held) => TogetherFacts {
                driving,
                places,
                from: held.seconds_at(self.clocks(), 0),
                to: held.seconds_at(self.clocks(), places),
                stroke_s: None,
                strokes: Vec::new(),
                drive,
            },
        }
    }

    /// The moment of a frame of the driving clip, which the other follows to its nearest frame (the earlier of
    /// two equally near). Beyond the last, the last.
    #[must_use]
    pub fn at_place(&self, place: usize) -> Moment {
        match &self.held {
            Held::Phase(held) => self.moment_of(held, &held.at_place(self.clocks(), place)),
            Held::Time(held) => {
                let place = place.min(self.places() - 1);
                self.moment_at_seconds(held, place, held.seconds_at(self.clocks(), place))
            }
        }
    }

    /// The moment at a place on the common scale: of each clip the frame nearest to it. Outside the scale, its
    /// nearer end.
    #[must_use]
    pub fn at_position(&self, position: f64) -> Moment {
        match &self.held {
            Held::Phase(held) => self.moment_of(held, &held.at_position(self.clocks(), position)),
            Held::Time(held) => {
                let last_s = held.seconds_at(self.clocks(), self.places());
                let seconds = position.min(last_s).max(held.seconds_at(self.clocks(), 0));
                let own = held.time_of(self.clocks(), held.driving, seconds);
                let place = self.clips[held.driving].clock.frame_times().nearest_frame(own);
                self.moment_at_seconds(held, place, seconds)
            }
        }
    }

    /// The moment that is due when the driving clip has played on from `place` for so many seconds of its own,
    /// true time. Past the end it starts again when `looping`; else `None`: the run is over.
    #[must_use]
    pub fn playing(&self, place: usize, played_s: f64, looping: bool) -> Option<Moment> {
        let clocks = self.clocks();
        let driving = self.driving();
        let place = place.min(self.places() - 1);
        let (origin_s, from_s, length_s) = match &self.held {
            Held::Phase(held) => (0.0, held.seconds_at(clocks, place), held.length_s),
            Held::Time(held) => {
                let first_s = held.seconds_at(clocks, 0);
                let times = clocks[driving].frame_times();
                let length_s = clocks[driving].seconds_between(times.first(), times.end());
                (first_s, held.seconds_at(clocks, place) - first_s, length_s)
            }
        };
        let mut at_s = from_s + played_s.max(0.0);
        if at_s >= length_s {
            if !looping {
                return None;
            }
            at_s %= length_s;
        }
        let due = match &self.held {
            Held::Phase(held) => held.place_at_seconds(clocks, at_s),
            Held::Time(held) => held.place_at_seconds(clocks, origin_s + at_s),
        };
        Some(self.at_place(due))
    }

    fn clocks(&self) -> [&Clock; 2] {
        [&self.clips[0].clock, &self.clips[1].clock]
    }

    fn driving(&self) -> usize {
        match &self.held {
            Held::Phase(held) => held.driving,
            Held::Time(held) => held.driving,
        }
    }

    fn places(&self) -> usize {
        match &self.held {
            Held::Phase(held) => held.places(),
            Held::Time(held) => self.clips[held.driving].clock.frame_times().len(),
        }
    }

    #[expect(
        clippy::cast_precision_loss,
        reason = "a clip has far fewer strokes than 2^53"
    )]
    fn moment_of(&self, held: &ByPhase, at: &super::by_phase::PhasePlace) -> Moment {
        let cycles = &held.strokes[at.stroke].cycles;
        Moment {
            place: at.place,
            position: STROKE_LENGTH * at.stroke as f64 + at.phase.u(),
            stroke: Some(at.stroke),
            phase: Some(at.phase.phase()),
            frames: [0, 1].map(|clip: usize| {
                let shown = self.frame_at(clip, at.times[clip]);
                FrameShown {
                    cycle: Some(cycles[clip].index),
                    ..shown
                }
            }),
        }
    }

    fn moment_at_seconds(&self, held: &ByTime, place: usize, seconds: f64) -> Moment {
        Moment {
            place,
            position: seconds,
            stroke: None,
            phase: None,
            frames: [0, 1].map(|clip: usize| {
                let time = held.time_of(self.clocks(), clip, seconds);
                let shown = self.frame_at(clip, time);
                FrameShown {
                    held: !held.is_inside(self.clocks(), clip, time),
                    ..shown
                }
            }),
        }
    }

    /// The frame of a clip nearest to a time, and what the arms do when it starts.
    fn frame_at(&self, clip: usize, time: FineTime) -> FrameShown {
        let Seen {
            clock, phases, drive, ..
        } = &self.clips[clip];
        let frame = clock.frame_times().nearest_frame(time);
        let start = clock.frame_times().start(frame).unwrap_or_default();
        let stretch = drive
            .get(drive.partition_point(|stretch| stretch.end <= start))
            .filter(|stretch| stretch.start <= start);
        FrameShown {
            frame,
            time: start,
            cycle: None,
            arms: [0, 1].map(|arm: usize| {
                let began = phases[arm].partition_point(|stretch| stretch.start <= start);
                let stretch = phases[arm].get(began.checked_sub(1)?)?;
                (start < stretch.end).then_some(stretch.phase)
            }),
            drive: stretch.map(|stretch| stretch.arms),
            waiting: stretch.and_then(|stretch| stretch.waiting),
            held: false,
        }
    }

    #[expect(
        clippy::cast_precision_loss,
        reason = "a clip has far fewer strokes than 2^53"
    )]
    fn drive_lane(&self, clip: usize) -> Vec<LaneStretch> {
        let Seen { clock, drive, .. } = &self.clips[clip];
        match &self.held {
            Held::Phase(held) => (0..)
                .zip(&held.strokes)
                .flat_map(|(index, stroke): (usize, _)| {
                    let cycle = &stroke.cycles[clip];
                    let origin = STROKE_LENGTH * index as f64;
                    lane_of(drive, cycle.start, cycle.end, |time| {
                        origin + stroke.u_at(clip, time)
                    })
                })
                .collect(),
            Held::Time(held) => {
                let times = clock.frame_times();
                lane_of(drive, times.first(), times.end(), |time| {
                    clock.seconds_between(held.from[clip], time)
                })
            }
        }
    }
}
