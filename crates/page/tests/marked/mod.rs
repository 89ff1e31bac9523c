//! A marked sitting for the tests across the boundary.

use js_sys::JSON;
use wetframe_page::Sitting;

/// A command that adds a clip.
pub const CLIP: &str = r#"{"command":"add_clip","clip":{
    "name":"lane 4.mp4","size_bytes":1000,"fingerprint":"ab12","container":"mp4","codec":"avc1.64001F",
    "width":1280,"height":720,"rotation_deg":0,"timescale":600,"frame_times":{"first":0,"runs":[[600,10]]},
    "capture_rate_fps":null}}"#;

/// The worked vectors' arm A as the left arm, the right arm 0.80 s later, three cycles: gaps of 200 and 100 ms.
pub fn marked() -> Sitting {
    let mut sitting = Sitting::create("s1", "2026-11-20").unwrap();
    sitting.apply(&JSON::parse(CLIP).unwrap()).unwrap();
    for cycle in 0..4 {
        for (side, offset) in [("left", 0), ("right", 480)] {
            for (kind, time) in [("entry", 0), ("catch", 270), ("mid_pull", 480), ("exit", 630)] {
                let time = cycle * 900 + offset + time;
                let command = format!(
                    r#"{{"command":"add_mark","clip":1,"kind":"{kind}","side":"{side}","time":{time},"proof":"decoded"}}"#
                );
                sitting.apply(&JSON::parse(&command).unwrap()).unwrap();
            }
        }
    }
    sitting
}
