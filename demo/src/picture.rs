//! One frame: hall and water, the body, bubbles and drops, blurred by the open shutter.

use std::ops::Range;

use glam::{DVec2, Vec2, Vec3};

use crate::camera::{EYE_M, HEIGHT, PIXELS_PER_M, WATERLINE_ROW, WIDTH};
use crate::caustics::{Caustics, Net};
use crate::chance::Chance;
use crate::clips::{DemoClip, swimmer_of};
use crate::figure::Figure;
use crate::hall;
use crate::light;
use crate::pose::Swimmer;
use crate::skin::Hits;
use crate::solid::{LANES, Points};
use crate::specks::{Mote, Speck, SpeckKind, bubbles_and_drops, motes};
use crate::truth::RATE_FPS;

/// Moments at which the open shutter is sampled.
const MOMENTS: usize = 5;
/// The shutter is open for this share of the frame's interval, in its middle.
const SHUTTER: f64 = 0.32;
/// Where within a pixel each moment looks: a rotated grid smooths edges.
const LOOKS: [(f32, f32); MOMENTS] = [(0.1, 0.5), (0.3, 0.9), (0.5, 0.3), (0.7, 0.7), (0.9, 0.1)];
/// Side of the squares in which the body is looked for, pixels.
const SQUARE: usize = 8;

/// Everything needed to draw any frame of a clip.
pub struct Film<'a> {
    swimmer: Swimmer,
    caustics: &'a Caustics,
    specks: Vec<Speck>,
    motes: Vec<Mote>,
    backdrop: hall::Backdrop,
    shown: Vec<f32>,
    seed: u64,
}

/// A picture in linear light, and how near the body is at each pixel (z, m).
struct Canvas {
    colour: Vec<Vec3>,
    near: Vec<f32>,
}

const NOWHERE: f32 = -100.0;

impl<'a> Film<'a> {
    /// Prepares a clip.
    #[must_use]
    pub fn new(clip: &DemoClip, caustics: &'a Caustics) -> Self {
        let swimmer = swimmer_of(clip);
        let specks = bubbles_and_drops(&swimmer, clip.seed);
        Self {
            specks,
            motes: motes(clip.seed),
            swimmer,
            caustics,
            backdrop: hall::Backdrop::new(),
            shown: shown_table(),
            seed: clip.seed,
        }
    }

    /// Frame `frame`, as rows of 8-bit red, green, blue.
    #[must_use]
    pub fn frame(&self, frame: u32) -> Vec<u8> {
        let start = f64::from(frame) / f64::from(RATE_FPS);
        let length = 1.0 / f64::from(RATE_FPS);
        let middle = start + 0.5 * length;
        let surface = self.surface_rows(middle);
        let lamps = Lamps::at(middle as f32, self.caustics);
        let still = self.still_picture(&lamps, &surface);
        let mut sum = vec![Vec3::ZERO; WIDTH * HEIGHT];
        let mut canvas = Canvas {
            colour: still.clone(),
            near: vec![NOWHERE; WIDTH * HEIGHT],
        };
        // The middle moment first: it shows the others where the body can be.
        let mut guide = None;
        for index in [2, 0, 1, 3, 4] {
            let look = &LOOKS[index];
            let share = (index as f64 + 0.5) / MOMENTS as f64 - 0.5;
            let time = middle + SHUTTER * share * length;
            canvas.colour.copy_from_slice(&still);
            canvas.near.fill(NOWHERE);
            self.draw_body(&mut canvas, time, *look, &surface, &lamps, guide.as_ref());
            guide.get_or_insert_with(|| Guide::of(&canvas));
            self.draw_specks(&mut canvas, time as f32, *look);
            for (total, colour) in sum.iter_mut().zip(&canvas.colour) {
                *total += *colour;
            }
        }
        self.develop(&sum, &surface, frame, &lamps)
    }

    /// Row of the surface in every column.
    fn surface_rows(&self, time: f64) -> Vec<f32> {
        (0..WIDTH)
            .map(|column| {
                let x = (column as f64 + 0.5 - WIDTH as f64 / 2.0) / PIXELS_PER_M;
                (WATERLINE_ROW - self.swimmer.surface().height_m(x, time) * PIXELS_PER_M) as f32
            })
            .collect()
    }

