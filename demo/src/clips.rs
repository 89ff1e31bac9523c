//! The two clips of the demo: the same swimmer, camera and water, before and after a cue.

use crate::camera::plane_from_space;
use crate::pose::{CROWN_AT_REST, Swimmer};
use crate::schedule::{Schedule, Style};
use crate::surface::Surface;
use crate::truth::RATE_FPS;

/// One clip to be made.
#[derive(Clone, Copy, Debug)]
pub struct DemoClip {
    /// The coach's word for it; the file is `LABEL.mp4`.
    pub label: &'static str,
    /// How the swimmer swims in it.
    pub style: fn() -> Style,
    /// Seed of bubbles, drops, drifting specks and sensor noise.
    pub seed: u64,
}

/// Before and after.
pub const DEMO_CLIPS: [DemoClip; 2] = [
    DemoClip {
        label: "before",
        style: Style::before,
        seed: 101,
    },
    DemoClip {
        label: "after",
        style: Style::after,
        seed: 202,
    },
];

/// Frames in each clip: ten whole cycles of both arms and a little more.
pub const FRAME_COUNT: u32 = 864;
/// Water speed of the flume in both clips, m/s; `scenario.json` says the same.
pub const FLOW_M_PER_S: f64 = 1.25;

/// Length of each clip, s.
#[must_use]
pub fn duration_s() -> f64 {
    f64::from(FRAME_COUNT) / f64::from(RATE_FPS)
}

/// The swimmer of a clip.
#[must_use]
pub fn swimmer_of(clip: &DemoClip) -> Swimmer {
    let surface = Surface {
        flow_m_per_s: FLOW_M_PER_S,
        crown_x_m: plane_from_space(CROWN_AT_REST).x,
    };
    Swimmer::new(Schedule::new(&(clip.style)(), duration_s()), surface)
}
