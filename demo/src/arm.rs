//! One arm: where the hand is between its events, and the bent arm that reaches it.
//!
//! The hand's path is keyed by the schedule's events. Its place along the swimmer is measured from the
//! shoulder, so that two events hold by construction: it turns back exactly at the catch, and it is under the
//! shoulder exactly at mid-pull. Entry and exit are keyed so that the fingertip is drawn on the surface.
//! Elbows follow by inverse kinematics, so limbs keep their lengths.

use glam::DVec3;

use crate::camera::EYE_M;
use crate::curve::Curve;
use crate::schedule::ArmStroke;
use crate::surface::Surface;

/// Shoulder to elbow, m.
pub const UPPER_ARM_M: f64 = 0.305;
/// Elbow to wrist, m.
pub const FOREARM_M: f64 = 0.268;
/// Wrist to the middle of the hand, m; the fingertip is as far again.
pub const HALF_HAND_M: f64 = 0.094;

/// A keyed moment of a stroke.
#[derive(Clone, Copy)]
struct Key {
    /// Which of entry 0, catch 1, mid-pull 2, exit 3 it follows, and the share of the way to the next.
    phase: f64,
    /// Middle of the hand ahead of the shoulder, m.
    ahead: f64,
    /// Height of the middle of the hand above the still level, m.
    height: f64,
    /// Outward from the midline, m.
    out: f64,
    /// Angle of the fingers below straight ahead, degrees.
    pitch: f64,
    /// Where the elbow points: outward, upward, ahead.
    elbow: [f64; 3],
}

const fn key(phase: f64, ahead: f64, height: f64, out: f64, pitch: f64, elbow: [f64; 3]) -> Key {
    Key {
        phase,
        ahead,
        height,
        out,
        pitch,
        elbow,
    }
}

const ENTRY: f64 = 0.0;
const EXIT: f64 = 3.0;

/// The stroke. Heights at entry and exit are replaced by the surface's.
const KEYS: [Key; 16] = [
    key(ENTRY, 0.520, 0.0, 0.19, 24.0, [0.55, 0.85, 0.0]),
    key(0.18, 0.585, -0.050, 0.185, 19.0, [0.6, 0.8, 0.0]),
    key(0.50, 0.632, -0.120, 0.18, 12.0, [0.7, 0.7, 0.0]),
    key(0.85, 0.641, -0.165, 0.18, 14.0, [0.75, 0.65, 0.0]),
    key(1.0, 0.643, -0.190, 0.18, 19.0, [0.8, 0.6, 0.0]),
    key(1.22, 0.590, -0.285, 0.19, 46.0, [0.85, 0.55, 0.0]),
    key(1.55, 0.355, -0.475, 0.17, 72.0, [0.9, 0.45, 0.0]),
    key(2.0, 0.0, -0.600, 0.10, 95.0, [0.95, 0.30, -0.1]),
    key(2.40, -0.250, -0.500, 0.13, 108.0, [0.85, 0.45, -0.3]),
    key(2.72, -0.395, -0.300, 0.18, 118.0, [0.65, 0.70, -0.2]),
    key(EXIT, -0.470, 0.0, 0.235, 138.0, [0.45, 0.90, 0.0]),
    key(3.22, -0.400, 0.150, 0.29, 128.0, [0.40, 0.92, 0.1]),
    key(3.47, -0.120, 0.185, 0.35, 98.0, [0.45, 0.90, 0.1]),
    key(3.70, 0.190, 0.172, 0.31, 68.0, [0.50, 0.87, 0.1]),
    key(3.88, 0.410, 0.125, 0.235, 38.0, [0.52, 0.86, 0.0]),
    key(3.96, 0.488, 0.075, 0.20, 27.0, [0.54, 0.85, 0.0]),
];

/// The hand at one moment, in space but for `ahead`, which counts from the shoulder.
#[derive(Clone, Copy, Debug)]
pub struct Hand {
    /// Middle of the hand ahead of the shoulder, m.
    pub ahead_m: f64,
    /// Middle of the hand above the still level, m.
    pub height_m: f64,
    /// Middle of the hand outward from the midline, m.
    pub out_m: f64,
    /// Fingers below straight ahead, radians.
    pub pitch: f64,
    /// Direction in which the elbow bends: outward, upward, ahead.
    pub elbow: DVec3,
}

/// One arm through the whole clip.
#[derive(Clone, Debug)]
pub struct ArmPath {
    ahead: Curve,
    height: Curve,
    out: Curve,
    pitch: Curve,
    elbow: [Curve; 3],
}

/// Share of a usual cycle at entry, catch, mid-pull and exit: the even count behind `turns`.
const TURNS: [f64; 4] = [0.0, 0.34, 0.57, 0.73];

