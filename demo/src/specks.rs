//! Small things in the water and the air: bubbles, drops, froth and drifting specks.
//!
//! Each is a closed formula of time from its birth, so any moment can be drawn without the one before it.

use glam::{DVec3, Vec3};

use crate::chance::Chance;
use crate::clips::FLOW_M_PER_S;
use crate::pose::Swimmer;

/// What a speck is, which decides how it moves and shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpeckKind {
    /// Air in water: slowed by the water, rises, ends at the surface.
    Bubble,
    /// Water in air: falls, ends at the surface.
    Drop,
}

/// One bubble or drop.
#[derive(Clone, Copy, Debug)]
pub struct Speck {
    /// What it is.
    pub kind: SpeckKind,
    /// When it appears, s.
    pub birth_s: f32,
    /// How long it lasts at most, s.
    pub life_s: f32,
    /// Where, m.
    pub start: Vec3,
    /// Its first velocity, m/s.
    pub velocity: Vec3,
    /// Radius, m.
    pub radius_m: f32,
    /// Decides its own wobble.
    pub phase: f32,
}

/// Where a speck is and how much of it still shows, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    /// Where, m.
    pub place: Vec3,
    /// How much of it shows.
    pub strength: f32,
}

impl Speck {
    /// The speck at `time_s`, if it is there; the surface is taken to be at `surface` m above it.
    #[must_use]
    pub fn at(&self, time_s: f32, surface: impl Fn(f32) -> f32) -> Option<Seen> {
        let age = time_s - self.birth_s;
        if !(0.0..self.life_s).contains(&age) {
            return None;
        }
        let fade = (1.0 - age / self.life_s).min(0.35) / 0.35;
        match self.kind {
            SpeckKind::Bubble => {
                const SLOWING_S: f32 = 0.085;
                let flow = Vec3::new(FLOW_M_PER_S as f32 * 0.93, 0.0, 0.0);
                let carried = SLOWING_S * (1.0 - (-age / SLOWING_S).exp());
                let rise = 0.10 + 18.0 * self.radius_m;
                let wobble = 0.35 * self.radius_m.min(0.004) + 0.002;
                let mut place = self.start + flow * (age - carried) + self.velocity * carried;
                place.y += rise * (age - carried);
                place.x += wobble * (age * 21.0 + self.phase).sin();
                place.z += wobble * (age * 17.0 + 2.0 * self.phase).cos();
                let below = surface(place.x) - place.y;
                if below < 0.002 {
                    // At the surface: spreads as froth for a moment.
                    place.y = surface(place.x) - 0.002 - 0.2 * self.radius_m;
                }
                Some(Seen {
                    place,
                    strength: fade * (age / 0.02).min(1.0),
                })
            }
            SpeckKind::Drop => {
                let mut place = self.start + self.velocity * age;
                place.y -= 0.5 * 9.81 * age * age;
                if age > 0.02 && place.y < surface(place.x) {
                    return None;
                }
                Some(Seen {
                    place,
                    strength: fade,
                })
            }
        }
    }
}

/// A mote that the flow carries past for ever.
#[derive(Clone, Copy, Debug)]
pub struct Mote {
    start: Vec3,
    bob: f32,
    /// Radius, m.
    pub radius_m: f32,
    /// How bright.
    pub strength: f32,
}

/// Length of flume over which motes repeat, m.
const MOTES_OVER_M: f32 = 4.6;

impl Mote {
    /// Where it is at `time_s`, m.
    #[must_use]
    pub fn at(&self, time_s: f32) -> Vec3 {
        let x = (self.start.x + FLOW_M_PER_S as f32 * time_s).rem_euclid(MOTES_OVER_M) - MOTES_OVER_M / 2.0;
        Vec3::new(
            x,
            self.start.y + 0.012 * (time_s * 1.3 + self.bob).sin(),
            self.start.z,
        )
    }
}

/// Motes of a clip.
#[must_use]
pub fn motes(seed: u64) -> Vec<Mote> {
    let mut chance = Chance::new(seed ^ 0x4D07E);
    (0..420)
        .map(|_| Mote {
            start: Vec3::new(
                chance.between_f32(0.0, MOTES_OVER_M),
                chance.between_f32(-1.3, -0.03),
                chance.between_f32(-1.6, 0.9),
            ),
            bob: chance.between_f32(0.0, 6.3),
            radius_m: chance.between_f32(0.0006, 0.0022),
            strength: chance.between_f32(0.08, 0.34),
        })
        .collect()
}

fn velocity_of(point: &dyn Fn(f64) -> DVec3, time: f64) -> DVec3 {
    (point(time + 0.004) - point(time - 0.004)) / 0.008
}

