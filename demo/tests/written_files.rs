//! The committed files say what the model says: truth, scenario and clips belong together.

#![expect(clippy::unwrap_used, reason = "the helpers below serve tests only")]

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use session::read_file;
use wetframe_demo::clips::{DEMO_CLIPS, FLOW_M_PER_S, FRAME_COUNT};
use wetframe_demo::hand::is_marked;
use wetframe_demo::session::session_file;
use wetframe_demo::truth::{FRAME_TICKS, RATE_FPS, TIMESCALE, frame_of, truth};

fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn json(file: &str) -> Value {
    let written = std::fs::read_to_string(here().join(file)).unwrap();
    serde_json::from_str(&written).unwrap()
}

/// The published truth is the model's, number for number.
#[test]
fn truth_json_is_what_the_model_says() {
    let written = json("truth.json");
    let made: Value = serde_json::from_str(&serde_json::to_string(&truth()).unwrap()).unwrap();
    assert!(
        written == made,
        "run `cargo run --release -p wetframe-demo` again"
    );
}

/// The worked comparison is the committed clips', marked by the seeded hand.
#[test]
fn session_wetframe_is_what_its_recipe_makes() {
    let written = std::fs::read(here().join("session.wetframe")).unwrap();
    assert!(
        written == session_file(&here()).unwrap(),
        "run `cargo run --release -p wetframe-demo session` again"
    );
}

/// Marked like a person: every event but the beats of the kick, near its frame, not always on it.
#[test]
fn the_worked_session_is_marked_near_the_truth_and_twice_in_part() {
    let written = std::fs::read(here().join("session.wetframe")).unwrap();
    let document = read_file(&written).unwrap().document;
    for (clip, made) in document.clips.iter().zip(truth().clips) {
        let wanted: Vec<_> = made.events.iter().filter(|event| is_marked(event)).collect();
        assert_eq!(clip.marks.len(), wanted.len());
        let strays: Vec<i64> = clip
            .marks
            .iter()
            .map(|mark| {
                let same = wanted
                    .iter()
                    .filter(|event| event.kind == mark.kind && Some(event.side) == mark.side);
                let away = same.map(|event| (mark.time.0 - event.presentation) / FRAME_TICKS);
                away.min_by_key(|frames| frames.abs()).unwrap()
            })
            .collect();
        assert!(strays.iter().all(|frames| frames.abs() <= 2), "{strays:?}");
        assert!(strays.iter().filter(|frames| **frames != 0).count() > strays.len() / 3);
        assert!(clip.analyse().unwrap().flags.is_empty());
    }
    assert!(document.remarkings.len() == 2 && document.remarkings.iter().all(|again| again.finished));
}

#[test]
fn every_event_lies_in_the_interval_of_its_frame() {
    for clip in truth().clips {
        let mut before = 0.0;
        for event in &clip.events {
            let start = f64::from(event.frame) / f64::from(RATE_FPS);
            assert!(
                start <= event.time_s + 1e-6 && event.time_s < start + 1.0 / f64::from(RATE_FPS) + 1e-6,
                "{event:?}"
            );
            assert_eq!(event.frame, frame_of(event.time_s));
            assert_eq!(event.presentation, i64::from(event.frame) * FRAME_TICKS);
            assert!(event.frame < clip.frame_count);
            assert!(event.time_s >= before, "in time order");
            before = event.time_s;
        }
    }
}

/// Ten two-arm cycles are what a guided pass of 80 arm marks needs.
#[test]
fn each_clip_holds_at_least_ten_whole_cycles_of_both_arms() {
    for clip in truth().clips {
        for cycles in clip.measures.whole_cycles {
            assert!(cycles >= 10, "{} has {cycles}", clip.file);
        }
    }
}

