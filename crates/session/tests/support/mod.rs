//! Documents and commands for the tests of this crate; the swimmer and the clips are invented.

#![allow(dead_code, reason = "each test file uses its own part")]

use proptest::prelude::*;
use serde_json::{Value, json};
use wetframe_session::{Command, Document, History};

/// An add_clip command: `frames` frames at 60 frames/s on a clock of 90,000, with one late frame.
pub fn add_clip(name: &str, frames: u32) -> Value {
    json!({"command": "add_clip", "clip": {
        "name": name,
        "size_bytes": 2_480_113,
        "fingerprint": "5b1e4f0c9a7d3e6288f1",
        "container": "mp4",
        "codec": "avc1.64001F",
        "width": 1280,
        "height": 720,
        "rotation_deg": 0,
        "timescale": 90_000,
        "frame_times": {"first": 0, "runs": [[frames - 5, 1_500], [1, 3_000], [4, 1_500]]},
        "capture_rate_fps": null,
    }})
}

pub fn command(value: &Value) -> Command {
    Command::from_json(&value.to_string()).unwrap()
}

/// A session with two clips of 40 frames and a few marks.
pub fn history() -> History {
    let mut history = History::new(Document::new("flume-morning", "2026-03-14").unwrap());
    for value in [
        add_clip("before.mp4", 40),
        add_clip("after.mp4", 40),
        json!({"command": "add_mark", "clip": 1, "kind": "entry", "side": "left", "time": 1_500, "proof": "decoded"}),
        json!({"command": "add_mark", "clip": 1, "kind": "catch", "side": "left", "time": 9_000, "proof": "sought"}),
        json!({"command": "add_mark", "clip": 2, "kind": "pass", "time": 0, "proof": "not_proven"}),
        json!({"command": "add_remarking", "clip": 1}),
    ] {
        history.apply(command(&value)).unwrap();
    }
    history
}

fn clip_id() -> impl Strategy<Value = u32> {
    prop_oneof![8 => 1..4_u32, 1 => any::<u32>()]
}

fn mark_id() -> impl Strategy<Value = u32> {
    prop_oneof![12 => 1..12_u32, 1 => any::<u32>()]
}

/// Mostly the start of a frame, sometimes not.
fn time() -> impl Strategy<Value = i64> {
    prop_oneof![20 => (0..42_i64).prop_map(|frame| frame * 1_500), 1 => any::<i64>()]
}

fn kind() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "entry",
        "catch",
        "mid_pull",
        "exit",
        "exhale_start",
        "face_turn",
        "mouth_clear",
        "face_return",
        "kick_out_start",
        "kick_out_end",
        "downbeat",
        "pass",
    ])
}

fn side() -> impl Strategy<Value = Option<&'static str>> {
    prop::sample::select(vec![
        Some("left"),
        Some("right"),
        Some("left"),
        Some("right"),
        Some("both"),
        None,
    ])
}

fn proof() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["decoded", "sought", "not_proven"])
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[a-z=+@'\" ,äü🏊-]{0,12}",
        1 => ".{0,250}",
    ]
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![6 => 0.5..9.0_f64, 1 => prop::sample::select(vec![0.0, -1.0, 1e300, 240.0])]
}

fn clip_change() -> impl Strategy<Value = Value> {
    let view = prop::sample::select(vec![
        json!("side"),
        json!("front"),
        json!("above"),
        json!("rear"),
        json!(null),
    ]);
    let aids = prop::collection::vec(
        prop::sample::select(vec!["buoy", "fins", "snorkel", "paddles"]),
        0..5,
    );
    prop_oneof![
        text().prop_map(|name| json!({ "name": name })),
        text().prop_map(|label| json!({ "label": label })),
        number().prop_map(|rate| json!({ "filmed_rate_fps": rate })),
        (view, aids).prop_map(|(view, aids)| json!({"view": view, "aids": aids, "filmed_rate_fps": null})),
        number().prop_map(
            |speed| json!({"speed": {"kind": "flume", "m_per_s": speed, "uncertainty_m_per_s": null}})
        ),
        number().prop_map(
            |pace| json!({"speed": {"kind": "pace", "s_per_100_m": pace * 15.0}, "kick": "no_kick"})
        ),
        number()
            .prop_map(|distance| json!({"speed": {"kind": "passes", "distance_m": distance}, "kick": null})),
        prop::collection::vec(0..45_u32, 0..4).prop_map(|frames| json!({ "duplicated_frames": frames })),
        text().prop_map(|notes| json!({"notes": notes, "speed": null, "duplicated_frames": null})),
    ]
}

