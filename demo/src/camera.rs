//! From the flume's space to the picture.
//!
//! Space, in metres: x to the right (downstream, towards the feet), y up from the still water's level, z from
//! the swimmer's midline towards the camera. The eye is at the still water's level, so that level is one
//! straight line across the picture at any depth. Light is taken to travel straight through the window: the
//! swimmer in air and in water is drawn at one scale.

use glam::{DVec2, DVec3};

/// Width of the picture, pixels.
pub const WIDTH: usize = 1280;
/// Height of the picture, pixels.
pub const HEIGHT: usize = 720;
/// Pixels to a metre on the picture plane (z = 0, through the swimmer's midline).
pub const PIXELS_PER_M: f64 = 452.0;
/// Row of the still water's level.
pub const WATERLINE_ROW: f64 = 206.0;
/// Distance of the eye from the picture plane, m.
pub const EYE_M: f64 = 4.3;

/// Where a point in space is drawn, in metres along the picture plane.
#[must_use]
pub fn plane_from_space(point: DVec3) -> DVec2 {
    let scale = EYE_M / (EYE_M - point.z);
    DVec2::new(point.x * scale, point.y * scale)
}

/// From metres along the picture plane to pixels (column, row); pixel centres are at halves.
#[must_use]
pub fn pixel_from_plane(point: DVec2) -> DVec2 {
    DVec2::new(
        WIDTH as f64 / 2.0 + point.x * PIXELS_PER_M,
        WATERLINE_ROW - point.y * PIXELS_PER_M,
    )
}
