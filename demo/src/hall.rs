//! What stands still: the flume's floor and far wall seen through water, and the hall above it.

use glam::Vec3;

use crate::camera::{EYE_M, HEIGHT, PIXELS_PER_M, WATERLINE_ROW, WIDTH};
use crate::caustics::Net;
use crate::light;

/// Depth of the floor, m.
const FLOOR_M: f32 = 1.28;
/// Distance of the far wall behind the swimmer's midline, m.
const FAR_WALL_M: f32 = 2.1;
/// Distance of the lane's line behind the swimmer's midline, m.
const LANE_LINE_M: f32 = 1.20;
/// Side of a tile, m.
const TILE_M: f32 = 0.15;

/// What stands still, worked out once for every pixel.
#[derive(Debug)]
pub struct Backdrop {
    above: Vec<Vec3>,
    below: Vec<Below>,
    fading: Vec<f32>,
}

/// A pixel seen through water: its colour without the net of light, what the net adds, and where the net is read.
#[derive(Clone, Copy, Debug)]
struct Below {
    base: Vec3,
    net: Vec3,
    u: f32,
    v: f32,
}

impl Backdrop {
    /// Works it out.
    #[must_use]
    pub fn new() -> Self {
        let scale = PIXELS_PER_M as f32;
        let place = |index: usize| {
            let (row, column) = (index / WIDTH, index % WIDTH);
            (
                (column as f32 + 0.5 - WIDTH as f32 / 2.0) / scale,
                (WATERLINE_ROW as f32 - row as f32 - 0.5) / scale,
            )
        };
        Self {
            above: (0..WIDTH * HEIGHT)
                .map(|index| {
                    let (x, y) = place(index);
                    above_water(x, y.max(0.0))
                })
                .collect(),
            below: (0..WIDTH * HEIGHT)
                .map(|index| {
                    let (x, y) = place(index);
                    below_water(x, y.min(-0.001))
                })
                .collect(),
            fading: (0..HEIGHT)
                .map(|row| (-(row as f32 - WATERLINE_ROW as f32).max(0.0) / scale / 0.55).exp())
                .collect(),
        }
    }

    /// Colour of the hall above the water at a pixel.
    #[must_use]
    pub fn above(&self, column: usize, row: usize) -> Vec3 {
        self.above[row * WIDTH + column]
    }

    /// Colour under water at a pixel in this light.
    #[must_use]
    pub fn below(&self, column: usize, row: usize, net: &Net) -> Vec3 {
        let pixel = &self.below[row * WIDTH + column];
        pixel.base + pixel.net * net.at(pixel.u, pixel.v)
    }

    /// How much of a shaft of light is left at a row, 0 to 1.
    #[must_use]
    pub fn fading(&self, row: usize) -> f32 {
        self.fading[row]
    }
}

impl Default for Backdrop {
    fn default() -> Self {
        Self::new()
    }
}

/// What is seen under water at a place on the picture plane.
fn below_water(x: f32, y: f32) -> Below {
    let eye = EYE_M as f32;
    // Distance from the eye, in z, at which the ray meets the floor.
    let to_floor = FLOOR_M * eye / -y;
    let to_wall = eye + FAR_WALL_M;
    let to = to_floor.min(to_wall);
    let (px, py, pz) = (x * to / eye, y * to / eye, eye - to);
    let on_floor = to_floor < to_wall;
    let water = (to - (eye - light::WINDOW_M)).max(0.0);
    let high = (1.0 + py / FLOOR_M).clamp(0.0, 1.0);
    let (albedo, even, net, u, v) = if on_floor {
        (floor_albedo(px, pz, to), 0.33, 0.50, px, pz)
    } else {
        (
            wall_albedo(px, py, to),
            0.29 + 0.17 * high,
            0.042 * (0.2 + high),
            px * 0.9 + 0.37,
            py * 1.25 + 0.11,
        )
    };
    // Corners gather less light.
    let corner = if on_floor {
        (pz + FAR_WALL_M) / 0.5
    } else {
        (py + FLOOR_M) / 0.45
    };
    let corner = 0.72 + 0.28 * corner.clamp(0.0, 1.0);
    let share = light::veil_share(water);
    let surface =
        albedo * light::daylight_at(py) * corner * light::through_water(water * 0.62) * (1.0 - share * 0.75);
    Below {
        base: surface * even + light::veil(y) * share,
        net: surface * net,
        u,
        v,
    }
}