fn session_change() -> impl Strategy<Value = Value> {
    let date = prop_oneof![3 => "20[0-9]{2}-0[1-9]-[012][0-9]", 1 => ".{0,12}"];
    prop_oneof![
        (text(), any::<Option<bool>>())
            .prop_map(|(label, under_18)| json!({"athlete": {"label": label, "under_18": under_18}})),
        text().prop_map(|consent| json!({"athlete": {"consent": consent}})),
        date.prop_map(|date| json!({ "date": date })),
        text().prop_map(|notes| json!({"notes": notes, "water": null})),
        number().prop_map(|length| json!({"water": {"kind": "pool", "length_m": length * 10.0}})),
        number().prop_map(|speed| json!({"water": {"kind": "flume", "speed_m_per_s": speed}})),
        (text(), text()).prop_map(|(action, key)| json!({"settings": {"keys": {action: key}}})),
        number().prop_map(|delay| json!({"settings": {"tap_reaction_ms": delay}})),
    ]
}

/// A command of a second marking.
fn remarking_command() -> impl Strategy<Value = Value> {
    let remarking = || prop_oneof![10 => 1..4_u32, 1 => any::<u32>()];
    let asked = || prop_oneof![10 => 1..6_u32, 1 => any::<u32>()];
    let stretch_end = || prop::option::of(time());
    prop_oneof![
        2 => (clip_id(), stretch_end(), stretch_end()).prop_map(|(clip, from, to)| json!({"command": "add_remarking", "clip": clip, "from": from, "to": to})),
        6 => (remarking(), asked(), time(), proof()).prop_map(|(remarking, asked, time, proof)| json!({"command": "add_remark", "remarking": remarking, "asked": asked, "time": time, "proof": proof})),
        3 => (remarking(), asked(), time(), proof()).prop_map(|(remarking, asked, time, proof)| json!({"command": "move_remark", "remarking": remarking, "asked": asked, "time": time, "proof": proof})),
        2 => (remarking(), asked()).prop_map(|(remarking, asked)| json!({"command": "skip_remark", "remarking": remarking, "asked": asked})),
        2 => (remarking(), asked()).prop_map(|(remarking, asked)| json!({"command": "delete_remark", "remarking": remarking, "asked": asked})),
        1 => remarking().prop_map(|remarking| json!({"command": "finish_remarking", "remarking": remarking})),
        1 => remarking().prop_map(|remarking| json!({"command": "remove_remarking", "remarking": remarking})),
    ]
}

fn cycle_set() -> impl Strategy<Value = Value> {
    let part = (clip_id(), prop::option::of(time()), prop::option::of(time()))
        .prop_map(|(clip, from, to)| json!({"clip": clip, "from": from, "to": to}));
    let breathing = prop::sample::select(vec!["all", "breathing", "non_breathing"]);
    (prop::collection::vec(part, 0..3), breathing)
        .prop_map(|(parts, breathing)| json!({"parts": parts, "breathing": breathing}))
}

/// A command of a comparison.
fn comparison_command() -> impl Strategy<Value = Value> {
    let comparison = || prop_oneof![10 => 1..4_u32, 1 => any::<u32>()];
    let kinds = || prop::collection::vec(prop::sample::select(vec!["propulsive_gap", "stroke_rate"]), 0..3);
    prop_oneof![
        3 => (text(), cycle_set(), cycle_set(), any::<bool>(), kinds()).prop_map(|(label, before, after, paired, kinds)| json!({"command": "add_comparison", "comparison": {"label": label, "before": before, "after": after, "paired": paired, "kinds": kinds}})),
        1 => (comparison(), text()).prop_map(|(comparison, label)| json!({"command": "edit_comparison", "comparison": comparison, "change": {"label": label}})),
        2 => (comparison(), cycle_set(), kinds()).prop_map(|(comparison, after, kinds)| json!({"command": "edit_comparison", "comparison": comparison, "change": {"after": after, "kinds": kinds, "paired": true}})),
        1 => comparison().prop_map(|comparison| json!({"command": "remove_comparison", "comparison": comparison})),
    ]
}

/// A command that is no group; about two in three can be done.
fn single_command() -> impl Strategy<Value = Value> {
    prop_oneof![
        12 => (clip_id(), kind(), side(), time(), proof()).prop_map(|(clip, kind, side, time, proof)| {
            let side = if kind == "pass" { None } else { side };
            json!({"command": "add_mark", "clip": clip, "kind": kind, "side": side, "time": time, "proof": proof})
        }),
        5 => (mark_id(), time(), proof()).prop_map(|(mark, time, proof)| json!({"command": "move_mark", "mark": mark, "time": time, "proof": proof})),
        4 => (mark_id(), kind(), side()).prop_map(|(mark, kind, side)| json!({"command": "retype_mark", "mark": mark, "kind": kind, "side": side})),
        3 => prop::collection::vec(mark_id(), 0..4).prop_map(|marks| json!({"command": "delete_marks", "marks": marks})),
        3 => (clip_id(), clip_change()).prop_map(|(clip, change)| json!({"command": "edit_clip", "clip": clip, "change": change})),
        3 => session_change().prop_map(|change| json!({"command": "edit_session", "change": change})),
        1 => (text(), 6..30_u32).prop_map(|(name, frames)| add_clip(&name, frames)),
        1 => clip_id().prop_map(|clip| json!({"command": "remove_clip", "clip": clip})),
        8 => remarking_command(),
        5 => comparison_command(),
    ]
}

