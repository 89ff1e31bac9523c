//! The whole swimmer at one moment: every joint in space, from the schedule alone.
//!
//! A pose is a pure function of time. Heading is −x, the back is up, the left side faces the camera.

use glam::DVec3;
use stroke::Side;

use crate::arm::{self, ArmPath, FOREARM_M, HALF_HAND_M, UPPER_ARM_M};
use crate::camera::plane_from_space;
use crate::curve::{Curve, smooth_step};
use crate::schedule::Schedule;
use crate::surface::Surface;

/// Hip to knee, m.
pub const THIGH_M: f64 = 0.435;
/// Knee to ankle, m.
pub const SHANK_M: f64 = 0.425;
/// Ankle to toe, m.
pub const FOOT_M: f64 = 0.205;
/// Middle of the shoulders to middle of the hips, m.
pub const TRUNK_M: f64 = 0.520;

/// Where the middle of the shoulders is, m.
const SHOULDERS: DVec3 = DVec3::new(-0.375, -0.082, 0.0);
/// Where the crown of the head is, m, when the head is still.
pub const CROWN_AT_REST: DVec3 = DVec3::new(-0.735, -0.05, 0.0);
/// Half the distance between the shoulder joints and between the hip joints, m.
const HALF_SHOULDERS_M: f64 = 0.168;
const HALF_HIPS_M: f64 = 0.088;
/// The shoulder blade draws the joint forward by up to this much, m.
const SHOULDER_REACH_M: f64 = 0.035;
/// Downward slope of the trunk from shoulders to hips, radians.
const SLOPE: f64 = 0.045;
/// Greatest roll of the shoulders, radians.
const ROLL: f64 = 0.66;

/// One arm's joints, m.
#[derive(Clone, Copy, Debug)]
pub struct Arm {
    /// Shoulder joint.
    pub shoulder: DVec3,
    /// Elbow.
    pub elbow: DVec3,
    /// Wrist.
    pub wrist: DVec3,
    /// Middle of the hand.
    pub hand: DVec3,
    /// Tip of the middle finger.
    pub fingertip: DVec3,
    /// Unit vector across the palm, from the little finger's side to the thumb's or back.
    pub across: DVec3,
}

/// One leg's joints, m.
#[derive(Clone, Copy, Debug)]
pub struct Leg {
    /// Hip joint.
    pub hip: DVec3,
    /// Knee.
    pub knee: DVec3,
    /// Ankle.
    pub ankle: DVec3,
    /// Tip of the toes.
    pub toe: DVec3,
}

/// The head, m.
#[derive(Clone, Copy, Debug)]
pub struct Head {
    /// Middle of the skull.
    pub centre: DVec3,
    /// Unit vector to the crown.
    pub crown: DVec3,
    /// Unit vector out of the face.
    pub face: DVec3,
    /// Turn about the body's length, radians: 0 face down, positive to the left.
    pub turn: f64,
}

impl Head {
    /// Middle of the lips.
    #[must_use]
    pub fn mouth(&self) -> DVec3 {
        self.centre + self.face * 0.098 - self.crown * 0.062
    }

    /// Tip of the nose.
    #[must_use]
    pub fn nose(&self) -> DVec3 {
        self.centre + self.face * 0.122 - self.crown * 0.020
    }
}

/// The swimmer at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Pose {
    /// Middle of the shoulders.
    pub shoulders: DVec3,
    /// Middle of the hips.
    pub hips: DVec3,
    /// Roll of the shoulders about the body's length, radians; positive lifts the left side.
    pub roll: f64,
    /// Roll of the hips.
    pub hip_roll: f64,
    /// The head.
    pub head: Head,
    /// Left arm, nearer to the camera.
    pub left_arm: Arm,
    /// Right arm.
    pub right_arm: Arm,
    /// Left leg.
    pub left_leg: Leg,
    /// Right leg.
    pub right_leg: Leg,
    /// How open the mouth is, 0 to 1.
    pub mouth_open: f64,
}

