//! Pictures of measures, as text: the stroke wheel as SVG, and the points that ordinary charts draw.
//!
//! Page, print and review file share one drawing by calling this crate. It knows a passage's analysis and
//! nothing of pages, themes or browsers: colours come from the stylesheet of whoever shows the picture, words
//! from whoever asks for it.
//!
//! Not for: computing measures (that is `stroke`), or deciding where a picture stands on a page.
//!
//! ```
//! use wetframe_report::wheel::{ArmTurn, Turn, Wheel, WheelStyle, WheelWords, svg_of};
//! use stroke::Side;
//!
//! // Both arms half a cycle apart; each hand leaves the water before the other catches: 10 % of the cycle.
//! let near = ArmTurn { side: Side::Left, entry: 0.0, catch: 0.3, mid_pull: 0.53, exit: 0.7 };
//! let far = ArmTurn { side: Side::Right, entry: 0.5, catch: 0.8, mid_pull: 1.03, exit: 1.2 };
//! let mean = Turn { near, far: Some(far) };
//! assert!((mean.gaps()[0].share - 0.1).abs() < 1e-12);
//!
//! let wheel = Wheel { mean, singles: Vec::new(), gap_labels: Vec::new() };
//! let svg = svg_of(&wheel, &WheelWords::default(), &WheelStyle::default());
//! assert!(svg.starts_with("<svg"));
//! ```

mod axis;
pub mod difference;
mod figure;
pub mod phase_pairs;
pub mod plot;
pub mod svg;
pub mod wheel;
