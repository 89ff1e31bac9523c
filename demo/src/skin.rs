//! What the body looks like where a ray meets it: stuff, light, water.

use glam::Vec3;

use crate::caustics::Net;
use crate::figure::Figure;
use crate::light;
use crate::solid::{LANES, Lanes, Part, Points, Stuff};

const SKIN: Vec3 = Vec3::new(0.63, 0.31, 0.18);
const LIPS: Vec3 = Vec3::new(0.50, 0.19, 0.15);
const INSIDE_MOUTH: Vec3 = Vec3::new(0.10, 0.02, 0.02);
const SUIT: Vec3 = Vec3::new(0.022, 0.034, 0.075);
const PANEL: Vec3 = Vec3::new(0.80, 0.20, 0.085);
const CAP: Vec3 = Vec3::new(0.86, 0.62, 0.07);
const STRAP: Vec3 = Vec3::new(0.03, 0.03, 0.035);
const LENS: Vec3 = Vec3::new(0.025, 0.04, 0.06);
const BAND: Vec3 = Vec3::new(0.95, 0.33, 0.05);

/// Colour and how glossy it is.
struct Coat {
    colour: Vec3,
    gloss: f32,
}

fn coat(figure: &Figure, part: &Part, point: Vec3) -> Coat {
    let of = |colour: Vec3, gloss: f32| Coat { colour, gloss };
    match part.stuff {
        Stuff::Skin => of(SKIN, 0.35),
        Stuff::Suit => suit(figure, part, point),
        Stuff::Thigh => suit(figure, part, point),
        Stuff::Lens => of(LENS, 1.0),
        Stuff::BandedForearm => {
            if (0.15..0.85).contains(&part.share_along(point)) {
                of(BAND, 0.2)
            } else {
                of(SKIN, 0.35)
            }
        }
        Stuff::Head => head(figure, point),
    }
}

fn suit(figure: &Figure, part: &Part, point: Vec3) -> Coat {
    let [shoulders, hips] = figure.trunk_line;
    let along = (hips - shoulders).normalize();
    let from = point - shoulders;
    let axial = from.dot(along);
    let (side, depth) = (from.dot(figure.leftward), from.dot(figure.backward));
    // A panel along the flank shows how far the body rolls; it narrows towards the hip.
    let half_width = 0.034 - 0.022 * (axial / 0.5).clamp(0.0, 1.0);
    let panel = part.stuff == Stuff::Suit
        && side.abs() > 0.05
        && (0.10..0.56).contains(&axial)
        && (depth + 0.012).abs() < half_width;
    Coat {
        colour: if panel { PANEL } else { SUIT },
        gloss: 0.5,
    }
}

fn head(figure: &Figure, point: Vec3) -> Coat {
    let frame = &figure.head;
    let from = point - frame.centre;
    let (face, crown, side) = (from.dot(frame.face), from.dot(frame.crown), from.dot(frame.left));
    let of = |colour: Vec3, gloss: f32| Coat { colour, gloss };
    // The cap's edge runs from the forehead over the ear to the nape.
    let over_edge = 0.76 * crown - 0.65 * face + 0.012;
    if (crown - 0.016 - 0.10 * (0.08 - face)).abs() < 0.0065 && face < 0.085 {
        return of(STRAP, 0.5);
    }
    if over_edge > 0.0 {
        return of(CAP, 0.75);
    }
    if face > 0.07 && side.abs() < 0.024 {
        let between_lips = (crown + 0.062 + 0.004 * frame.mouth_open).abs();
        if between_lips < 0.0015 + 0.0075 * frame.mouth_open && side.abs() < 0.020 {
            return of(INSIDE_MOUTH, 0.1);
        }
        if between_lips < 0.011 + 0.006 * frame.mouth_open && face > 0.084 {
            return of(LIPS, 0.5);
        }
    }
    of(SKIN, 0.35)
}

/// Rays that met the body.
pub struct Hits<'a> {
    /// The body.
    pub figure: &'a Figure,
    /// Where they met it.
    pub points: Points,
    /// Unit vector back to the eye; the same for all, since they are neighbours.
    pub to_eye: Vec3,
    /// Parts near enough to be met.
    pub close: &'a [u16],
    /// Parts near enough to shade.
    pub wide: &'a [u16],
    /// How far under the surface each is seen, m.
    pub below_m: Lanes,
    /// The net of light.
    pub net: &'a Net,
}