/// Unit vector to the swimmer's left for a roll, radians.
#[must_use]
pub fn leftward(roll: f64) -> DVec3 {
    DVec3::new(0.0, libm::sin(roll), libm::cos(roll))
}

/// Unit vector out of the swimmer's back for a roll, radians.
#[must_use]
pub fn backward(roll: f64) -> DVec3 {
    DVec3::new(0.0, libm::cos(roll), -libm::sin(roll))
}

/// The moving swimmer: poses for any time of a clip.
#[derive(Clone, Debug)]
pub struct Swimmer {
    schedule: Schedule,
    surface: Surface,
    left: ArmPath,
    right: ArmPath,
    left_turns: Curve,
    right_turns: Curve,
    left_reach: Curve,
    right_reach: Curve,
    head_turn: Curve,
    head_lift: Curve,
    mouth_open: Curve,
    usual_kick_width_m: f64,
    parted_from: f64,
}

/// Angles of a leg, radians: thigh below the body's line, bend of the knee, foot below the shank's line, and
/// outward.
#[derive(Clone, Copy)]
struct LegAngles {
    thigh: f64,
    knee: f64,
    foot: f64,
    outward: f64,
}

impl LegAngles {
    fn mix(self, other: Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Self {
            thigh: mix(self.thigh, other.thigh),
            knee: mix(self.knee, other.knee),
            foot: mix(self.foot, other.foot),
            outward: mix(self.outward, other.outward),
        }
    }
}

/// Kicks of each leg in one arm cycle: a six-beat kick.
const BEATS_PER_LEG: f64 = 3.0;
/// Time over which the kick gives way to a kick-out and comes back, s.
const KICK_OUT_LEAD_S: f64 = 0.11;

impl Swimmer {
    /// The swimmer who does what `schedule` says in this water.
    #[must_use]
    pub fn new(schedule: Schedule, surface: Surface) -> Self {
        let left_reach = arm::reach_through(&schedule.left);
        let right_reach = arm::reach_through(&schedule.right);
        let left = ArmPath::new(&schedule.left, 1.0, &surface, &|time| {
            SHOULDERS.x + surge_m(time) - SHOULDER_REACH_M * left_reach.at(time)
        });
        let right = ArmPath::new(&schedule.right, -1.0, &surface, &|time| {
            SHOULDERS.x + surge_m(time) - SHOULDER_REACH_M * right_reach.at(time)
        });
        let mut swimmer = Self {
            left,
            right,
            left_turns: arm::turns_through(&schedule.left),
            right_turns: arm::turns_through(&schedule.right),
            left_reach,
            right_reach,
            head_turn: Curve::default(),
            head_lift: Curve::default(),
            mouth_open: Curve::default(),
            usual_kick_width_m: 0.0,
            parted_from: 0.0,
            schedule,
            surface,
        };
        swimmer.key_breaths();
        swimmer.usual_kick_width_m = (0..720)
            .map(|step| {
                let phase = f64::from(step).to_radians() / 2.0;
                ankle_width_m(kick_angles(phase), kick_angles(phase + std::f64::consts::PI))
            })
            .fold(0.0, f64::max);
        swimmer.parted_from = bisect(0.0, 1.0, |parted| {
            let [left, right] = parted_angles(parted);
            ankle_width_m(left, right) - swimmer.usual_kick_width_m
        });
        swimmer
    }

    /// The events behind the poses.
    #[must_use]
    pub fn schedule(&self) -> &Schedule {
        &self.schedule
    }

    /// The water's surface.
    #[must_use]
    pub fn surface(&self) -> &Surface {
        &self.surface
    }

    /// Widest separation of the ankles in the usual kick, m.
    #[must_use]
    pub fn usual_kick_width_m(&self) -> f64 {
        self.usual_kick_width_m
    }

