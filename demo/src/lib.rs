//! Renders the demo: an invented swimmer in a flume, filmed from the side, before and after one cue.
//!
//! schedule (exact event times) → pose (joints at any time) → figure (a solid body) → picture (light, water,
//! bubbles) → clip. Every event that a coach can mark is an input, so the clips come with their truth.
//!
//! Not for: simulating water or bodies. The light is plausible, the times are exact.

pub mod arm;
pub mod camera;
pub mod caustics;
pub mod chance;
pub mod clips;
pub mod curve;
pub mod encode;
pub mod figure;
pub mod hall;
pub mod hand;
pub mod light;
pub mod picture;
pub mod pose;
pub mod schedule;
pub mod session;
pub mod skin;
pub mod solid;
pub mod specks;
pub mod surface;
pub mod truth;
