//! The swimmer's body: a pose clothed in flesh, swimsuit, cap and goggles.
//!
//! Proportions are those of an adult of about 1.78 m; common drawing practice, no source.

use glam::{DVec3, Vec3};

use crate::pose::{Arm, Leg, Pose, backward, leftward};
use crate::solid::{Part, Place, Solid, Stuff};

/// The body of a pose.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its shape.
    pub solid: Solid,
    /// Where its head is, for cap, strap and mouth.
    pub head: HeadFrame,
    /// Unit vector to the swimmer's left at the chest, for the suit's side panel.
    pub leftward: Vec3,
    /// Unit vector out of the back at the chest.
    pub backward: Vec3,
    /// Middle of the shoulders and of the hips.
    pub trunk_line: [Vec3; 2],
    /// Parts whose shadow falls on the others: the trunk's.
    pub trunk: Vec<u16>,
}

/// The head's own axes.
#[derive(Clone, Copy, Debug)]
pub struct HeadFrame {
    /// Middle of the skull.
    pub centre: Vec3,
    /// To the crown.
    pub crown: Vec3,
    /// Out of the face.
    pub face: Vec3,
    /// To the left ear.
    pub left: Vec3,
    /// How open the mouth is, 0 to 1.
    pub mouth_open: f32,
}

fn single(vector: DVec3) -> Vec3 {
    vector.as_vec3()
}

impl Figure {
    /// Builds the body of `pose`.
    #[must_use]
    pub fn of(pose: &Pose) -> Self {
        let mut parts = Vec::with_capacity(64);
        let trunk = trunk(pose, &mut parts);
        let head = head(pose, &mut parts);
        arm(&pose.left_arm, 1.0, 0, &mut parts);
        arm(&pose.right_arm, -1.0, 1, &mut parts);
        leg(&pose.left_leg, pose.hip_roll, 2, &mut parts);
        leg(&pose.right_leg, pose.hip_roll, 3, &mut parts);
        Self {
            solid: Solid { parts },
            head,
            leftward: single(leftward(pose.roll)),
            backward: single(backward(pose.roll)),
            trunk_line: [single(pose.shoulders), single(pose.hips)],
            trunk,
        }
    }
}

fn trunk(pose: &Pose, parts: &mut Vec<Part>) -> Vec<u16> {
    let at = |share: f64| pose.shoulders.lerp(pose.hips, share);
    let roll = |share: f64| pose.roll + (pose.hip_roll - pose.roll) * share;
    // Share of the way from shoulders to hips, radius front to back, thickness over width.
    let sections: [(f64, f32, f32); 5] = [
        (-0.02, 0.088, 0.60),
        (0.22, 0.112, 0.66),
        (0.44, 0.104, 0.68),
        (0.68, 0.090, 0.66),
        (1.02, 0.100, 0.64),
    ];
    for pair in sections.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let across = single(leftward(roll(0.5 * (from.0 + to.0))));
        parts.push(
            Part::new(
                single(at(from.0)),
                single(at(to.0)),
                from.1,
                to.1,
                0.05,
                Place::Core,
                Stuff::Suit,
            )
            .widened(across, 0.5 * (from.2 + to.2)),
        );
    }
    let shadowing = (0..parts.len() as u16).collect();
    for side in [1.0, -1.0] {
        let (left, back) = (leftward(pose.hip_roll) * side, backward(pose.hip_roll));
        let seat = at(1.04) + left * 0.068 + back * 0.026;
        parts.push(Part::new(
            single(seat),
            single(seat + DVec3::X * 0.05 - back * 0.012),
            0.080,
            0.070,
            0.05,
            Place::Core,
            Stuff::Suit,
        ));
        // Shoulder blade and the broad muscle of the back.
        let (left, back) = (leftward(pose.roll) * side, backward(pose.roll));
        parts.push(Part::new(
            single(at(0.10) + left * 0.10 + back * 0.042),
            single(at(0.42) + left * 0.088 + back * 0.012),
            0.058,
            0.050,
            0.06,
            Place::Core,
            Stuff::Suit,
        ));
        // Chest.
        parts.push(Part::new(
            single(at(0.13) + left * 0.075 - back * 0.050),
            single(at(0.24) + left * 0.070 - back * 0.050),
            0.055,
            0.050,
            0.05,
            Place::Core,
            Stuff::Suit,
        ));
        let arm = if side > 0.0 {
            &pose.left_arm
        } else {
            &pose.right_arm
        };
        parts.push(Part::new(
            single(at(-0.06) + back * 0.028),
            single(arm.shoulder - left * 0.015 + back * 0.008),
            0.052,
            0.050,
            0.05,
            Place::Core,
            Stuff::Suit,
        ));
    }
    shadowing
}

