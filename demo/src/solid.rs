//! Solids by their distance: tapered limbs that melt into each other.
//!
//! A part is a ball that rolls along a line while its radius changes; two parts are joined by the quadratic
//! polynomial smooth minimum. Widths across one axis are made by measuring in a space squeezed along it,
//! which never overstates a distance, so that stepping along a ray by it stays safe. Distances are taken for
//! eight points at once, which the compiler turns into wide instructions.

use glam::Vec3;

/// A cone with round ends from `a` to `b`, widened along `across`.
#[derive(Clone, Copy, Debug)]
pub struct Part {
    /// One end's middle, m.
    pub a: Vec3,
    /// The other end's middle, m.
    pub b: Vec3,
    /// Radius at `a`, m.
    pub radius_a: f32,
    /// Radius at `b`, m.
    pub radius_b: f32,
    /// Unit vector along which the part is wider; at right angles to `b - a`.
    pub across: Vec3,
    /// Thickness over width, 0 to 1.
    pub squeeze: f32,
    /// How far it melts into its neighbours, m.
    pub blend: f32,
    /// Which body of parts it belongs to.
    pub place: Place,
    /// What it is made of.
    pub stuff: Stuff,
    /// Unit vector from `a` to `b`.
    along: Vec3,
    /// From `a` to `b`, m.
    length: f32,
    /// Radius lost per metre of length.
    taper: f32,
    /// Tangent of the angle by which the skin leans to the axis.
    lean: f32,
}

/// Bodies of parts: parts melt into each other within one; an arm does not melt into the chest it passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Trunk, neck and head.
    Core,
    /// The part of a limb that melts into the core and into its own limb.
    Root(usize),
    /// The rest of a limb.
    Limb(usize),
}

/// How many limbs.
pub const LIMBS: usize = 4;

/// What a part is made of, before its pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stuff {
    /// Bare skin.
    Skin,
    /// The swimsuit's trunk.
    Suit,
    /// The covered part of a thigh.
    Thigh,
    /// The head with cap, goggles' strap and mouth.
    Head,
    /// A goggle's lens.
    Lens,
    /// A forearm with a coloured band near the wrist.
    BandedForearm,
}

impl Part {
    /// A round part; see the fields.
    #[must_use]
    pub fn new(
        a: Vec3,
        b: Vec3,
        radius_a: f32,
        radius_b: f32,
        blend: f32,
        place: Place,
        stuff: Stuff,
    ) -> Self {
        let length = (b - a).length().max(1e-4);
        // One ball may swallow the other; then only the larger one shows.
        let taper = ((radius_a - radius_b) / length).clamp(-0.98, 0.98);
        Self {
            a,
            b,
            radius_a,
            radius_b,
            across: Vec3::Z,
            squeeze: 1.0,
            blend,
            place,
            stuff,
            along: (b - a) / length,
            length,
            taper,
            lean: taper / (1.0 - taper * taper).sqrt(),
        }
    }

    /// The same part, wider along `across` by 1/`squeeze`.
    #[must_use]
    pub fn widened(mut self, across: Vec3, squeeze: f32) -> Self {
        self.across = (across - self.along * across.dot(self.along)).normalize_or(Vec3::Z);
        self.squeeze = squeeze;
        self
    }

    /// Never more than the distance from `point` to the part's skin, m; negative inside.
    ///
    /// The skin is that of a ball rolling from one end to the other while its radius changes evenly. The
    /// distance to the ball at `t` is convex in `t`, so the nearest ball is found by its zero slope, kept
    /// between the ends.
    #[must_use]
    pub fn distance(&self, point: Vec3) -> f32 {
        self.distances(&Points::all_at(point))[0]
    }

    /// The same for several points at once.
    #[must_use]
    #[inline]
    #[expect(
        clippy::needless_range_loop,
        reason = "a plain loop over lanes becomes one wide instruction a line"
    )]
    pub fn distances(&self, points: &Points) -> Lanes {
        let widen = 1.0 - self.squeeze;
        let mut found = [0.0; LANES];
        for lane in 0..LANES {
            let (mut x, mut y, mut z) = (
                points.x[lane] - self.a.x,
                points.y[lane] - self.a.y,
                points.z[lane] - self.a.z,
            );
            let sideways = widen * (x * self.across.x + y * self.across.y + z * self.across.z);
            x -= self.across.x * sideways;
            y -= self.across.y * sideways;
            z -= self.across.z * sideways;
            let along = x * self.along.x + y * self.along.y + z * self.along.z;
            let away2 = (x * x + y * y + z * z - along * along).max(0.0);
            let ball = (along - away2.sqrt() * self.lean).max(0.0).min(self.length);
            let off = along - ball;
            found[lane] = (away2 + off * off).sqrt() - self.radius_a + self.taper * ball;
        }
        found
    }

    /// Share of the way from `a` to `b` at which `point` lies, not limited to 0–1.
    #[must_use]
    pub fn share_along(&self, point: Vec3) -> f32 {
        (point - self.a).dot(self.along) / self.length
    }

    /// Radius of a sphere about each end that holds the part, m.
    #[must_use]
    pub fn reach(&self) -> f32 {
        self.radius_a.max(self.radius_b) / self.squeeze
    }
}

/// How many points are measured at once: what the processor's wide registers hold.
pub const LANES: usize = 8;
/// One number for each point.
pub type Lanes = [f32; LANES];

/// Several points in space, m.
#[derive(Clone, Copy, Debug)]
pub struct Points {
    /// Along x.
    pub x: Lanes,
    /// Along y.
    pub y: Lanes,
    /// Along z.
    pub z: Lanes,
}