    fn still_picture(&self, lamps: &Lamps, surface: &[f32]) -> Vec<Vec3> {
        let mut picture = Vec::with_capacity(WIDTH * HEIGHT);
        let scale = PIXELS_PER_M as f32;
        for row in 0..HEIGHT {
            for (column, surface_row) in surface.iter().enumerate() {
                let below = row as f32 + 0.5 - surface_row;
                let water = (below + 0.5).clamp(0.0, 1.0);
                let mut colour = Vec3::ZERO;
                if water > 0.0 {
                    colour += self.water_colour(column, row, below.max(0.0) / scale, lamps) * water;
                }
                if water < 1.0 {
                    colour += self.backdrop.above(column, row) * (1.0 - water);
                }
                picture.push(colour);
            }
        }
        picture
    }

    /// Under water: floor and wall, shafts of light, and the shimmer under the surface.
    fn water_colour(&self, column: usize, row: usize, below_m: f32, lamps: &Lamps) -> Vec3 {
        let mut colour = self.backdrop.below(column, row, &lamps.net);
        let shaft = lamps.shafts[column + (below_m * Lamps::SLANT * PIXELS_PER_M as f32) as usize];
        colour += Vec3::new(0.012, 0.032, 0.034) * shaft.min(1.1) * self.backdrop.fading(row);
        // The underside of the waves, seen flat on: streaks along the flow that fade with depth.
        if below_m < 0.16 {
            let x = column as f32 / PIXELS_PER_M as f32;
            let streak = lamps.net.at(x * 0.35 - lamps.time_s * 0.30, below_m * 6.5);
            let under = (-below_m / 0.035).exp();
            colour += Vec3::new(0.10, 0.22, 0.23) * under * (0.25 + 0.55 * streak.min(2.0));
        }
        colour
    }

    fn draw_body(
        &self,
        canvas: &mut Canvas,
        time: f64,
        look: (f32, f32),
        surface: &[f32],
        lamps: &Lamps,
        guide: Option<&Guide>,
    ) {
        let figure = Figure::of(&self.swimmer.pose_at(time));
        let outlines: Vec<Outline> = figure.solid.parts.iter().map(Outline::of).collect();
        let scale = PIXELS_PER_M as f32;
        let mut close = Vec::with_capacity(64);
        let mut wide = Vec::with_capacity(64);
        let (rows, columns) = squares_around(&outlines);
        for top in rows.step_by(SQUARE) {
            for left in columns.clone().step_by(SQUARE) {
                let nearest = guide.map_or(f32::INFINITY, |guide| guide.near(left, top));
                if nearest == NOWHERE {
                    continue;
                }
                let half = SQUARE as f32 / 2.0;
                let middle = Vec2::new(
                    (left as f32 + half - WIDTH as f32 / 2.0) / scale,
                    (WATERLINE_ROW as f32 - top as f32 - half) / scale,
                );
                let corner = half * 1.4143 / scale;
                close.clear();
                wide.clear();
                let mut front = NOWHERE;
                for (index, outline) in outlines.iter().enumerate() {
                    let gap = outline.distance(middle) - corner;
                    if gap < 0.06 {
                        wide.push(index as u16);
                    }
                    if gap < 0.012 {
                        close.push(index as u16);
                        front = front.max(outline.front);
                    }
                }
                if close.is_empty() {
                    continue;
                }
                for row in top..(top + SQUARE).min(HEIGHT) {
                    for first in (left..left + SQUARE).step_by(LANES) {
                        let rays = Rays::through(first, row, look, front.min(nearest + Guide::MARGIN_M));
                        let Some(met) = rays.meet(&figure, &close) else {
                            continue;
                        };
                        let hits = Hits {
                            figure: &figure,
                            points: met.points,
                            to_eye: -rays.middle,
                            close: &close,
                            wide: &wide,
                            below_m: std::array::from_fn(|lane| {
                                (row as f32 + look.1 - surface[first + lane]) / scale
                            }),
                            net: &lamps.net,
                        };
                        for (lane, colour) in hits.colours().into_iter().enumerate() {
                            if met.met[lane] {
                                let place = first + lane + row * WIDTH;
                                canvas.near[place] = met.points.z[lane];
                                canvas.colour[place] = colour;
                            }
                        }
                    }
                }
            }
        }
    }