fn head(pose: &Pose, parts: &mut Vec<Part>) -> HeadFrame {
    let head = &pose.head;
    let (centre, crown, face) = (single(head.centre), single(head.crown), single(head.face));
    let left = face.cross(crown).normalize();
    let left = if left.dot(single(leftward(head.turn))) < 0.0 {
        -left
    } else {
        left
    };
    let at = |out: f32, up: f32, side: f32| centre + face * out + crown * up + left * side;
    let mut add = |from: Vec3, to: Vec3, a: f32, b: f32, blend: f32, stuff: Stuff| {
        parts.push(Part::new(from, to, a, b, blend, Place::Core, stuff));
    };
    // Neck first, so that the skull's colours win where both are near.
    add(
        at(-0.030, -0.070, 0.0),
        single(pose.shoulders + backward(pose.roll) * 0.020),
        0.056,
        0.064,
        0.045,
        Stuff::Skin,
    );
    add(
        at(0.018, 0.028, 0.0),
        at(-0.030, 0.022, 0.0),
        0.079,
        0.078,
        0.03,
        Stuff::Head,
    );
    add(
        at(0.040, -0.025, 0.0),
        at(0.056, -0.098, 0.0),
        0.054,
        0.030,
        0.035,
        Stuff::Head,
    );
    for side in [1.0, -1.0] {
        add(
            at(0.010, -0.030, 0.036 * side),
            at(0.048, -0.088, 0.020 * side),
            0.036,
            0.026,
            0.03,
            Stuff::Head,
        );
        add(
            at(0.084, 0.004, 0.029 * side),
            at(0.080, 0.006, 0.046 * side),
            0.017,
            0.015,
            0.006,
            Stuff::Lens,
        );
    }
    // Nose and lips.
    add(
        at(0.088, 0.000, 0.0),
        at(0.110, -0.030, 0.0),
        0.008,
        0.012,
        0.016,
        Stuff::Head,
    );
    let open = pose.mouth_open as f32;
    add(
        at(0.081, -0.057, 0.016),
        at(0.081, -0.057, -0.016),
        0.011,
        0.011,
        0.012,
        Stuff::Head,
    );
    add(
        at(0.077, -0.069 - 0.010 * open, 0.012),
        at(0.077, -0.069 - 0.010 * open, -0.012),
        0.011,
        0.011,
        0.012,
        Stuff::Head,
    );
    HeadFrame {
        centre,
        crown,
        face,
        left,
        mouth_open: open,
    }
}

/// How far stretches on both sides of a bent joint melt, m.
const JOINT_BLEND_M: f32 = 0.020;

/// Parts of one limb, laid end to end.
struct Limb<'a> {
    parts: &'a mut Vec<Part>,
    number: usize,
}

impl Limb<'_> {
    /// From ball to ball (middle, radius): equal radii meet, so that nothing bulges at the joints. The first
    /// `roots` stretches melt into the core by `root_blend`.
    fn chain(&mut self, balls: &[(Vec3, f32)], roots: usize, root_blend: f32, stuff: Stuff) {
        for (index, pair) in balls.windows(2).enumerate() {
            let (place, blend) = if index < roots {
                (Place::Root(self.number), root_blend)
            } else {
                (
                    Place::Limb(self.number),
                    if index == 0 { JOINT_BLEND_M } else { 0.003 },
                )
            };
            self.parts.push(Part::new(
                pair[0].0, pair[1].0, pair[0].1, pair[1].1, blend, place, stuff,
            ));
        }
    }

    /// One bare part between two balls.
    fn add(&mut self, from: (Vec3, f32), to: (Vec3, f32), blend: f32) -> &mut Part {
        let place = Place::Limb(self.number);
        let index = self.parts.len();
        self.parts
            .push(Part::new(from.0, to.0, from.1, to.1, blend, place, Stuff::Skin));
        &mut self.parts[index]
    }
}