/// Any command.
pub fn any_command() -> impl Strategy<Value = Value> {
    prop_oneof![
        9 => single_command(),
        1 => (text(), prop::collection::vec(single_command(), 0..5))
            .prop_map(|(label, commands)| json!({"command": "group", "label": label, "commands": commands})),
    ]
}

/// A document that commands have made.
pub fn any_document() -> impl Strategy<Value = Document> {
    prop::collection::vec(any_command(), 0..40).prop_map(|commands| {
        let mut history = history();
        for value in &commands {
            let _refused_or_not = history.apply(command(value));
        }
        history.document().clone()
    })
}

/// A session such as a coach would save: two clips of an invented adult swimmer in a flume, before and
/// after a cue, the second in slow motion.
pub fn flume_session() -> Document {
    let mut history = History::new(Document::new("flume-morning", "2026-03-14").unwrap());
    let mut slow = add_clip("IMG_0412.MOV", 300);
    slow["clip"]["filmed_rate_fps"] = json!(240.0);
    slow["clip"]["capture_rate_fps"] = json!(240.0);
    slow["clip"]["label"] = json!("after");
    slow["clip"]["view"] = json!("side");
    slow["clip"]["kick"] = json!("no_kick");
    slow["clip"]["aids"] = json!(["snorkel", "buoy"]);
    slow["clip"]["speed"] = json!({"kind": "flume", "m_per_s": 1.3, "uncertainty_m_per_s": 0.02});
    slow["clip"]["duplicated_frames"] = json!([7, 19]);
    let mut commands = vec![
        json!({"command": "edit_session", "change": {
            "athlete": {"label": "Mara", "under_18": false, "consent": "Agreed on 14 March; coach and swimmer only."},
            "notes": "Cue in between: \"reach past the lane line\".\nWater 27 °C.",
            "water": {"kind": "flume", "speed_m_per_s": 1.3},
            "settings": {"keys": {"left_entry": "KeyQ"}, "tap_reaction_ms": 180.0},
        }}),
        add_clip("IMG_0411.MOV", 300),
        slow,
        json!({"command": "edit_clip", "clip": 1, "change": {"label": "before", "speed": {"kind": "pace", "s_per_100_m": 76.9}}}),
        json!({"command": "add_mark", "clip": 1, "kind": "pass", "time": 0, "proof": "not_proven"}),
        json!({"command": "add_mark", "clip": 1, "kind": "kick_out_start", "side": "both", "time": 60_000, "proof": "sought"}),
    ];
    for clip in [1, 2] {
        for cycle in 0..3_i64 {
            for (side, offset) in [("left", 0), ("right", 45)] {
                for (kind, frame) in [("entry", 4), ("catch", 30), ("mid_pull", 51), ("exit", 66)] {
                    let time = (frame + offset + 90 * cycle) * 1_500;
                    if time < 295 * 1_500 {
                        commands.push(json!({"command": "add_mark", "clip": clip, "kind": kind, "side": side, "time": time, "proof": "decoded"}));
                    }
                }
            }
        }
    }
    // The first stroke of the first clip was marked again, one event passed over; a second pass goes on.
    commands.push(json!({"command": "add_remarking", "clip": 1, "from": 6_000, "to": 99_000}));
    for (asked, frame) in [(3, 5), (4, 29), (5, 51)] {
        commands.push(json!({"command": "add_remark", "remarking": 1, "asked": asked, "time": frame * 1_500, "proof": "decoded"}));
    }
    commands.push(json!({"command": "skip_remark", "remarking": 1, "asked": 6}));
    commands.push(json!({"command": "finish_remarking", "remarking": 1}));
    commands.push(json!({"command": "add_remarking", "clip": 2, "to": 99_000}));
    commands.push(
        json!({"command": "add_comparison", "comparison": {"label": "The cue",
        "before": {"parts": [{"clip": 1, "from": 6_000, "to": null}], "breathing": "all"},
        "after": {"parts": [{"clip": 2}], "breathing": "all"},
        "kinds": ["propulsive_gap", "stroke_rate"]}}),
    );
    for value in &commands {
        history.apply(command(value)).unwrap();
    }
    history.document().clone()
}