/// Every bubble and drop of a clip, in order of birth.
#[must_use]
pub fn bubbles_and_drops(swimmer: &Swimmer, seed: u64) -> Vec<Speck> {
    let mut chance = Chance::new(seed);
    let mut specks = Vec::new();
    for strokes in [true, false] {
        let schedule = swimmer.schedule();
        for stroke in if strokes { &schedule.left } else { &schedule.right } {
            let fingertip = |time: f64| {
                let pose = swimmer.pose_at(time);
                if strokes {
                    pose.left_arm.fingertip
                } else {
                    pose.right_arm.fingertip
                }
            };
            let hand = |time: f64| {
                let pose = swimmer.pose_at(time);
                if strokes {
                    pose.left_arm.hand
                } else {
                    pose.right_arm.hand
                }
            };
            let elbow = |time: f64| {
                let pose = swimmer.pose_at(time);
                if strokes {
                    pose.left_arm.elbow
                } else {
                    pose.right_arm.elbow
                }
            };
            entry_specks(&mut specks, &mut chance, stroke.entry, &fingertip, &hand, &elbow);
            exit_specks(&mut specks, &mut chance, stroke.exit, &fingertip, &hand);
        }
    }
    breath_specks(&mut specks, &mut chance, swimmer);
    kick_specks(&mut specks, &mut chance, swimmer);
    specks.sort_by(|a, b| a.birth_s.total_cmp(&b.birth_s));
    specks
}

type Point<'a> = &'a dyn Fn(f64) -> DVec3;

fn scatter(chance: &mut Chance, size: f64) -> DVec3 {
    DVec3::new(chance.normal(), chance.normal(), chance.normal()) * size
}

fn entry_specks(
    specks: &mut Vec<Speck>,
    chance: &mut Chance,
    entry: f64,
    fingertip: Point,
    hand: Point,
    elbow: Point,
) {
    // Air dragged down behind the hand and the forearm, thinning out.
    for _ in 0..230 {
        let late = 0.24 * chance.unit() * chance.unit();
        let time = entry + 0.012 + late;
        let along = chance.unit();
        let place = hand(time).lerp(elbow(time), 0.75 * along * (1.0 - late * 2.0));
        let moving = velocity_of(hand, time) * (0.25 + 0.5 * chance.unit());
        let place = place + scatter(chance, 0.020) + DVec3::new(0.02, -0.012, 0.022);
        if place.y > -0.004 {
            continue;
        }
        specks.push(Speck {
            kind: SpeckKind::Bubble,
            birth_s: time as f32,
            life_s: chance.between_f32(0.18, 0.75),
            start: place.as_vec3(),
            velocity: (moving + scatter(chance, 0.12)).as_vec3(),
            radius_m: 0.0010 + 0.0042 * (chance.unit() * chance.unit()) as f32,
            phase: chance.between_f32(0.0, 6.3),
        });
    }
    let touch = fingertip(entry);
    for _ in 0..80 {
        let time = entry + 0.07 * chance.unit();
        let place = fingertip(entry).lerp(hand(entry), chance.unit()) + scatter(chance, 0.016);
        specks.push(Speck {
            kind: SpeckKind::Drop,
            birth_s: time as f32,
            life_s: 0.5,
            start: DVec3::new(place.x, touch.y + 0.002, place.z).as_vec3(),
            velocity: DVec3::new(
                -0.35 + 0.45 * chance.normal(),
                0.35 + 1.15 * chance.unit(),
                0.35 * chance.normal(),
            )
            .as_vec3(),
            radius_m: 0.0009 + 0.0028 * (chance.unit() * chance.unit()) as f32,
            phase: 0.0,
        });
    }
}

fn exit_specks(specks: &mut Vec<Speck>, chance: &mut Chance, exit: f64, fingertip: Point, hand: Point) {
    for _ in 0..40 {
        let time = exit - 0.05 + 0.09 * chance.unit();
        let place = fingertip(exit) + scatter(chance, 0.018);
        let moving = velocity_of(fingertip, exit);
        specks.push(Speck {
            kind: SpeckKind::Drop,
            birth_s: time as f32,
            life_s: 0.5,
            start: place.as_vec3() + Vec3::new(0.0, 0.004, 0.0),
            velocity: (moving * (0.25 + 0.35 * chance.unit())
                + DVec3::new(
                    0.25 * chance.normal(),
                    0.25 + 0.6 * chance.unit(),
                    0.25 * chance.normal(),
                ))
            .as_vec3(),
            radius_m: 0.0009 + 0.0030 * (chance.unit() * chance.unit()) as f32,
            phase: 0.0,
        });
    }
    // Water that runs off the hand during recovery.
    for _ in 0..34 {
        let late = 0.30 * chance.unit() * chance.unit();
        let time = exit + 0.01 + late;
        let place = fingertip(time).lerp(hand(time), chance.unit() * 1.4) + scatter(chance, 0.006);
        specks.push(Speck {
            kind: SpeckKind::Drop,
            birth_s: time as f32,
            life_s: 0.4,
            start: place.as_vec3(),
            velocity: (velocity_of(hand, time) * (0.45 + 0.3 * chance.unit()) + scatter(chance, 0.08))
                .as_vec3(),
            radius_m: 0.0010 + 0.0018 * (chance.unit() * chance.unit()) as f32,
            phase: 0.0,
        });
    }
    // A few bubbles where the arm left.
    for _ in 0..30 {
        let time = exit - 0.06 + 0.08 * chance.unit();
        let place = fingertip(time.min(exit)) + scatter(chance, 0.02);
        if place.y > -0.003 {
            continue;
        }
        specks.push(Speck {
            kind: SpeckKind::Bubble,
            birth_s: time as f32,
            life_s: chance.between_f32(0.15, 0.5),
            start: place.as_vec3(),
            velocity: scatter(chance, 0.2).as_vec3(),
            radius_m: 0.0008 + 0.0028 * (chance.unit() * chance.unit()) as f32,
            phase: chance.between_f32(0.0, 6.3),
        });
    }
}

