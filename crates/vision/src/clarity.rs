//! Clearer pictures of murky water: what a coach switches on and off over the picture.
//!
//! Four filters, each by itself or in this order: red that the water took is made up for, the colours' means
//! are evened out, contrast is spread where it is, and steps that this made visible are smoothed. A filter
//! reads one picture and writes another; the file and the decoded frame are never touched. They change what
//! is seen, so nothing is measured on their results.

mod clarifier;
mod deband;
mod equalise;
mod grey_world;
mod red;
mod rgba;

pub use clarifier::{Clarifier, Clarity};
pub use deband::{DebandOptions, deband};
pub use equalise::{EqualiseOptions, equalise, equalise_luma};
pub use grey_world::grey_world;
pub use red::compensate_red;
pub use rgba::{Rgba, luma_of};