    /// Height of a point above the surface where it is drawn, m on the picture plane.
    #[must_use]
    pub fn above_surface_m(&self, point: DVec3, time_s: f64) -> f64 {
        let drawn = plane_from_space(point);
        drawn.y - self.surface.height_m(drawn.x, time_s)
    }

    /// The head's turn is solved so that the mouth is drawn on the surface exactly when it clears and returns.
    fn key_breaths(&mut self) {
        let breaths = self.schedule.breaths.clone();
        let mut lift = Vec::new();
        let mut open = Vec::new();
        for breath in &breaths {
            let middle = 0.5 * (breath.mouth_clear + breath.face_return);
            lift.extend([
                (breath.face_turn, 0.0),
                (breath.mouth_clear, 0.012),
                (middle, 0.018),
                (breath.face_return, 0.010),
                (breath.face_return + 0.2, 0.0),
            ]);
            open.extend([
                (breath.mouth_clear - 0.03, 0.0),
                (breath.mouth_clear + 0.06, 1.0),
                (breath.face_return - 0.08, 0.9),
                (breath.face_return - 0.01, 0.0),
            ]);
        }
        self.head_lift = Curve::through(lift);
        self.mouth_open = Curve::through(open);
        let mut turn = Vec::new();
        for breath in &breaths {
            let solve = |time: f64| {
                bisect(0.6, 2.3, |angle| {
                    self.above_surface_m(self.head_at(time, angle).mouth(), time)
                })
            };
            let (clear, back) = (solve(breath.mouth_clear), solve(breath.face_return));
            let middle = 0.5 * (breath.mouth_clear + breath.face_return);
            turn.extend([
                (breath.face_turn, 0.0),
                (breath.mouth_clear, clear),
                (middle, clear.max(back) + 0.20),
                (breath.face_return, back),
                (breath.face_return + 0.24, 0.0),
            ]);
        }
        self.head_turn = Curve::through(turn);
    }

    fn shoulders_at(&self, time_s: f64) -> DVec3 {
        SHOULDERS
            + DVec3::new(
                surge_m(time_s),
                0.006 * libm::sin(4.0 * std::f64::consts::PI * self.turns_at(time_s)),
                0.0,
            )
    }

    /// Arm cycles swum at `time_s`, the mean of both arms.
    #[must_use]
    pub fn turns_at(&self, time_s: f64) -> f64 {
        0.5 * (self.left_turns.at(time_s) + self.right_turns.at(time_s) + 0.5)
    }

    fn roll_at(&self, time_s: f64) -> f64 {
        // A side is highest in mid-recovery and lowest about the catch.
        let side = |turns: f64| libm::cos(std::f64::consts::TAU * (turns - 0.84));
        0.5 * ROLL * (side(self.left_turns.at(time_s)) - side(self.right_turns.at(time_s)))
    }

    fn head_at(&self, time_s: f64, turn: f64) -> Head {
        let shoulders = self.shoulders_at(time_s);
        let ahead = DVec3::new(-1.0, 0.02, 0.0);
        let centre = shoulders + ahead * 0.232 + DVec3::new(0.0, 0.022 + self.head_lift.at(time_s), 0.0);
        let down = -backward(turn);
        // The gaze is a little ahead of straight down.
        let (sin, cos) = (libm::sin(0.30), libm::cos(0.30));
        Head {
            centre,
            crown: (ahead * cos - down * sin).normalize(),
            face: (down * cos + ahead * sin).normalize(),
            turn,
        }
    }

