//! Front-crawl stroke timing: marks become cycles, cycles become measures with their uncertainty.
//!
//! Not for: files, clocks, browsers or pictures. Everything here is a pure function of its input.

mod absence;
mod analysis;
mod arm;
mod arm_measures;
mod breath;
mod breath_measures;
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
mod speed;
mod statistics;
mod strokes;
mod swimming_speed;
mod table;
mod uncertain;

pub use absence::{Absence, AbsenceKind};
pub use analysis::{Analysis, analyse};
pub use breath::Breath;
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
pub use speed::Speed;
