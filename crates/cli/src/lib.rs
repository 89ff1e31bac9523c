//! The shell's side of wetframe: the same computations as the page, from files.

pub mod frames;
