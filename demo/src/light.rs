//! How water colours and dims light, and what lamps there are.
//!
//! Red is lost first: absorption follows the order of clear water's (red ≫ green > blue), made stronger than
//! in truth so that depth shows over a few metres. Colours are linear, 1 is white on the film.

use glam::Vec3;

/// Lost per metre of water, red, green, blue.
pub const ABSORPTION_PER_M: Vec3 = Vec3::new(0.52, 0.135, 0.105);
/// Distance of the window from the swimmer's midline, m: what lies nearer is not drawn.
pub const WINDOW_M: f32 = 0.95;
/// Unit vector to the light under water: from above, a little from behind the camera.
pub const TO_LIGHT: Vec3 = Vec3::new(-0.197_4, 0.921_2, 0.335_6);

/// Share of light that comes through `metres` of water.
#[must_use]
pub fn through_water(metres: f32) -> Vec3 {
    let loss = ABSORPTION_PER_M * metres.max(0.0);
    Vec3::new((-loss.x).exp(), (-loss.y).exp(), (-loss.z).exp())
}

/// Colour of endless water seen at `height_m` (negative below the surface) on the picture plane.
#[must_use]
pub fn veil(height_m: f32) -> Vec3 {
    let shallow = Vec3::new(0.060, 0.33, 0.44);
    let deep = Vec3::new(0.006, 0.085, 0.165);
    let share = (-height_m / 1.25).clamp(0.0, 1.0).powf(0.75);
    shallow.lerp(deep, share)
}

/// How much of what is seen through `metres` of water is veil instead.
#[must_use]
pub fn veil_share(metres: f32) -> f32 {
    1.0 - (-0.17 * metres.max(0.0)).exp()
}

/// Light from above that reaches `height_m` (negative below the surface).
#[must_use]
pub fn daylight_at(height_m: f32) -> Vec3 {
    Vec3::new(1.05, 1.12, 1.08) * through_water((-height_m).max(0.0) * 0.8)
}