impl Points {
    /// Every lane at the same point.
    #[must_use]
    pub fn all_at(point: Vec3) -> Self {
        Self {
            x: [point.x; LANES],
            y: [point.y; LANES],
            z: [point.z; LANES],
        }
    }

    /// The point of one lane.
    #[must_use]
    pub fn get(&self, lane: usize) -> Vec3 {
        Vec3::new(self.x[lane], self.y[lane], self.z[lane])
    }

    /// Each point moved by `share` of its own `direction`, and by `shift`.
    #[must_use]
    #[inline]
    pub fn moved(&self, direction: &Self, share: f32, shift: Vec3) -> Self {
        let mut moved = *self;
        for lane in 0..LANES {
            moved.x[lane] += direction.x[lane] * share + shift.x;
            moved.y[lane] += direction.y[lane] * share + shift.y;
            moved.z[lane] += direction.z[lane] * share + shift.z;
        }
        moved
    }
}

/// Smooth minimum of each lane: like `a.min(b)`, rounded where they are closer than `blend`.
#[inline]
fn melt(a: &mut Lanes, b: &Lanes, blend: f32) {
    let scale = 0.25 / blend;
    for lane in 0..LANES {
        let h = (blend - (a[lane] - b[lane]).abs()).max(0.0);
        a[lane] = a[lane].min(b[lane]) - h * h * scale;
    }
}

/// Parts that stand for one body.
#[derive(Clone, Debug, Default)]
pub struct Solid {
    /// All of them.
    pub parts: Vec<Part>,
}

const FAR: f32 = 10.0;
/// How far a limb's parts melt into its own root, m.
const ROOT_BLEND_M: f32 = 0.02;

impl Solid {
    /// Distance from each point to the nearest skin among the parts in `list`, m.
    #[must_use]
    #[inline]
    pub fn distances(&self, points: &Points, list: &[u16]) -> Lanes {
        let mut core = [FAR; LANES];
        let mut limbs = [[FAR; LANES]; LIMBS];
        let mut used = [false; LIMBS];
        for &index in list {
            let part = &self.parts[index as usize];
            let distances = part.distances(points);
            match part.place {
                Place::Core => melt(&mut core, &distances, part.blend),
                Place::Root(limb) => {
                    melt(&mut core, &distances, part.blend);
                    melt(&mut limbs[limb], &distances, ROOT_BLEND_M);
                    used[limb] = true;
                }
                Place::Limb(limb) => {
                    melt(&mut limbs[limb], &distances, part.blend);
                    used[limb] = true;
                }
            }
        }
        for (limb, used) in limbs.iter().zip(used) {
            if used {
                for lane in 0..LANES {
                    core[lane] = core[lane].min(limb[lane]);
                }
            }
        }
        core
    }

    /// Outward direction of the skin at each point.
    #[must_use]
    pub fn normals(&self, points: &Points, list: &[u16]) -> Points {
        const STEP: f32 = 0.0030;
        let mut normals = Points::all_at(Vec3::ZERO);
        let still = Points::all_at(Vec3::ZERO);
        for corner in [
            Vec3::new(1.0, -1.0, -1.0),
            Vec3::new(-1.0, -1.0, 1.0),
            Vec3::new(-1.0, 1.0, -1.0),
            Vec3::new(1.0, 1.0, 1.0),
        ] {
            let distances = self.distances(&points.moved(&still, 0.0, corner * STEP), list);
            for (lane, distance) in distances.into_iter().enumerate() {
                normals.x[lane] += corner.x * distance;
                normals.y[lane] += corner.y * distance;
                normals.z[lane] += corner.z * distance;
            }
        }
        for lane in 0..LANES {
            let unit = normals.get(lane).normalize_or(Vec3::Z);
            (normals.x[lane], normals.y[lane], normals.z[lane]) = (unit.x, unit.y, unit.z);
        }
        normals
    }

    /// For each point the index of the part in `list` whose own skin is nearest.
    #[must_use]
    pub fn nearest_parts(&self, points: &Points, list: &[u16]) -> [u16; LANES] {
        let mut nearest = [f32::INFINITY; LANES];
        let mut found = [0; LANES];
        for &index in list {
            let distances = self.parts[index as usize].distances(points);
            for lane in 0..LANES {
                if distances[lane] < nearest[lane] {
                    nearest[lane] = distances[lane];
                    found[lane] = index;
                }
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_its_radius_away_from_its_middle_line() {
        let part = Part::new(Vec3::ZERO, Vec3::X, 0.2, 0.1, 0.01, Place::Core, Stuff::Skin);
        assert!((part.distance(Vec3::new(-0.5, 0.0, 0.0)) - 0.3).abs() < 1e-5);
        assert!((part.distance(Vec3::new(1.5, 0.0, 0.0)) - 0.4).abs() < 1e-5);
        // The slanted side: radius falls evenly along the axis, measured at right angles to the slant.
        let beside = part.distance(Vec3::new(0.5, 1.0, 0.0));
        assert!((beside - (0.99f32.sqrt() - 0.15)).abs() < 1e-3, "{beside}");
    }

    #[test]
    fn a_widened_part_never_overstates_its_distance() {
        let part =
            Part::new(Vec3::ZERO, Vec3::X, 0.1, 0.1, 0.01, Place::Core, Stuff::Skin).widened(Vec3::Z, 0.5);
        let on_the_side = part.distance(Vec3::new(0.5, 0.0, 0.2));
        assert!(on_the_side.abs() < 1e-5, "half as thick as wide: {on_the_side}");
        assert!(part.distance(Vec3::new(0.5, 0.0, 0.4)) <= 0.2);
    }
}