/// 1 inside a tile, 0 on the joint, softened by the size of a pixel at that distance.
fn joint(u: f32, width: f32, blur: f32) -> f32 {
    let part = (u / TILE_M).rem_euclid(1.0) * TILE_M;
    let from_joint = part.min(TILE_M - part);
    ((from_joint - width) / blur + 0.5).clamp(0.0, 1.0)
}

fn tile_tint(u: f32, v: f32) -> f32 {
    let (i, j) = ((u / TILE_M).floor() as i32, (v / TILE_M).floor() as i32);
    let mixed = (i.wrapping_mul(374_761_393) ^ j.wrapping_mul(668_265_263)) as u32;
    let mixed = (mixed ^ (mixed >> 13)).wrapping_mul(1_274_126_177);
    0.965 + 0.07 * ((mixed >> 16) & 0xff) as f32 / 255.0
}

fn floor_albedo(x: f32, z: f32, distance: f32) -> Vec3 {
    let blur = 0.0022 * distance;
    // Seen at a flat angle, joints across the view are thinner than a pixel and fade.
    let grid = joint(x, 0.003, blur).min(0.35 + 0.65 * joint(z, 0.003, blur * 3.0));
    let tile = Vec3::new(0.60, 0.78, 0.82) * tile_tint(x, z);
    let mut colour = tile * (0.80 + 0.20 * grid);
    // The lane's dark line lies along the swimmer, with a cross-mark at every metre.
    let edge = |value: f32, half: f32, soft: f32| ((half - value.abs()) / soft + 0.5).clamp(0.0, 1.0);
    let line = edge(z + LANE_LINE_M, 0.14, 0.03);
    let metre = (x + 0.5).rem_euclid(1.0) - 0.5;
    let mark = edge(metre, 0.028, 0.012) * edge(z + LANE_LINE_M, 0.34, 0.03);
    let dark = line.max(mark);
    colour = colour.lerp(Vec3::new(0.045, 0.085, 0.14), dark * 0.92);
    colour
}

fn wall_albedo(x: f32, y: f32, distance: f32) -> Vec3 {
    let blur = 0.0022 * distance;
    let grid = joint(x, 0.003, blur).min(joint(y, 0.003, blur));
    let tile = Vec3::new(0.50, 0.72, 0.80) * tile_tint(x, y + 31.0);
    tile * (0.86 + 0.14 * grid)
}

/// Colour of the hall above the water at a place on the picture plane, out of focus.
fn above_water(x: f32, y: f32) -> Vec3 {
    let soft = |value: f32, edge: f32, blur: f32| {
        let t = ((value - edge) / blur + 0.5).clamp(0.0, 1.0);
        t * t * (3.0 - 2.0 * t)
    };
    // The flume's far edge, a pale wall, and a row of windows high up.
    let wall = Vec3::new(0.50, 0.545, 0.56).lerp(Vec3::new(0.62, 0.66, 0.67), (y / 0.45).clamp(0.0, 1.0));
    let mut colour = wall;
    let window = soft(y, 0.20, 0.09);
    let bay = (x / 0.78 + 0.18).rem_euclid(1.0);
    let pane = soft(bay, 0.12, 0.14) * soft(1.0 - bay, 0.12, 0.14);
    colour = colour.lerp(Vec3::new(0.98, 1.02, 1.03), window * pane * 0.85);
    let coping = soft(0.055, y, 0.02);
    colour = colour.lerp(Vec3::new(0.36, 0.41, 0.43), coping * 0.55);
    let lip = soft(y, 0.050, 0.010) * soft(0.072, y, 0.012);
    colour + Vec3::splat(0.10) * lip
}
