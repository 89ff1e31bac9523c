//! Front-crawl stroke timing: marks become cycles, cycles become measures with their uncertainty.
//!
//! Not for: files, clocks, browsers or pictures. Everything here is a pure function of its input. What each
//! number means, its source and its limits: `METHODS.md` beside this crate's manifest.
//!
//! One arm alone gives its rate and phases. Entry at 0 and 1.5 s, at 60 frames a second:
//! ```
//! use time::{Clock, FrameTimes, Ticks, Timescale};
//! use wetframe_stroke::{Mark, MarkId, MarkKind, MeasureKind, Passage, Side, analyse};
//!
//! let times = FrameTimes::from_starts((0..200).map(Ticks).collect(), 1)?;
//! let clock = Clock::new(Timescale::new(60)?, times);
//! let mark = |id, kind, frame| Mark { id: MarkId(id), kind, side: Some(Side::Left), time: Ticks(frame) };
//! let marks = [
//!     mark(1, MarkKind::Entry, 0),
//!     mark(2, MarkKind::Catch, 27),
//!     mark(3, MarkKind::MidPull, 48),
//!     mark(4, MarkKind::Exit, 63),
//!     mark(5, MarkKind::Entry, 90),
//! ];
//! let analysis = analyse(&Passage { clock: &clock, marks: &marks, speed: None });
//! let rate = analysis.measures.iter().find(|measure| measure.kind == MeasureKind::StrokeRate).unwrap();
//! let quantity = rate.quantity.unwrap();
//! assert_eq!(quantity.value, 80.0);
//! // One cycle at 60 frames/s: ± 0.36 strokes/min (1 SD).
//! assert!((quantity.uncertainty - 0.36).abs() < 0.01);
//! # Ok::<(), time::TimeError>(())
//! ```
//!
//! A number that cannot be had says why, and marks that cannot be right are flagged, never dropped:
//! ```
//! # use time::{Clock, FrameTimes, Ticks, Timescale};
//! # use wetframe_stroke::{AbsenceKind, FlagKind, Mark, MarkId, MarkKind, MeasureKind, Passage, Side, analyse};
//! # let clock = Clock::new(Timescale::new(60)?, FrameTimes::from_starts((0..200).map(Ticks).collect(), 1)?);
//! # let mark = |id, kind, frame| Mark { id: MarkId(id), kind, side: Some(Side::Left), time: Ticks(frame) };
//! let marks = [
//!     mark(1, MarkKind::Entry, 0),
//!     mark(2, MarkKind::Exit, 20),
//!     mark(3, MarkKind::Catch, 27),
//!     mark(4, MarkKind::Entry, 90),
//! ];
//! let analysis = analyse(&Passage { clock: &clock, marks: &marks, speed: None });
//! assert_eq!(analysis.flags[0].kind, FlagKind::ExitBeforeCatch);
//! assert_eq!(analysis.flags[0].message, "The hand leaves the water before it has pulled: left exit on frame 20, left catch on frame 27.");
//! let recovery = analysis.measures.iter().find(|measure| measure.kind == MeasureKind::PhaseRecovery).unwrap();
//! assert_eq!(recovery.absence.unwrap().kind, AbsenceKind::ImpossibleOrder);
//! assert_eq!(recovery.flags, [0]);
//! # Ok::<(), time::TimeError>(())
//! ```
//!
//! The guided pass says what to mark next and where to look:
//! ```
//! # use time::{Clock, FrameTimes, Ticks, Timescale};
//! # use wetframe_stroke::{Mark, MarkId, MarkKind, Passage, Side};
//! use wetframe_stroke::guide::{Basis, GuidePlan, next_step};
//!
//! # let clock = Clock::new(Timescale::new(60)?, FrameTimes::from_starts((0..300).map(Ticks).collect(), 1)?);
//! # let mark = |id, kind, frame| Mark { id: MarkId(id), kind, side: Some(Side::Left), time: Ticks(frame) };
//! let marks = [12, 100, 189].map(|frame| mark(frame as u32, MarkKind::Entry, frame));
//! let passage = Passage { clock: &clock, marks: &marks, speed: None };
//! let step = next_step(&passage, &GuidePlan::default(), &[]).unwrap();
//! assert_eq!((step.kind, step.side, step.frame), (MarkKind::Entry, Side::Left, 278));
//! assert_eq!(step.basis, Basis::CyclesSoFar);
//! # Ok::<(), time::TimeError>(())
//! ```

mod absence;
mod analysis;
mod arm;
mod arm_measures;
mod breath;
mod breath_measures;
mod chance;
pub mod compare;
mod coordination_measures;
mod cycle;
mod drive;
mod filming;
mod flag;
pub mod guide;
mod hand_over;
mod leg_measures;
mod legs;
mod mark;
mod measure;
mod measure_kind;
mod ordered;
mod passage;
mod phase;
mod phase_map;
mod repeatability;
mod speed;
mod statistics;
mod strokes;
mod swimming_speed;
mod table;
pub mod together;
mod uncertain;

pub use absence::{Absence, AbsenceKind};
pub use analysis::{Analysis, analyse};
pub use breath::Breath;
pub use compare::{CompareOptions, Comparison, SelectedCycles, compare, plan_filming};
pub use cycle::{ArmTimeline, Cycle};
pub use drive::{DriveArms, DriveStretch};
pub use filming::{GapError, gap_error_table, interval_error_s};
pub use flag::{Flag, FlagKind};
pub use legs::{Downbeat, KickOut};
pub use mark::{Body, Mark, MarkId, MarkKind, Side};
pub use measure::{BreathingSplit, Measure, Quantity, Span};
pub use measure_kind::{MeasureKind, Unit};
pub use passage::Passage;
pub use phase::{Phase, PhaseStretch};
pub use phase_map::{MappedCycle, PhaseMap, StrokePhase};
pub use repeatability::{
    FEWEST_PAIRS, MarkRepeatability, MeasureRepeatability, RemarkStep, Repeatability, TooFewPairs,
    TwoMarkings, last_remark, next_remark,
};
pub use speed::Speed;