fn arm(arm: &Arm, outward: f32, number: usize, parts: &mut Vec<Part>) {
    let (shoulder, elbow, wrist) = (single(arm.shoulder), single(arm.elbow), single(arm.wrist));
    let fingers = (single(arm.fingertip) - wrist).normalize();
    let across = single(arm.across);
    let banded = if number == 0 {
        Stuff::BandedForearm
    } else {
        Stuff::Skin
    };
    let mut limb = Limb { parts, number };
    let upper = |share: f32, radius: f32| (shoulder.lerp(elbow, share), radius);
    let fore = |share: f32, radius: f32| (elbow.lerp(wrist, share), radius);
    limb.chain(
        &[upper(0.0, 0.056), upper(0.25, 0.053), upper(0.55, 0.046)],
        2,
        0.05,
        Stuff::Skin,
    );
    limb.chain(
        &[upper(0.55, 0.046), upper(0.82, 0.038), upper(1.0, 0.0365)],
        0,
        0.0,
        Stuff::Skin,
    );
    limb.chain(
        &[
            fore(0.0, 0.0365),
            fore(0.14, 0.0400),
            fore(0.32, 0.0415),
            fore(0.60, 0.0350),
            fore(0.80, 0.0285),
        ],
        0,
        0.0,
        Stuff::Skin,
    );
    limb.chain(&[fore(0.80, 0.0285), fore(0.97, 0.0255)], 0, 0.0, banded);
    let at = |along: f32, side: f32, radius: f32| (wrist + fingers * along + across * side, radius);
    let heel = limb.add(at(-0.020, 0.0, 0.0240), at(0.062, 0.0, 0.0150), 0.010);
    *heel = heel.widened(across, 0.88);
    let palm = limb.add(at(0.030, 0.0, 0.0160), at(0.094, 0.0, 0.0118), 0.018);
    *palm = palm.widened(across, 0.34);
    let thumb = -outward;
    // Offset from the hand's middle line towards the thumb, how far short of the middle fingertip, radius.
    for (offset, short, radius) in [
        (0.030, 0.012, 0.0088),
        (0.0105, 0.0, 0.0092),
        (-0.0095, 0.007, 0.0088),
        (-0.028, 0.027, 0.0078),
    ] {
        let side = offset * thumb;
        let tip = radius * 0.80;
        limb.add(
            at(0.070, side, radius * 1.10),
            at(0.188 - short - tip, side * 1.22, tip),
            0.009,
        );
    }
    limb.add(
        at(0.018, 0.022 * thumb, 0.0130),
        at(0.062, 0.038 * thumb, 0.0105),
        0.016,
    );
    limb.add(
        at(0.062, 0.038 * thumb, 0.0105),
        at(0.100, 0.043 * thumb, 0.0080),
        0.006,
    );
}

fn leg(leg: &Leg, roll: f64, number: usize, parts: &mut Vec<Part>) {
    let (hip, knee, ankle, toe) = (
        single(leg.hip),
        single(leg.knee),
        single(leg.ankle),
        single(leg.toe),
    );
    let left = single(leftward(roll));
    let mut limb = Limb { parts, number };
    // The side of the back at right angles to a stretch of the leg.
    let behind = |along: Vec3| {
        let behind = left.cross(along).normalize();
        if behind.y < 0.0 { -behind } else { behind }
    };
    let back_of_shank = behind((ankle - knee).normalize());
    let back_of_thigh = behind((knee - hip).normalize());
    let thigh = |share: f32, back: f32, radius: f32| (hip.lerp(knee, share) + back_of_thigh * back, radius);
    let shank = |share: f32, back: f32, radius: f32| (knee.lerp(ankle, share) + back_of_shank * back, radius);
    limb.chain(
        &[thigh(0.0, 0.004, 0.087), thigh(0.30, 0.0, 0.079)],
        1,
        0.05,
        Stuff::Thigh,
    );
    limb.chain(
        &[thigh(0.30, 0.0, 0.079), thigh(0.58, -0.002, 0.0665)],
        0,
        0.0,
        Stuff::Thigh,
    );
    limb.chain(
        &[
            thigh(0.58, -0.002, 0.0665),
            thigh(0.85, 0.0, 0.0535),
            thigh(1.0, 0.0, 0.0500),
        ],
        0,
        0.0,
        Stuff::Skin,
    );
    limb.chain(
        &[
            shank(0.0, 0.0, 0.0500),
            shank(0.14, 0.005, 0.0490),
            shank(0.32, 0.012, 0.0510),
            shank(0.56, 0.008, 0.0430),
            shank(0.82, 0.002, 0.0320),
            shank(1.0, 0.0, 0.0300),
        ],
        0,
        0.0,
        Stuff::Skin,
    );
    let along = (toe - ankle).normalize();
    let sole = behind(along);
    let foot = |far: f32, up: f32, radius: f32| (ankle + along * far + sole * up, radius);
    // Heel, instep, toes.
    limb.add(foot(0.0, 0.004, 0.0295), foot(-0.002, 0.020, 0.0245), 0.022);
    let instep = limb.add(foot(0.004, 0.004, 0.0300), foot(0.120, 0.010, 0.0210), 0.018);
    *instep = instep.widened(left, 0.78);
    let toes = limb.add(foot(0.115, 0.010, 0.0205), foot(0.193, 0.012, 0.0110), 0.012);
    *toes = toes.widened(left, 0.45);
}