impl Hits<'_> {
    /// Colour of each.
    #[must_use]
    pub fn colours(&self) -> [Vec3; LANES] {
        let solid = &self.figure.solid;
        let normals = solid.normals(&self.points, self.close);
        let nearest = solid.nearest_parts(&self.points, self.close);
        let open = self.openness(&normals);
        let lit = self.lit(&normals);
        std::array::from_fn(|lane| {
            let (point, normal) = (self.points.get(lane), normals.get(lane));
            let coat = coat(self.figure, &solid.parts[nearest[lane] as usize], point);
            let below_m = self.below_m[lane];
            if below_m > 0.0 {
                let net = self.net.at(point.x - 0.21 * point.y, point.z);
                under_water(
                    point,
                    normal,
                    self.to_eye,
                    &coat,
                    open[lane],
                    lit[lane],
                    below_m,
                    net,
                )
            } else {
                in_air(point, normal, self.to_eye, &coat, open[lane])
            }
        })
    }

    /// How freely light comes in, 0 to 1: the room left along the normal.
    fn openness(&self, normals: &Points) -> Lanes {
        let mut open = [1.0; LANES];
        for (away, weight) in [(0.025f32, 0.30f32), (0.07, 0.36)] {
            let rooms = self
                .figure
                .solid
                .distances(&self.points.moved(normals, away, Vec3::ZERO), self.wide);
            for lane in 0..LANES {
                open[lane] -= weight * ((away - rooms[lane]) / away).max(0.0);
            }
        }
        open.map(|open: f32| open.clamp(0.25, 1.0))
    }

    /// How much of the light from above the trunk leaves, 0 to 1.
    fn lit(&self, normals: &Points) -> Lanes {
        let mut lit = [1.0f32; LANES];
        for away in [0.05f32, 0.11, 0.19, 0.30] {
            let seen_from = self.points.moved(normals, 0.01, light::TO_LIGHT * away);
            let rooms = self.figure.solid.distances(&seen_from, &self.figure.trunk);
            for lane in 0..LANES {
                lit[lane] = lit[lane].min(0.5 + 4.0 * rooms[lane] / (away + 0.05));
            }
        }
        lit.map(|lit| lit.clamp(0.0, 1.0))
    }
}

#[expect(clippy::too_many_arguments, reason = "one call per ray")]
fn under_water(
    point: Vec3,
    normal: Vec3,
    to_eye: Vec3,
    coat: &Coat,
    open: f32,
    lit: f32,
    below_m: f32,
    net: f32,
) -> Vec3 {
    let facing = normal.dot(light::TO_LIGHT);
    // Light is soft under water: it wraps around the body.
    let key = ((facing + 0.42) / 1.42).max(0.0);
    let key = key * key * lit;
    // The net is not yet focused just under the surface and softens with depth.
    let focus = (below_m / 0.07).clamp(0.2, 1.0) * (1.0 - 0.35 * (below_m / 0.8).min(1.0));
    let net = 1.0 + (net.min(3.6) - 1.0) * focus * 0.95;
    let sun = light::daylight_at(-below_m) * 1.12 * key * net;
    let sky = Vec3::new(0.17, 0.33, 0.37) * (0.5 + 0.5 * normal.y);
    let floor = Vec3::new(0.035, 0.13, 0.15) * (0.5 - 0.5 * normal.y);
    let window = Vec3::new(0.15, 0.19, 0.19) * normal.z.max(0.0);
    let mut colour = coat.colour * (sun + (sky + floor + window) * open);
    let half = (light::TO_LIGHT + to_eye).normalize_or(Vec3::Y);
    let shine = normal.dot(half).max(0.0).powi(28) * coat.gloss * 0.16;
    let rim = (1.0 - normal.dot(to_eye).max(0.0)).powi(3) * (0.35 + 0.65 * normal.y.max(0.0));
    colour += light::daylight_at(-below_m) * (shine * net * key + rim * 0.12 * open);
    let water = (light::WINDOW_M - point.z).max(0.0);
    // The far arm has to stay behind: the veil is thicker than the water alone would make it.
    let share = light::veil_share(water * 1.15 + (-point.z).max(0.0) * 2.2);
    colour * light::through_water(water * 0.30) * (1.0 - share) + light::veil(-below_m) * share
}

fn in_air(point: Vec3, normal: Vec3, to_eye: Vec3, coat: &Coat, open: f32) -> Vec3 {
    let to_lamp = Vec3::new(-0.28, 0.86, 0.42);
    let key = ((normal.dot(to_lamp) + 0.25) / 1.25).max(0.0);
    let sky = Vec3::new(0.62, 0.68, 0.72) * (0.5 + 0.5 * normal.y);
    let water = Vec3::new(0.10, 0.22, 0.25) * (0.5 - 0.5 * normal.y);
    let mut colour = coat.colour * (Vec3::new(1.0, 0.97, 0.92) * key * 0.85 + (sky + water) * open * 0.62);
    // Wet: a sharp shine and a bright edge.
    let half = (to_lamp + to_eye).normalize_or(Vec3::Y);
    let shine = normal.dot(half).max(0.0).powi(46) * (0.25 + 0.55 * coat.gloss);
    let rim = (1.0 - normal.dot(to_eye).max(0.0)).powi(4);
    colour += Vec3::new(1.0, 1.0, 1.0) * shine
        + Vec3::new(0.5, 0.55, 0.58) * rim * 0.22 * (0.4 + 0.6 * normal.y.max(0.0));
    // The far arm stands a little back in the hall's light.
    colour.lerp(Vec3::new(0.50, 0.54, 0.56), (-point.z * 1.6).clamp(0.0, 0.42))
}