    fn draw_specks(&self, canvas: &mut Canvas, time: f32, look: (f32, f32)) {
        let surface = |x: f32| self.swimmer.surface().height_m(f64::from(x), f64::from(time)) as f32;
        for mote in &self.motes {
            let place = mote.at(time);
            let haze = (place.z - light::WINDOW_M).abs();
            let blur = 0.0006 + 0.0022 * (place.z - 0.1).abs();
            let radius = mote.radius_m + blur;
            let strength = mote.strength * (mote.radius_m / radius).powi(2).max(0.05) * (-0.3 * haze).exp();
            canvas.dot(place, radius, Vec3::new(0.75, 0.95, 0.95), strength, false, look);
        }
        let first = self.specks.partition_point(|speck| speck.birth_s < time - 1.1);
        for speck in &self.specks[first..] {
            if speck.birth_s > time {
                break;
            }
            let Some(seen) = speck.at(time, surface) else {
                continue;
            };
            match speck.kind {
                SpeckKind::Bubble => {
                    let haze = light::veil_share((light::WINDOW_M - seen.place.z).max(0.0));
                    let colour = Vec3::new(0.80, 1.0, 1.02).lerp(light::veil(seen.place.y), haze * 0.8);
                    canvas.dot(
                        seen.place,
                        speck.radius_m,
                        colour,
                        seen.strength * 0.75,
                        true,
                        look,
                    );
                }
                SpeckKind::Drop => {
                    canvas.dot(
                        seen.place,
                        speck.radius_m,
                        Vec3::new(0.97, 1.0, 1.02),
                        seen.strength * 0.62,
                        false,
                        look,
                    );
                }
            }
        }
    }

    /// From light to film: tone, the glint along the waterline, vignette, grain, 8 bits.
    fn develop(&self, sum: &[Vec3], surface: &[f32], frame: u32, lamps: &Lamps) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(WIDTH * HEIGHT * 3);
        let mut chance = Chance::new(self.seed.wrapping_mul(1_000_003) ^ u64::from(frame));
        for row in 0..HEIGHT {
            for (column, surface_row) in surface.iter().enumerate() {
                let mut colour = sum[row * WIDTH + column] / MOMENTS as f32;
                let off = row as f32 + 0.5 - surface_row;
                if off.abs() < 6.0 {
                    let x = column as f32 / PIXELS_PER_M as f32;
                    let glint = lamps.net.at(x * 0.5 - lamps.time_s * 0.4, 0.2);
                    let dark = (-(off + 1.2) * (off + 1.2) / 1.6).exp();
                    let bright = (-(off - 1.0) * (off - 1.0) / 1.4).exp();
                    colour *= 1.0 - 0.38 * dark;
                    colour += Vec3::new(0.26, 0.34, 0.34) * bright * (0.25 + 0.5 * glint.min(2.2));
                }
                let from_middle = Vec2::new(
                    column as f32 / WIDTH as f32 - 0.5,
                    row as f32 / HEIGHT as f32 - 0.5,
                );
                let vignette = 1.0 - 0.42 * from_middle.length_squared();
                let bits = chance.bits();
                let grain = ((bits & 0xffff) as f32 + ((bits >> 16) & 0xffff) as f32) / 65_536.0 - 1.0;
                for channel in (colour * vignette).to_array() {
                    let step = (channel.clamp(0.0, BRIGHTEST) / BRIGHTEST).sqrt() * (TONES - 1) as f32;
                    let shown = self.shown[step as usize] + grain * GRAIN;
                    bytes.push((shown * 255.0 + 0.5).clamp(0.0, 255.0) as u8);
                }
            }
        }
        bytes
    }
}

/// Light that is the same for every moment of one frame.
struct Lamps {
    time_s: f32,
    net: Net,
    /// Brightness of the shafts of light by column where they enter, and beyond the right edge.
    shafts: Vec<f32>,
}

impl Lamps {
    /// Metres that a shaft moves aside for each metre down.
    const SLANT: f32 = 0.34;

    fn at(time_s: f32, caustics: &Caustics) -> Self {
        let (broad, fine) = (caustics.net_at(time_s * 0.5), caustics.net_at(time_s * 0.7));
        let shafts = (0..WIDTH + HEIGHT)
            .map(|column| {
                let x = column as f32 / PIXELS_PER_M as f32;
                (fine.at(x * 0.55, 0.31) + broad.at(x * 0.23 + 0.4, 0.77) - 1.2).max(-0.4)
            })
            .collect();
        Self {
            time_s,
            net: caustics.net_at(time_s),
            shafts,
        }
    }
}

/// Spread of the film's grain, of 1.
const GRAIN: f32 = 0.0045;
/// Light beyond this is white.
const BRIGHTEST: f32 = 6.0;
/// Steps of the film's answer, even in the root of light.
const TONES: usize = 8192;

