//! The net of light that waves throw on everything below them.
//!
//! Light that falls straight down on a field of waves is bent along the slope of the surface; where bent rays
//! meet, the net is bright. Rays are counted on a tile that repeats in space and in time.

use crate::chance::Chance;

/// Cells along the tile's side.
const CELLS: usize = 192;
/// Pictures in the loop.
const PICTURES: usize = 64;
/// Side of the tile, m.
const TILE_M: f32 = 1.15;
/// Length of the loop, s.
const LOOP_S: f32 = 6.4;

/// A looping net of light.
#[derive(Debug)]
pub struct Caustics {
    pictures: Vec<Vec<f32>>,
}

impl Caustics {
    /// Counts the rays once; takes about a second.
    #[must_use]
    pub fn new() -> Self {
        let mut chance = Chance::new(7);
        // Waves that fit the tile: whole numbers of lengths across it and of periods in the loop.
        let waves: Vec<[f32; 5]> = (0..22)
            .map(|index| {
                let across = 1.0 + (index / 3) as f32 + chance.unit() as f32;
                let heading = chance.between(0.0, std::f64::consts::TAU) as f32;
                let (kx, kz) = ((across * heading.cos()).round(), (across * heading.sin()).round());
                let k = (kx * kx + kz * kz).sqrt().max(1.0);
                // Deep-water waves: frequency grows with the root of the wave number.
                let turns = (2.6 * k.sqrt()).round();
                [kx, kz, turns, chance.unit() as f32, 0.5 / k.powf(1.35)]
            })
            .collect();
        let pictures = (0..PICTURES)
            .map(|picture| net_of_light(&waves, picture as f32 / PICTURES as f32))
            .collect();
        Self { pictures }
    }

    /// The net at `time_s`.
    #[must_use]
    pub fn net_at(&self, time_s: f32) -> Net {
        let moment = wrap(time_s / LOOP_S) * PICTURES as f32;
        let first = (moment as usize).min(PICTURES - 1);
        let share = moment - first as f32;
        let (from, to) = (&self.pictures[first], &self.pictures[(first + 1) % PICTURES]);
        Net {
            cells: from
                .iter()
                .zip(to)
                .map(|(a, b)| a * (1.0 - share) + b * share)
                .collect(),
        }
    }
}

/// The net of light at one moment.
#[derive(Debug)]
pub struct Net {
    cells: Vec<f32>,
}

impl Net {
    /// Brightness at (`x_m`, `z_m`); 1 on average.
    #[must_use]
    #[inline]
    pub fn at(&self, x_m: f32, z_m: f32) -> f32 {
        let u = wrap(x_m / TILE_M) * CELLS as f32;
        let v = wrap(z_m / TILE_M) * CELLS as f32;
        let (column, row) = ((u as usize).min(CELLS - 1), (v as usize).min(CELLS - 1));
        let (fu, fv) = (u - column as f32, v - row as f32);
        let next_column = if column + 1 == CELLS { 0 } else { column + 1 };
        let next_row = if row + 1 == CELLS { 0 } else { row + 1 };
        let top = self.cells[row * CELLS + column] * (1.0 - fu) + self.cells[row * CELLS + next_column] * fu;
        let low = self.cells[next_row * CELLS + column] * (1.0 - fu)
            + self.cells[next_row * CELLS + next_column] * fu;
        top * (1.0 - fv) + low * fv
    }
}

/// The part of `turns` beyond a whole number, 0 to 1.
#[inline]
fn wrap(turns: f32) -> f32 {
    let part = turns - turns as i32 as f32;
    if part < 0.0 { part + 1.0 } else { part }
}

impl Default for Caustics {
    fn default() -> Self {
        Self::new()
    }
}

fn net_of_light(waves: &[[f32; 5]], moment: f32) -> Vec<f32> {
    const RAYS: usize = CELLS * 3 / 2;
    const BEND: f32 = 0.020;
    let mut cells = vec![0.0f32; CELLS * CELLS];
    let weight = (CELLS * CELLS) as f32 / (RAYS * RAYS) as f32;
    for row in 0..RAYS {
        for column in 0..RAYS {
            let (x, z) = (column as f32 / RAYS as f32, row as f32 / RAYS as f32);
            let (mut bend_x, mut bend_z) = (0.0, 0.0);
            for [kx, kz, turns, phase, tall] in waves {
                let slope = tall * quick_cos(kx * x + kz * z - turns * moment + phase);
                bend_x += kx * slope;
                bend_z += kz * slope;
            }
            let u = wrap(x - BEND * bend_x) * CELLS as f32;
            let v = wrap(z - BEND * bend_z) * CELLS as f32;
            let (c, r) = ((u as usize).min(CELLS - 1), (v as usize).min(CELLS - 1));
            let (fu, fv) = (u - c as f32, v - r as f32);
            let (c1, r1) = ((c + 1) % CELLS, (r + 1) % CELLS);
            cells[r * CELLS + c] += weight * (1.0 - fu) * (1.0 - fv);
            cells[r * CELLS + c1] += weight * fu * (1.0 - fv);
            cells[r1 * CELLS + c] += weight * (1.0 - fu) * fv;
            cells[r1 * CELLS + c1] += weight * fu * fv;
        }
    }
    cells
}

/// Cosine of `turns` whole turns, good to 0.1 %: light does not need more.
fn quick_cos(turns: f32) -> f32 {
    let x = (wrap(turns) - 0.5).abs() * 4.0 - 1.0;
    // x runs −1..1 as the cosine does from trough to crest.
    let x2 = x * x;
    x * (std::f32::consts::FRAC_PI_2 - x2 * (0.6459 - x2 * 0.0751))
}
