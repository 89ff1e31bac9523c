//! The stroke wheel: one cycle as a circle, both arms as two rings.
//!
//! The near arm's entry stands at twelve o'clock and time runs clockwise; a full turn is one cycle of the near
//! arm. The outer ring is the near arm, the inner one the other; phases differ by texture and width as well as
//! by hue, so that the picture survives grey print. The disc in the middle shows propulsion: filled where at
//! least one arm propels, empty where none does. Mean cycle filled, single cycles as fine lines.
//!
//! Not for: measuring. The wheel draws what the analysis says; its gap labels are the analysis' own means.
//!
//! Phases and gap: Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54-59.

mod draw;
mod of_analysis;
mod turn;

pub use draw::{WheelStyle, WheelWords, svg_of};
pub use turn::{ArmTurn, Band, Gap, PHASES, Turn};

use stroke::Side;

/// Everything that one wheel shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Wheel {
    /// The mean cycle, filled.
    pub mean: Turn,
    /// The single cycles, as fine lines over the mean.
    pub singles: Vec<Turn>,
    /// What is written at the empty wedges: the clip's mean gap of each waiting arm.
    pub gap_labels: Vec<GapLabel>,
}

/// A gap's length as written beside its wedge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapLabel {
    /// The arm whose catch ends the gap.
    pub waiting: Side,
    /// Milliseconds; negative where the arms overlap.
    pub value_ms: f64,
    /// One standard deviation from frame quantisation, milliseconds.
    pub uncertainty_ms: f64,
}
