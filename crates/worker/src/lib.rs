//! The boundary between the worker that owns a clip's file and the crates.
//!
//! A module of its own: a worker does not load what only the page needs, nor the page what only a worker needs. It
//! translates and computes nothing, as [`wetframe_page`](../wetframe_page/index.html) does.

mod clip_reader;
mod duplicate_finder;

pub use clip_reader::ClipReader;
pub use duplicate_finder::DuplicateFinder;