fn shown_table() -> Vec<f32> {
    (0..TONES)
        .map(|step| {
            let root = step as f32 / (TONES - 1) as f32;
            tone(root * root * BRIGHTEST)
        })
        .collect()
}

/// Film's answer to light (the ACES fit of Narkowicz 2015), then the sRGB curve in its 1/2.2 form.
fn tone(light: f32) -> f32 {
    let x = light.max(0.0) * 0.86;
    let film = (x * (2.51 * x + 0.03)) / (x * (2.43 * x + 0.59) + 0.14);
    film.clamp(0.0, 1.0).powf(1.0 / 2.2)
}

/// A part as the camera sees it: a line with a thickness on the picture plane.
struct Outline {
    a: Vec2,
    b: Vec2,
    radius: f32,
    front: f32,
}

impl Outline {
    fn of(part: &crate::solid::Part) -> Self {
        let plane = |point: Vec3| {
            let scale = EYE_M as f32 / (EYE_M as f32 - point.z);
            Vec2::new(point.x, point.y) * scale
        };
        let nearest = part.a.z.max(part.b.z) + part.reach();
        Self {
            a: plane(part.a),
            b: plane(part.b),
            radius: part.reach() * EYE_M as f32 / (EYE_M as f32 - nearest) + part.blend * 0.25,
            front: nearest,
        }
    }

    fn distance(&self, point: Vec2) -> f32 {
        let along = self.b - self.a;
        let share = ((point - self.a).dot(along) / along.length_squared().max(1e-9)).clamp(0.0, 1.0);
        (point - self.a - along * share).length() - self.radius
    }
}

/// How near the body comes in each square and its neighbours at one moment; in the few milliseconds of an open
/// shutter it stays within them.
struct Guide {
    near: Vec<f32>,
}

impl Guide {
    const ACROSS: usize = WIDTH.div_ceil(SQUARE);
    const DOWN: usize = HEIGHT.div_ceil(SQUARE);
    /// How much nearer than at that moment the body may come, m.
    const MARGIN_M: f32 = 0.03;

    fn of(canvas: &Canvas) -> Self {
        let mut own = vec![NOWHERE; Self::ACROSS * Self::DOWN];
        for (index, near) in canvas.near.iter().enumerate() {
            let square = index / WIDTH / SQUARE * Self::ACROSS + index % WIDTH / SQUARE;
            own[square] = own[square].max(*near);
        }
        let mut near = own.clone();
        for down in 0..Self::DOWN {
            for across in 0..Self::ACROSS {
                for neighbour_down in down.saturating_sub(1)..(down + 2).min(Self::DOWN) {
                    for neighbour_across in across.saturating_sub(1)..(across + 2).min(Self::ACROSS) {
                        let value = own[neighbour_down * Self::ACROSS + neighbour_across];
                        let square = &mut near[down * Self::ACROSS + across];
                        *square = square.max(value);
                    }
                }
            }
        }
        Self { near }
    }

    fn near(&self, left: usize, top: usize) -> f32 {
        self.near[top / SQUARE * Self::ACROSS + left / SQUARE]
    }
}

/// Rows and columns, in whole squares, that hold every outline.
fn squares_around(outlines: &[Outline]) -> (Range<usize>, Range<usize>) {
    let scale = PIXELS_PER_M as f32;
    let mut low = Vec2::splat(f32::INFINITY);
    let mut high = Vec2::splat(f32::NEG_INFINITY);
    for outline in outlines {
        let edge = Vec2::splat(outline.radius + 0.012);
        low = low.min(outline.a.min(outline.b) - edge);
        high = high.max(outline.a.max(outline.b) + edge);
    }
    let square = |pixel: f32, limit: usize| (pixel.max(0.0) as usize).min(limit - 1) / SQUARE * SQUARE;
    let row = |y: f32| square(WATERLINE_ROW as f32 - y * scale, HEIGHT);
    let column = |x: f32| square(WIDTH as f32 / 2.0 + x * scale, WIDTH);
    (
        row(high.y)..row(low.y) + SQUARE,
        column(low.x)..column(high.x) + SQUARE,
    )
}

/// Rays through a row of neighbouring pixels.
struct Rays {
    from: Points,
    direction: Points,
    middle: Vec3,
}

/// Where rays ended.
struct Met {
    points: Points,
    met: [bool; LANES],
}

