//! The picture's inputs hold in the model: the events are where the schedule says, and limbs keep their lengths.

use glam::DVec3;
use wetframe_demo::arm::{FOREARM_M, HALF_HAND_M, UPPER_ARM_M};
use wetframe_demo::camera::PIXELS_PER_M;
use wetframe_demo::clips::{DEMO_CLIPS, swimmer_of};
use wetframe_demo::pose::{Arm, FOOT_M, Pose, SHANK_M, Swimmer, THIGH_M, wrist_is_within_reach};
use wetframe_demo::schedule::ArmStroke;

const FRAME_S: f64 = 1.0 / 60.0;

fn swimmers() -> Vec<Swimmer> {
    DEMO_CLIPS.iter().map(swimmer_of).collect()
}

fn times(swimmer: &Swimmer) -> impl Iterator<Item = f64> + use<> {
    let steps = (swimmer.schedule().duration_s * 240.0) as u32;
    (0..steps).map(|step| f64::from(step) / 240.0)
}

type ArmOf = fn(&Pose) -> Arm;

fn arms(swimmer: &Swimmer) -> [(Vec<ArmStroke>, ArmOf); 2] {
    let inside = |strokes: &[ArmStroke]| {
        strokes
            .iter()
            .copied()
            .filter(|stroke| stroke.entry > 0.0 && stroke.exit < swimmer.schedule().duration_s)
            .collect::<Vec<_>>()
    };
    [
        (inside(&swimmer.schedule().left), |pose| pose.left_arm),
        (inside(&swimmer.schedule().right), |pose| pose.right_arm),
    ]
}

#[test]
fn limbs_keep_their_lengths() {
    let close = |a: DVec3, b: DVec3, length: f64| (a.distance(b) - length).abs() < 1e-6;
    for swimmer in swimmers() {
        for time in times(&swimmer) {
            let pose = swimmer.pose_at(time);
            for arm in [pose.left_arm, pose.right_arm] {
                assert!(
                    wrist_is_within_reach(&arm),
                    "hand out of reach at {time} s: {}",
                    arm.shoulder.distance(arm.wrist)
                );
                assert!(
                    close(arm.shoulder, arm.elbow, UPPER_ARM_M),
                    "upper arm at {time} s"
                );
                assert!(close(arm.elbow, arm.wrist, FOREARM_M), "forearm at {time} s");
                assert!(
                    close(arm.wrist, arm.fingertip, 2.0 * HALF_HAND_M),
                    "hand at {time} s"
                );
            }
            for leg in [pose.left_leg, pose.right_leg] {
                assert!(close(leg.hip, leg.knee, THIGH_M), "thigh at {time} s");
                assert!(close(leg.knee, leg.ankle, SHANK_M), "shank at {time} s");
                assert!(close(leg.ankle, leg.toe, FOOT_M), "foot at {time} s");
            }
        }
    }
}

#[test]
fn fingertips_cross_the_drawn_surface_at_entry_and_exit_and_nowhere_else() {
    for swimmer in swimmers() {
        for (strokes, arm_of) in arms(&swimmer) {
            let pixels_above = |time: f64| {
                swimmer.above_surface_m(arm_of(&swimmer.pose_at(time)).fingertip, time) * PIXELS_PER_M
            };
            for stroke in &strokes {
                for event in [stroke.entry, stroke.exit] {
                    let off = pixels_above(event);
                    assert!(off.abs() < 0.05, "{off} pixels off the surface at {event} s");
                }
                assert!(
                    pixels_above(stroke.entry - FRAME_S) > 1.5,
                    "clear of the water a frame before entry {}",
                    stroke.entry
                );
                assert!(
                    pixels_above(stroke.entry + FRAME_S) < -1.5,
                    "under it a frame after entry {}",
                    stroke.entry
                );
                assert!(
                    pixels_above(stroke.exit - FRAME_S) < -1.5,
                    "under a frame before exit {}",
                    stroke.exit
                );
                assert!(
                    pixels_above(stroke.exit + FRAME_S) > 1.5,
                    "out a frame after exit {}",
                    stroke.exit
                );
            }
            for pair in strokes.windows(2) {
                for share in 1..100 {
                    let part = f64::from(share) / 100.0;
                    let under = pair[0].entry + part * (pair[0].exit - pair[0].entry);
                    assert!(
                        pixels_above(under) < 0.0,
                        "fingertip out of the water at {under} s"
                    );
                    let over = pair[0].exit + part * (pair[1].entry - pair[0].exit);
                    assert!(pixels_above(over) > 0.0, "fingertip in the water at {over} s");
                }
            }
        }
    }
}