    fn arm_at(&self, time_s: f64, left: bool, shoulders: DVec3, roll: f64) -> Arm {
        let (path, reach, outward) = if left {
            (&self.left, &self.left_reach, 1.0)
        } else {
            (&self.right, &self.right_reach, -1.0)
        };
        let hand = path.hand_at(time_s);
        let shoulder = shoulders
            + leftward(roll) * (outward * HALF_SHOULDERS_M)
            + backward(roll) * 0.012
            + DVec3::new(-SHOULDER_REACH_M * reach.at(time_s), 0.0, 0.0);
        let middle = DVec3::new(shoulder.x - hand.ahead_m, hand.height_m, outward * hand.out_m);
        let fingers = arm::finger_direction(hand.pitch);
        let wrist = middle - fingers * HALF_HAND_M;
        let pole = DVec3::new(-hand.elbow.z, hand.elbow.y, outward * hand.elbow.x);
        let across = DVec3::new(0.0, 0.30 * outward, 1.0);
        Arm {
            shoulder,
            elbow: arm::elbow_between(shoulder, wrist, pole),
            wrist,
            hand: middle,
            fingertip: middle + fingers * HALF_HAND_M,
            across: (across - fingers * across.dot(fingers)).normalize(),
        }
    }

    /// Angles of left and right leg.
    fn leg_angles_at(&self, time_s: f64) -> [LegAngles; 2] {
        let phase = std::f64::consts::TAU * BEATS_PER_LEG * self.turns_at(time_s);
        let mut angles = [kick_angles(phase), kick_angles(phase + std::f64::consts::PI)];
        for kick_out in &self.schedule.kick_outs {
            let (start, end) = (kick_out.start, kick_out.end);
            let given_way = smooth_step(start - KICK_OUT_LEAD_S, start, time_s)
                * smooth_step(end + KICK_OUT_LEAD_S, end, time_s);
            if given_way > 0.0 {
                let through = ((time_s - start) / (end - start)).clamp(0.0, 1.0);
                let widest = self.parted_from + (1.0 - self.parted_from) * kick_out.size;
                let parted = self.parted_from
                    + (widest - self.parted_from) * libm::sin(std::f64::consts::PI * through);
                let wide = parted_angles(parted);
                angles = [0, 1].map(|leg| angles[leg].mix(wide[leg], given_way));
            }
        }
        angles
    }

    /// Distance between the ankles across the body's line, m.
    #[must_use]
    pub fn ankle_width_m(&self, time_s: f64) -> f64 {
        let [left, right] = self.leg_angles_at(time_s);
        ankle_width_m(left, right)
    }

    /// The swimmer at `time_s`.
    #[must_use]
    pub fn pose_at(&self, time_s: f64) -> Pose {
        let shoulders = self.shoulders_at(time_s);
        let roll = self.roll_at(time_s);
        let hip_roll = 0.62 * self.roll_at(time_s - 0.03);
        let hips = shoulders + DVec3::new(TRUNK_M * libm::cos(SLOPE), -TRUNK_M * libm::sin(SLOPE), 0.0);
        let [left_leg, right_leg] = self.leg_angles_at(time_s);
        Pose {
            shoulders,
            hips,
            roll,
            hip_roll,
            head: self.head_at(time_s, self.head_turn.at(time_s)),
            left_arm: self.arm_at(time_s, true, shoulders, roll),
            right_arm: self.arm_at(time_s, false, shoulders, roll),
            left_leg: leg(hips, hip_roll, 1.0, left_leg),
            right_leg: leg(hips, hip_roll, -1.0, right_leg),
            mouth_open: self.mouth_open.at(time_s),
        }
    }
}

/// The body drifts a little to and fro in the flume, m.
fn surge_m(time_s: f64) -> f64 {
    0.010 * libm::sin(0.9 * time_s) + 0.006 * libm::sin(2.3 * time_s + 1.0)
}

fn kick_angles(phase: f64) -> LegAngles {
    let bend = 0.5 * (1.0 + libm::cos(phase + 1.05));
    LegAngles {
        thigh: (8.5 + 5.8 * libm::sin(phase)).to_radians(),
        knee: (3.0 + 15.0 * bend).to_radians(),
        foot: (-4.0 - 11.0 * libm::cos(phase)).to_radians(),
        outward: 0.0,
    }
}