/// The cue changed what it was meant to change.
#[test]
fn after_the_cue_the_gap_is_smaller_and_the_rate_higher() {
    let [before, after] = <[_; 2]>::try_from(truth().clips)
        .unwrap()
        .map(|clip| clip.measures);
    assert!(after.gap_right_waits_breathing_ms < before.gap_right_waits_breathing_ms - 80.0);
    assert!(after.gap_right_waits_non_breathing_ms < before.gap_right_waits_non_breathing_ms - 30.0);
    assert!(before.gap_right_waits_breathing_ms > before.gap_right_waits_non_breathing_ms + 50.0);
    let faster = after.stroke_rate_per_min - before.stroke_rate_per_min;
    assert!((2.0..4.0).contains(&faster), "{faster} strokes/min faster");
    // Mean IdC = mean propulsive share − 50 where both arms share the cycle (derived; ends of the clip differ).
    for measures in [before, after] {
        let propulsive = measures.phases_percent[1] + measures.phases_percent[2];
        assert!((measures.index_of_coordination_percent - (propulsive - 50.0)).abs() < 0.6);
    }
}

#[test]
fn scenario_json_speaks_of_these_clips_and_this_water() {
    let scenario = json("scenario.json");
    assert_eq!(scenario["water"]["kind"], "flume");
    assert_eq!(scenario["water"]["speed_m_per_s"], FLOW_M_PER_S);
    let clips = scenario["clips"].as_array().unwrap();
    assert_eq!(clips.len(), DEMO_CLIPS.len());
    for (clip, made) in clips.iter().zip(DEMO_CLIPS) {
        assert_eq!(clip["label"], made.label);
        assert_eq!(clip["file"], format!("{}.mp4", made.label));
        assert_eq!(clip["speed"]["m_per_s"], FLOW_M_PER_S);
        assert_eq!(clip["view"], "side");
        assert_eq!(clip["kick"], "kick");
    }
}

/// Oracle: ffprobe (FFmpeg) on the committed clips.
#[test]
fn clips_have_the_promised_size_rate_and_frames() {
    for clip in DEMO_CLIPS {
        let file = here().join(format!("{}.mp4", clip.label));
        let bytes = std::fs::metadata(&file).unwrap().len();
        assert!(bytes < 3 * 1024 * 1024, "{} is {bytes} bytes", file.display());
        let output = Command::new("ffprobe")
            .args(["-v", "error", "-select_streams", "v:0", "-of", "json"])
            .args([
                "-show_entries",
                "stream=codec_name,width,height,pix_fmt,time_base:frame=pts,key_frame",
            ])
            .arg(&file)
            .output()
            .expect("ffprobe starts; install ffmpeg");
        let probed: Value = serde_json::from_slice(&output.stdout).unwrap();
        let stream = &probed["streams"][0];
        assert_eq!(stream["codec_name"], "h264");
        assert_eq!(
            (&stream["width"], &stream["height"]),
            (&Value::from(1280), &Value::from(720))
        );
        assert_eq!(stream["pix_fmt"], "yuv420p");
        assert_eq!(stream["time_base"], format!("1/{TIMESCALE}"));
        let frames = probed["frames"].as_array().unwrap();
        assert_eq!(frames.len(), FRAME_COUNT as usize);
        for (index, frame) in frames.iter().enumerate() {
            assert_eq!(
                frame["pts"],
                Value::from(index as i64 * FRAME_TICKS),
                "frame {index}"
            );
        }
        let keyframes: Vec<usize> = (0..frames.len())
            .filter(|index| frames[*index]["key_frame"] == 1)
            .collect();
        for pair in keyframes.windows(2) {
            assert!(pair[1] - pair[0] <= 60, "a keyframe every second");
        }
        assert_eq!(keyframes.first(), Some(&0));
        // `moov` before `mdat`, so that playing can start before the whole clip is there.
        let start = std::fs::read(&file).unwrap();
        let at = |name: &[u8]| start.windows(4).position(|window| window == name).unwrap();
        assert!(at(b"moov") < at(b"mdat"));
    }
}