#[test]
fn hands_turn_back_at_the_catch_and_are_under_the_shoulder_at_mid_pull() {
    for swimmer in swimmers() {
        for (strokes, arm_of) in arms(&swimmer) {
            let ahead = |time: f64| {
                let arm = arm_of(&swimmer.pose_at(time));
                arm.shoulder.x - arm.hand.x
            };
            for stroke in strokes {
                for step in 1..=12 {
                    let away = f64::from(step) * 0.25 * FRAME_S;
                    let moved = 0.1 * FRAME_S;
                    let before = stroke.catch - away;
                    assert!(
                        ahead(before) > ahead(before - moved),
                        "forward before the catch at {}",
                        stroke.catch
                    );
                    let after = stroke.catch + away;
                    assert!(
                        ahead(after) > ahead(after + moved),
                        "backward after the catch at {}",
                        stroke.catch
                    );
                }
                let off = ahead(stroke.mid_pull) * PIXELS_PER_M;
                assert!(
                    off.abs() < 0.05,
                    "{off} pixels from under the shoulder at {} s",
                    stroke.mid_pull
                );
                assert!(ahead(stroke.mid_pull - FRAME_S) > 0.01 && ahead(stroke.mid_pull + FRAME_S) < -0.01);
            }
        }
    }
}

#[test]
fn the_mouth_is_out_of_the_water_exactly_while_a_breath_is_open() {
    for swimmer in swimmers() {
        let mouth =
            |time: f64| swimmer.above_surface_m(swimmer.pose_at(time).head.mouth(), time) * PIXELS_PER_M;
        let breaths = swimmer.schedule().breaths.clone();
        for breath in &breaths {
            for event in [breath.mouth_clear, breath.face_return] {
                assert!(
                    mouth(event).abs() < 0.05,
                    "mouth {} pixels off at {event} s",
                    mouth(event)
                );
            }
            assert!(swimmer.pose_at(breath.face_turn).head.turn.abs() < 1e-9);
            assert!(swimmer.pose_at(breath.face_turn + FRAME_S).head.turn > 0.005);
        }
        for time in times(&swimmer) {
            let open = breaths
                .iter()
                .any(|breath| (breath.mouth_clear..=breath.face_return).contains(&time));
            let at_edge = breaths.iter().any(|breath| {
                (breath.mouth_clear - time).abs() < 1e-3 || (breath.face_return - time).abs() < 1e-3
            });
            assert!(
                at_edge || (mouth(time) > 0.0) == open,
                "mouth {} pixels above at {time} s",
                mouth(time)
            );
        }
    }
}

#[test]
fn ankles_part_beyond_the_usual_kick_exactly_during_a_kick_out() {
    for swimmer in swimmers() {
        let usual = swimmer.usual_kick_width_m();
        for time in times(&swimmer) {
            let inside = swimmer
                .schedule()
                .kick_outs
                .iter()
                .any(|kick_out| (kick_out.start + 1e-6..kick_out.end - 1e-6).contains(&time));
            let width = swimmer.ankle_width_m(time);
            let outside_by_m = 0.5 / PIXELS_PER_M;
            assert!(
                if inside {
                    width > usual - 1e-9
                } else {
                    width < usual + outside_by_m
                },
                "ankles {width} m apart at {time} s, usual {usual} m"
            );
        }
        for kick_out in &swimmer.schedule().kick_outs {
            let middle = 0.5 * (kick_out.start + kick_out.end);
            let wider = swimmer.ankle_width_m(middle) / usual;
            assert!(
                wider > 1.0 + 0.3 * kick_out.size,
                "{wider} times the usual width at {middle} s"
            );
        }
    }
}