impl ArmPath {
    /// The path through `strokes`. `outward` is +1 for the arm nearer to the camera, −1 for the other;
    /// `shoulder_x_at` gives the shoulder's x (m) at a time.
    #[must_use]
    pub fn new(
        strokes: &[ArmStroke],
        outward: f64,
        surface: &Surface,
        shoulder_x_at: &dyn Fn(f64) -> f64,
    ) -> Self {
        let mut rows: Vec<(f64, Key)> = Vec::new();
        for pair in strokes.windows(2) {
            let events = [
                pair[0].entry,
                pair[0].catch,
                pair[0].mid_pull,
                pair[0].exit,
                pair[1].entry,
            ];
            for mut row in KEYS {
                let step = (row.phase as usize).min(3);
                let share = row.phase - step as f64;
                let time = events[step] + share * (events[step + 1] - events[step]);
                if row.phase == ENTRY || row.phase == EXIT {
                    row.height =
                        height_with_fingertip_on_surface(&row, time, outward, surface, shoulder_x_at(time));
                }
                rows.push((time, row));
            }
        }
        let curve =
            |value: &dyn Fn(&Key) -> f64| Curve::through(rows.iter().map(|(time, row)| (*time, value(row))));
        Self {
            ahead: curve(&|row| row.ahead),
            height: curve(&|row| row.height),
            out: curve(&|row| row.out),
            pitch: curve(&|row| row.pitch.to_radians()),
            elbow: [0, 1, 2].map(|axis| curve(&|row| row.elbow[axis])),
        }
    }

    /// The hand at `time_s`.
    #[must_use]
    pub fn hand_at(&self, time_s: f64) -> Hand {
        Hand {
            ahead_m: self.ahead.at(time_s),
            height_m: self.height.at(time_s),
            out_m: self.out.at(time_s),
            pitch: self.pitch.at(time_s),
            elbow: DVec3::from_array([0, 1, 2].map(|axis| self.elbow[axis].at(time_s))),
        }
    }
}

/// Cycles since the first entry of `strokes`, counted evenly through their events.
#[must_use]
pub fn turns_through(strokes: &[ArmStroke]) -> Curve {
    Curve::through(strokes.iter().enumerate().flat_map(|(index, stroke)| {
        [stroke.entry, stroke.catch, stroke.mid_pull, stroke.exit]
            .into_iter()
            .zip(TURNS)
            .map(move |(event, share)| (event, index as f64 + share))
    }))
}

/// How far the shoulder blade is drawn forward through `strokes`, 0 to 1: most at the catch.
#[must_use]
pub fn reach_through(strokes: &[ArmStroke]) -> Curve {
    Curve::through(strokes.iter().flat_map(|stroke| {
        [stroke.entry, stroke.catch, stroke.mid_pull, stroke.exit]
            .into_iter()
            .zip([0.45, 1.0, 0.35, 0.0])
    }))
}

/// Unit vector from wrist to fingertip for fingers `pitch` radians below straight ahead (ahead is −x).
#[must_use]
pub fn finger_direction(pitch: f64) -> DVec3 {
    DVec3::new(-libm::cos(pitch), -libm::sin(pitch), 0.0)
}

/// Height of the middle of the hand at which the fingertip is drawn exactly on the surface.
fn height_with_fingertip_on_surface(
    row: &Key,
    time: f64,
    outward: f64,
    surface: &Surface,
    shoulder_x: f64,
) -> f64 {
    let fingers = finger_direction(row.pitch.to_radians()) * HALF_HAND_M;
    let scale = EYE_M / (EYE_M - outward * row.out);
    let fingertip_x = shoulder_x - row.ahead + fingers.x;
    surface.height_m(fingertip_x * scale, time) / scale - fingers.y
}

/// The elbow between `shoulder` and `wrist`, bent towards `pole`; a wrist out of reach is met by a straight arm
/// that stays short of it.
#[must_use]
pub fn elbow_between(shoulder: DVec3, wrist: DVec3, pole: DVec3) -> DVec3 {
    let to_wrist = wrist - shoulder;
    let distance = to_wrist.length().min((UPPER_ARM_M + FOREARM_M) * 0.9999);
    let along = to_wrist.normalize();
    let foot = (distance * distance + UPPER_ARM_M * UPPER_ARM_M - FOREARM_M * FOREARM_M) / (2.0 * distance);
    let bend = (UPPER_ARM_M * UPPER_ARM_M - foot * foot).max(0.0).sqrt();
    let across = (pole - along * pole.dot(along)).normalize();
    shoulder + along * foot + across * bend
}