impl Rays {
    /// Through the pixels from column `first` on, starting where z is `front`.
    fn through(first: usize, row: usize, look: (f32, f32), front: f32) -> Self {
        let scale = PIXELS_PER_M as f32;
        let eye = Vec3::new(0.0, 0.0, EYE_M as f32);
        let y = (WATERLINE_ROW as f32 - row as f32 - look.1) / scale;
        let mut from = Points::all_at(Vec3::ZERO);
        let mut direction = from;
        let mut middle = Vec3::NEG_Z;
        for lane in 0..LANES {
            let x = ((first + lane) as f32 + look.0 - WIDTH as f32 / 2.0) / scale;
            let to_plane = Vec3::new(x, y, 0.0) - eye;
            let start = eye + to_plane * ((eye.z - front) / eye.z);
            let unit = to_plane.normalize();
            (from.x[lane], from.y[lane], from.z[lane]) = (start.x, start.y, start.z);
            (direction.x[lane], direction.y[lane], direction.z[lane]) = (unit.x, unit.y, unit.z);
            if lane == LANES / 2 {
                middle = unit;
            }
        }
        Self {
            from,
            direction,
            middle,
        }
    }

    /// Steps along the rays by the distance to the body; `None` where none meets it.
    fn meet(&self, figure: &Figure, list: &[u16]) -> Option<Met> {
        const TOUCH_M: f32 = 0.0005;
        /// Rays that graze one limb must get past it to the next.
        const LEAST_STEP_M: f32 = 0.0008;
        const DEEPEST_M: f32 = 1.2;
        let mut gone = [0.0f32; LANES];
        let mut points = self.from;
        let mut met = [false; LANES];
        for _ in 0..72 {
            let distances = figure.solid.distances(&points, list);
            let mut going = false;
            for lane in 0..LANES {
                met[lane] = distances[lane] < TOUCH_M;
                let step = if met[lane] || gone[lane] > DEEPEST_M {
                    0.0
                } else {
                    distances[lane].max(LEAST_STEP_M)
                };
                going |= step > 0.0;
                gone[lane] += step;
                points.x[lane] = self.from.x[lane] + self.direction.x[lane] * gone[lane];
                points.y[lane] = self.from.y[lane] + self.direction.y[lane] * gone[lane];
                points.z[lane] = self.from.z[lane] + self.direction.z[lane] * gone[lane];
            }
            if !going {
                break;
            }
        }
        met.contains(&true).then_some(Met { points, met })
    }
}

impl Canvas {
    /// A small round thing, hidden where the body is nearer; a bubble is bright at its rim and lit from above.
    fn dot(
        &mut self,
        place: Vec3,
        radius_m: f32,
        colour: Vec3,
        strength: f32,
        bubble: bool,
        look: (f32, f32),
    ) {
        let scale = EYE_M as f32 / (EYE_M as f32 - place.z) * PIXELS_PER_M as f32;
        let column = WIDTH as f32 / 2.0 + place.x * scale;
        let row = WATERLINE_ROW as f32 - place.y * scale;
        let radius = (radius_m * scale).max(0.7);
        let thin = (radius_m * scale / radius).powi(2);
        let reach = radius + 0.8;
        let columns = (column - reach).floor().max(0.0) as usize
            ..((column + reach).ceil().max(0.0) as usize).min(WIDTH);
        for r in (row - reach).floor().max(0.0) as usize..((row + reach).ceil().max(0.0) as usize).min(HEIGHT)
        {
            for c in columns.clone() {
                let index = r * WIDTH + c;
                if self.near[index] > place.z {
                    continue;
                }
                let off = DVec2::new(
                    f64::from(c as f32 + look.0 - column),
                    f64::from(r as f32 + look.1 - row),
                )
                .as_vec2();
                let from_middle = off.length();
                let cover = (radius - from_middle + 0.5).clamp(0.0, 1.0);
                if cover <= 0.0 {
                    continue;
                }
                let inside = (from_middle / radius).min(1.0);
                let (shine, solid) = if bubble && radius > 1.4 {
                    let top = (-off.y / radius).clamp(-1.0, 1.0);
                    (
                        0.62 + 0.42 * inside * inside + 0.28 * top,
                        0.30 + 0.55 * inside * inside,
                    )
                } else {
                    (1.0, 0.8)
                };
                let share = cover * solid * strength * thin;
                self.colour[index] = self.colour[index].lerp(colour * shine, share.clamp(0.0, 1.0));
            }
        }
    }
}
