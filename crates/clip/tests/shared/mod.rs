//! The test clips, their listed facts, and the outside programs they are checked with.
#![allow(
    dead_code,
    clippy::panic,
    clippy::unwrap_used,
    reason = "each test uses a part and fails by panicking"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/clips")
}

/// One entry of `clips.json`.
pub struct Listed(Value);

impl Listed {
    pub fn file(&self) -> &str {
        self.0["file"].as_str().unwrap()
    }

    pub fn path(&self) -> PathBuf {
        folder().join(self.file())
    }

    pub fn opens(&self) -> bool {
        self.0["opens"].as_bool().unwrap()
    }

    pub fn number(&self, key: &str) -> Option<u64> {
        self.0[key].as_u64()
    }

    pub fn value(&self, key: &str) -> &Value {
        &self.0[key]
    }

    /// The numbers that the frames show, in presentation order.
    pub fn numbers(&self) -> Vec<u32> {
        if let Some(listed) = self.0["numbers"].as_array() {
            return listed
                .iter()
                .map(|number| u32::try_from(number.as_u64().unwrap()).unwrap())
                .collect();
        }
        let first = u32::try_from(self.number("first_number").unwrap()).unwrap();
        let count = u32::try_from(self.number("frames").unwrap()).unwrap();
        (first..first + count).collect()
    }
}

pub fn listed() -> Vec<Listed> {
    let text = std::fs::read_to_string(folder().join("clips.json")).unwrap();
    let all: Value = serde_json::from_str(&text).unwrap();
    all["clips"]
        .as_array()
        .unwrap()
        .iter()
        .cloned()
        .map(Listed)
        .collect()
}

/// What an outside program writes to its standard output.
pub fn output_of(program: &str, arguments: &[&str]) -> Vec<u8> {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| {
            panic!("{program} is needed for this test: apt-get install ffmpeg ({error})")
        });
    assert!(
        output.status.success(),
        "{program} {arguments:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    output.stdout
}

/// A packet as ffprobe sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Packet {
    pub presentation: i64,
    /// What the container says or implies, ticks.
    pub duration: i64,
    pub position: u64,
    pub size: u64,
    pub keyframe: bool,
    pub discarded: bool,
}

/// The packets of the first video track, in decode order.
pub fn packets(path: &Path) -> Vec<Packet> {
    let arguments = [
        "-v",
        "quiet",
        "-select_streams",
        "v:0",
        "-show_packets",
        "-of",
        "json",
    ];
    let output = output_of("ffprobe", &[&arguments[..], &[path.to_str().unwrap()]].concat());
    let json: Value = serde_json::from_slice(&output).unwrap();
    let packets = json["packets"].as_array().cloned().unwrap_or_default();
    packets
        .iter()
        .map(|packet| Packet {
            presentation: packet["pts"].as_i64().unwrap(),
            duration: packet["duration"].as_i64().unwrap_or(0),
            position: packet["pos"].as_str().unwrap().parse().unwrap(),
            size: packet["size"].as_str().unwrap().parse().unwrap(),
            keyframe: packet["flags"].as_str().unwrap().starts_with('K'),
            discarded: packet["flags"].as_str().unwrap().contains('D'),
        })
        .collect()
}