/// Left and right leg when parted: 0 is closed, 1 a full scissor.
fn parted_angles(parted: f64) -> [LegAngles; 2] {
    let closed = LegAngles {
        thigh: 0.10,
        knee: 0.16,
        foot: -0.1,
        outward: 0.0,
    };
    let up = LegAngles {
        thigh: 0.14,
        knee: 0.40,
        foot: -0.05,
        outward: 0.20,
    };
    let down = LegAngles {
        thigh: 0.72,
        knee: 0.48,
        foot: 0.20,
        outward: 0.22,
    };
    [closed.mix(up, parted), closed.mix(down, parted)]
}

/// Directions of thigh, shank and foot for a leg whose outward side is `outward` along z.
fn leg_directions(angles: LegAngles, outward: f64) -> [DVec3; 3] {
    let across = libm::sin(angles.outward) * outward;
    let direction = |below: f64| DVec3::new(libm::cos(below), -libm::sin(below), across).normalize();
    let thigh = angles.thigh + SLOPE;
    let shank = thigh - angles.knee;
    [direction(thigh), direction(shank), direction(shank + angles.foot)]
}

fn leg(hips: DVec3, roll: f64, outward: f64, angles: LegAngles) -> Leg {
    let hip = hips + leftward(roll) * (outward * HALF_HIPS_M);
    let [thigh, shank, foot] = leg_directions(angles, outward);
    let knee = hip + thigh * THIGH_M;
    let ankle = knee + shank * SHANK_M;
    Leg {
        hip,
        knee,
        ankle,
        toe: ankle + foot * FOOT_M,
    }
}

fn ankle_width_m(left: LegAngles, right: LegAngles) -> f64 {
    let ankle = |angles: LegAngles, outward: f64| {
        let [thigh, shank, _] = leg_directions(angles, outward);
        thigh * THIGH_M + shank * SHANK_M
    };
    (ankle(left, 1.0).y - ankle(right, -1.0).y).abs()
}

/// Where `rising` crosses zero between `low` and `high`.
fn bisect(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Whether the wrist of an arm is within the arm's reach, so that inverse kinematics is exact.
#[must_use]
pub fn wrist_is_within_reach(arm: &Arm) -> bool {
    arm.shoulder.distance(arm.wrist) < (UPPER_ARM_M + FOREARM_M) * 0.9999
}

impl Swimmer {
    /// Every lowest point of a foot in the usual kick (outside kick-outs), with its side, in time order.
    #[must_use]
    pub fn downbeats(&self) -> Vec<(Side, f64)> {
        let step = 1.0 / 960.0;
        let steps = (self.schedule.duration_s / step) as usize;
        let mut found = Vec::new();
        for (leg, side) in [(0, Side::Left), (1, Side::Right)] {
            let height = |time: f64| {
                let pose = self.pose_at(time);
                if leg == 0 {
                    pose.left_leg.toe.y
                } else {
                    pose.right_leg.toe.y
                }
            };
            let mut window = [height(-step), height(0.0), 0.0];
            for index in 0..steps {
                let time = index as f64 * step;
                window[2] = height(time + step);
                if window[1] < window[0] && window[1] <= window[2] && !self.in_kick_out(time) {
                    found.push((side, time + parabola_vertex(window) * step));
                }
                window = [window[1], window[2], 0.0];
            }
        }
        found.sort_by(|a, b| a.1.total_cmp(&b.1));
        found
    }

    fn in_kick_out(&self, time_s: f64) -> bool {
        self.schedule.kick_outs.iter().any(|kick_out| {
            (kick_out.start - KICK_OUT_LEAD_S..=kick_out.end + KICK_OUT_LEAD_S).contains(&time_s)
        })
    }
}

/// Where between −1 and 1 the parabola through three equally spaced heights has its vertex.
fn parabola_vertex(heights: [f64; 3]) -> f64 {
    let curvature = heights[0] - 2.0 * heights[1] + heights[2];
    if curvature == 0.0 {
        0.0
    } else {
        0.5 * (heights[0] - heights[2]) / curvature
    }
}