fn breath_specks(specks: &mut Vec<Speck>, chance: &mut Chance, swimmer: &Swimmer) {
    for breath in &swimmer.schedule().breaths {
        let length = breath.mouth_clear - breath.exhale_start;
        let mut puff = |time: f64, burst: f64, first: bool| {
            let pose = swimmer.pose_at(time);
            let from_nose = first || chance.unit() < 0.45;
            let lips = if from_nose {
                pose.head.nose()
            } else {
                pose.head.mouth()
            };
            let place = lips + pose.head.face * 0.012 + scatter(chance, 0.006);
            if swimmer.above_surface_m(place, time) > -0.004 {
                return;
            }
            specks.push(Speck {
                kind: SpeckKind::Bubble,
                birth_s: time as f32,
                life_s: chance.between_f32(0.35, 1.0),
                start: place.as_vec3(),
                velocity: (pose.head.face * (0.35 + 0.5 * burst) + scatter(chance, 0.13)).as_vec3(),
                radius_m: 0.0014 + (0.0042 + 0.003 * burst as f32) * (chance.unit() * chance.unit()) as f32,
                phase: chance.between_f32(0.0, 6.3),
            });
        };
        // The first bubbles leave together, so that the start shows on its frame.
        for _ in 0..5 {
            puff(breath.exhale_start, 0.1, true);
        }
        for index in 0..95 {
            puff(
                breath.exhale_start + 0.01 + 0.8 * length * f64::from(index) / 95.0,
                0.0,
                false,
            );
        }
        // Most of the air goes just before the mouth clears.
        for index in 0..150 {
            puff(
                breath.mouth_clear - 0.22 + 0.21 * f64::from(index) / 150.0,
                1.0,
                false,
            );
        }
    }
}

fn kick_specks(specks: &mut Vec<Speck>, chance: &mut Chance, swimmer: &Swimmer) {
    let steps = (swimmer.schedule().duration_s * 120.0) as u32;
    for step in 0..steps {
        let time = f64::from(step) / 120.0;
        let pose = swimmer.pose_at(time);
        for (leg, left) in [(&pose.left_leg, true), (&pose.right_leg, false)] {
            let toe = |time: f64| {
                let pose = swimmer.pose_at(time);
                if left {
                    pose.left_leg.toe
                } else {
                    pose.right_leg.toe
                }
            };
            let near = 1.0 - (-leg.toe.y / 0.13).clamp(0.0, 1.0);
            if near <= 0.0 {
                continue;
            }
            let moving = velocity_of(&toe, time);
            let hard = (moving.y.abs() / 1.2).min(1.3);
            for _ in 0..3 {
                if chance.unit() > near * hard {
                    continue;
                }
                let place = leg.ankle.lerp(leg.toe, chance.unit()) + scatter(chance, 0.018);
                if place.y < -0.004 {
                    specks.push(Speck {
                        kind: SpeckKind::Bubble,
                        birth_s: time as f32,
                        life_s: chance.between_f32(0.15, 0.55),
                        start: place.as_vec3(),
                        velocity: (moving * 0.5 + scatter(chance, 0.2)).as_vec3(),
                        radius_m: 0.0008 + 0.0034 * (chance.unit() * chance.unit()) as f32,
                        phase: chance.between_f32(0.0, 6.3),
                    });
                }
            }
            if leg.toe.y > -0.05 && moving.y > 0.15 && chance.unit() < 0.75 {
                specks.push(Speck {
                    kind: SpeckKind::Drop,
                    birth_s: time as f32,
                    life_s: 0.4,
                    start: Vec3::new(
                        leg.toe.x as f32 - 0.06 + 0.09 * chance.unit() as f32,
                        0.004,
                        leg.toe.z as f32,
                    ),
                    velocity: Vec3::new(
                        0.3 + 0.3 * chance.normal() as f32,
                        0.4 + 0.9 * chance.unit() as f32,
                        0.25 * chance.normal() as f32,
                    ),
                    radius_m: 0.0010 + 0.0024 * (chance.unit() * chance.unit()) as f32,
                    phase: 0.0,
                });
            }
        }
    }
}
