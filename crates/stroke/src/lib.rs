//! Front-crawl stroke timing: marks become cycles, cycles become measures with their uncertainty.
//!
//! Not for: files, clocks, browsers or pictures. Everything here is a pure function of its input.

mod mark;
mod speed;

pub use mark::{Body, Mark, MarkId, MarkKind, Side};
pub use speed::Speed;
