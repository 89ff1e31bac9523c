//! The session file: what is written reads back the same, and what is wrong is named.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::path::PathBuf;
use std::sync::OnceLock;

use proptest::prelude::*;
use serde_json::{Value, json};
use support::{any_document, flume_session};
use wetframe_session::{
    Document, FORMAT, MeasuresSnapshot, Unreadable, VERSION, limits, read_file, session_file_schema,
    write_file,
};

fn written(document: &Document) -> Value {
    serde_json::from_slice(&write_file(document, "a test", None).unwrap()).unwrap()
}

fn validator() -> &'static jsonschema::Validator {
    static VALIDATOR: OnceLock<jsonschema::Validator> = OnceLock::new();
    VALIDATOR.get_or_init(|| jsonschema::validator_for(&session_file_schema()).unwrap())
}

#[track_caller]
fn unreadable(bytes: &[u8]) -> Unreadable {
    read_file(bytes).unwrap_err()
}

/// Kind, place and message of everything that is wrong.
fn listed(unreadable: &Unreadable) -> Vec<(String, String, String)> {
    let row = |trouble: wetframe_session::Trouble| {
        assert!(!trouble.hint.is_empty());
        (
            trouble.kind,
            trouble.place.path.unwrap_or_default(),
            trouble.message,
        )
    };
    unreadable
        .troubles("lane-4.wetframe")
        .into_iter()
        .map(row)
        .collect()
}

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// Compares with a committed file; `WETFRAME_UPDATE=1 cargo test` writes it anew.
#[track_caller]
fn equals_committed(name: &str, now: &str) {
    let path = path(name);
    if std::env::var_os("WETFRAME_UPDATE").is_some() {
        std::fs::write(&path, now).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        committed == now,
        "{name} is not what the code writes now; if that is meant, run WETFRAME_UPDATE=1 cargo test -p wetframe-session"
    );
}

proptest! {
    // Each case writes and checks a whole file.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_document_reads_back_as_it_was_written(document in any_document()) {
        let bytes = write_file(&document, "a test", None).unwrap();
        let opened = read_file(&bytes).unwrap();
        prop_assert_eq!(&opened.document, &document);
        prop_assert_eq!(write_file(&opened.document, "a test", None).unwrap(), bytes);
    }

    #[test]
    fn the_schema_accepts_every_file_that_is_written(document in any_document()) {
        let file = written(&document);
        let errors: Vec<String> = validator().iter_errors(&file).map(|error| error.to_string()).collect();
        prop_assert_eq!(errors, Vec::<String>::new());
    }

    #[test]
    fn no_bytes_break_the_reader(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        let _unreadable_or_not = read_file(&bytes);
    }

    /// One value anywhere in the file replaced: the reader says where, or the file still keeps every rule.
    #[test]
    fn a_spoilt_value_is_found_or_harmless(
        places in prop::collection::vec(any::<prop::sample::Index>(), 8),
        value in prop_oneof![
            Just(json!(null)), Just(json!(-1)), Just(json!(0)), Just(json!("x")), Just(json!([])), Just(json!({})),
            Just(json!(1e300)), Just(json!(4_294_967_295_u32)), Just(json!([[4_294_967_295_u32, 1]])), Just(json!(true)),
        ],
    ) {
        let mut file = written(&flume_session());
        let mut path = String::new();
        for place in places {
            let step = match file.pointer(&path) {
                Some(Value::Object(map)) if !map.is_empty() => map.keys().nth(place.index(map.len())).cloned(),
                Some(Value::Array(items)) if !items.is_empty() => Some(place.index(items.len()).to_string()),
                _ => None,
            };
            path.extend(step.map(|step| format!("/{step}")));
        }
        *file.pointer_mut(&path).unwrap() = value;
        match read_file(file.to_string().as_bytes()) {
            Ok(opened) => prop_assert_eq!(opened.document.faults(), vec![]),
            Err(unreadable) => prop_assert!(!unreadable.problems().is_empty()),
        }
    }
}

#[test]
fn the_sample_file_is_what_is_written_and_the_schema_accepts_it() {
    let measures = MeasuresSnapshot::of(&flume_session(), "wetframe 0.1.0").unwrap();
    let bytes = write_file(&flume_session(), "wetframe 0.1.0", Some(&measures)).unwrap();
    let opened = read_file(&bytes).unwrap();
    assert_eq!(
        (opened.document, opened.written_by.as_str()),
        (flume_session(), "wetframe 0.1.0")
    );
    let file = serde_json::from_slice(&bytes).unwrap();
    let errors: Vec<String> = validator()
        .iter_errors(&file)
        .map(|error| error.to_string())
        .collect();
    assert_eq!(errors, Vec::<String>::new());

    let text = String::from_utf8(bytes).unwrap();
    equals_committed("tests/files/flume-morning.wetframe", &text);
    let marks = text.lines().filter(|line| line.contains("\"proof\"")).count();
    let again: usize = flume_session()
        .remarkings
        .iter()
        .map(|remarking| remarking.marks.len())
        .sum();
    assert_eq!(
        marks,
        flume_session().mark_count() + again,
        "one line for each mark"
    );
}

#[test]
fn the_committed_schema_is_the_types_own_and_refuses_what_the_reader_refuses() {
    let schema = session_file_schema();
    let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
    equals_committed("wetframe.schema.json", &text);

    let validator = jsonschema::validator_for(&schema).unwrap();
    let good = written(&flume_session());
    assert!(validator.is_valid(&good));
    for (place, value) in [
        ("/format", json!("other")),
        ("/version", json!(2)),
        ("/session/date", json!("14.03.2026")),
        ("/session/clips/0/marks/0/kind", json!("elbow")),
        ("/session/clips/0/marks/0/time", json!(1.5)),
        ("/session/clips/0/timescale", json!(0)),
        ("/session/clips/0/view", json!("below")),
        ("/session/water", json!({"kind": "river"})),
        ("/session/clips/0/colour", json!("blue")),
    ] {
        let mut bad = good.clone();
        match bad.pointer_mut(place) {
            Some(field) => *field = value,
            None => {
                bad["session"]["clips"][0]["colour"] = value;
            }
        }
        assert!(!validator.is_valid(&bad), "{place}");
        assert!(read_file(bad.to_string().as_bytes()).is_err(), "{place}");
    }
}

#[test]
fn an_older_file_is_brought_up_to_this_version() {
    let bytes = std::fs::read(path("tests/files/version-0.wetframe")).unwrap();
    let opened = read_file(&bytes).unwrap();
    assert_eq!(opened.version, 0);
    let clip = &opened.document.clips[0];
    assert_eq!(clip.filmed_rate_fps, None);
    let marks: Vec<_> = clip
        .marks
        .iter()
        .map(|mark| (mark.id.0, mark.time.0, mark.proof))
        .collect();
    let not_proven = wetframe_session::Proof::NotProven;
    assert_eq!(marks, [(1, 40, not_proven), (4, 240, not_proven)]);
    assert_eq!((opened.document.next_clip.0, opened.document.next_mark.0), (3, 5));
    let notice = &opened.notices("early.wetframe")[0];
    assert_eq!(notice.kind, "file_older_version");
    assert!(notice.message.contains("“early.wetframe” has version 0"));
    assert_eq!(written(&opened.document)["version"], VERSION);

    // What is wrong in an old file is named too.
    let spoilt = String::from_utf8(bytes)
        .unwrap()
        .replace("\"time\": 40", "\"time\": 41");
    assert_eq!(
        listed(&unreadable(spoilt.as_bytes())),
        [(
            "no_frame_at_time".into(),
            "/session/clips/0/marks/0/time".into(),
            "“lane-4.wetframe”, /session/clips/0/marks/0/time: no frame of “first-try.mp4” starts at 41 ticks; \
             the nearest is frame 2 at 40"
                .into()
        )]
    );
}

#[test]
fn a_newer_file_is_refused_with_what_to_do() {
    let mut file = written(&flume_session());
    file["version"] = json!(2);
    file["session"]["something_new"] = json!([1, 2, 3]);
    let trouble = unreadable(file.to_string().as_bytes())
        .trouble("next.wetframe")
        .unwrap();
    assert_eq!(trouble.kind, "file_newer_version");
    assert_eq!(
        trouble.message,
        "“next.wetframe” cannot be opened: it has version 2 of the session format; this program reads up to version 1"
    );
    assert_eq!(
        trouble.hint,
        "Reload the page to get the newest wetframe, then open it again."
    );
}

#[test]
fn what_is_no_session_file_is_refused_by_what_it_is() {
    let clip = b"\x00\x00\x00\x20ftypisom\x00\x00\x02\x00\xff\xfe";
    let nested = "[".repeat(100_000);
    let deep = format!(
        r#"{{"format":"wetframe","version":1,"measures":{}1"#,
        "[".repeat(100_000)
    );
    for (bytes, kind) in [
        (&b""[..], "file_empty"),
        (b" \n", "file_empty"),
        (clip, "file_not_text"),
        (b"Mara, 14 March", "file_not_json"),
        (
            br#"{"format":"wetframe","version":1,"written_by":"x","session":{"id":"a","#,
            "file_not_json",
        ),
        (
            br#"{"format":"wetframe","version":1,"session":{"clips":[],"notes":NaN}}"#,
            "file_not_json",
        ),
        (
            br#"{"format":"wetframe","version":1,"session":{"clips":[],"water":{"kind":"pool","length_m":1e999}}}"#,
            "file_not_json",
        ),
        (nested.as_bytes(), "file_not_json"),
        (deep.as_bytes(), "file_not_json"),
        (b"[1, 2, 3]", "file_wrong_form"),
        (b"{}", "file_not_a_session"),
        (br#"{"format":"geojson","version":1}"#, "file_not_a_session"),
        (br#"{"format":"wetframe"}"#, "file_no_version"),
        (br#"{"format":"wetframe","version":"1"}"#, "file_no_version"),
        (br#"{"format":"wetframe","version":-1}"#, "file_no_version"),
        (
            br#"{"format":"wetframe","version":99999999999}"#,
            "file_newer_version",
        ),
    ] {
        let text = String::from_utf8_lossy(&bytes[..bytes.len().min(60)]).into_owned();
        assert_eq!(listed(&unreadable(bytes))[0].0, kind, "{text}");
    }
}

#[test]
fn broken_json_is_named_with_line_and_column() {
    let good = String::from_utf8(write_file(&flume_session(), "a test", None).unwrap()).unwrap();
    let cut = &good[..good.len() / 2];
    let trouble = unreadable(cut.as_bytes()).trouble("cut.wetframe").unwrap();
    assert_eq!(trouble.kind, "file_not_json");
    assert_eq!(trouble.place.line, Some(cut.lines().count()));
    assert_eq!(trouble.place.file.as_deref(), Some("cut.wetframe"));
    assert!(
        trouble
            .message
            .starts_with("“cut.wetframe” cannot be opened: it is not JSON: EOF")
    );
}

#[test]
fn a_file_of_200_mb_is_refused_before_it_is_parsed() {
    // Not UTF-8 from the first byte: had it been looked at, the message would say so.
    let bytes = vec![0xff; 200_000_000];
    assert_eq!(
        listed(&unreadable(&bytes)),
        [(
            "file_too_large".into(),
            String::new(),
            "“lane-4.wetframe” cannot be opened: it is larger than 64 MiB, the most that a session file can have"
                .into()
        )]
    );
}

#[test]
fn a_small_file_that_claims_endless_frames_is_refused_before_memory_is_asked_for() {
    let mut file = written(&flume_session());
    let clip = file["session"]["clips"][0].clone();
    let clips: Vec<Value> = (1..=60)
        .map(|id| {
            let mut clip = clip.clone();
            clip["id"] = json!(id);
            clip["marks"] = json!([]);
            clip["frame_times"] = json!({"first": 0, "runs": [[30_000_000, 1]]});
            clip
        })
        .collect();
    file["session"]["clips"] = json!(clips);
    file["session"]["next_clip"] = json!(61);
    let list = listed(&unreadable(file.to_string().as_bytes()));
    assert_eq!(
        (list[0].0.as_str(), list[0].1.as_str()),
        ("too_many", "/session/clips")
    );
}

#[test]
fn every_wrong_field_is_listed_with_its_place() {
    let mut file = written(&flume_session());
    let session = &mut file["session"];
    session["date"] = json!("2026-02-30");
    session["athlete"]["under_18"] = json!("no");
    session["colour"] = json!("blue");
    session["clips"][0]["timescale"] = json!(0);
    session["clips"][0]["marks"][2]["kind"] = json!("elbow");
    session["clips"][1]["marks"][0]
        .as_object_mut()
        .unwrap()
        .remove("proof");
    session["clips"][1]["marks"][1] = json!(7);
    session["clips"][1]["frame_times"]["runs"][0][1] = json!(-1500);
    let unreadable = unreadable(file.to_string().as_bytes());
    let places: Vec<_> = listed(&unreadable)
        .into_iter()
        .map(|(kind, path, _)| (kind, path))
        .collect();
    let expected = [
        ("file_wrong_form", "/session/athlete/under_18"),
        ("file_wrong_form", "/session/date"),
        ("file_wrong_form", "/session/clips/0/timescale"),
        ("file_wrong_form", "/session/clips/0/marks/2/kind"),
        ("file_wrong_form", "/session/clips/1/frame_times"),
        ("file_missing_field", "/session/clips/1/marks/0"),
        ("file_wrong_form", "/session/clips/1/marks/1"),
        ("file_unknown_field", "/session"),
    ];
    assert_eq!(
        places,
        expected.map(|(kind, path)| (kind.to_owned(), path.to_owned()))
    );
    let trouble = unreadable.trouble("lane-4.wetframe").unwrap();
    assert!(
        trouble.message.ends_with("(and 7 more problems)"),
        "{}",
        trouble.message
    );
}

#[test]
fn every_broken_rule_is_listed_with_its_place() {
    let mut file = written(&flume_session());
    let session = &mut file["session"];
    session["id"] = json!("../secrets");
    session["water"]["speed_m_per_s"] = json!(-1);
    let marks = &mut session["clips"][0]["marks"];
    marks[1]["time"] = json!(6_001);
    marks[3]["id"] = marks[2]["id"].clone();
    marks[4]["side"] = json!("both");
    let twice = marks[6].clone();
    marks[7]["kind"] = twice["kind"].clone();
    marks[7]["side"] = twice["side"].clone();
    marks[7]["time"] = twice["time"].clone();
    session["clips"][1]["filmed_rate_fps"] = json!(0);
    session["clips"][1]["rotation_deg"] = json!(45);
    session["clips"][1]["duplicated_frames"] = json!([19, 7]);
    session["next_mark"] = json!(5);
    let list = listed(&unreadable(file.to_string().as_bytes()));
    for (kind, path) in [
        ("session_id", "/session/id"),
        ("out_of_range", "/session/water"),
        ("no_frame_at_time", "/session/clips/0/marks/1/time"),
        ("id_used_twice", "/session/clips/0/marks/3/id"),
        ("side_not_possible", "/session/clips/0/marks/4/side"),
        ("mark_exists", "/session/clips/0/marks/7"),
        ("out_of_range", "/session/clips/1/filmed_rate_fps"),
        ("rotation", "/session/clips/1/rotation_deg"),
        ("duplicated_frame", "/session/clips/1/duplicated_frames"),
        ("id_not_below_next", "/session/clips/1/marks/0/id"),
    ] {
        assert!(
            list.iter()
                .any(|(a, b, _)| (a.as_str(), b.as_str()) == (kind, path)),
            "{kind} at {path} in {list:#?}"
        );
    }
}

#[test]
fn a_field_that_stands_twice_is_refused() {
    let good = String::from_utf8(write_file(&flume_session(), "a test", None).unwrap()).unwrap();
    let twice = good.replacen("\"notes\":", "\"notes\": \"one\",\n    \"notes\":", 1);
    let list = listed(&unreadable(twice.as_bytes()));
    assert_eq!(list[0].0, "file_wrong_form");
    assert!(list[0].2.contains("duplicate field `notes`"), "{}", list[0].2);
}

#[test]
fn thousands_of_problems_are_counted_not_listed() {
    let mut file = written(&flume_session());
    let marks: Vec<Value> = (0..3_000)
        .map(|index| json!({"id": index + 1, "kind": "entry", "side": "left", "time": -1 - index, "proof": "decoded"}))
        .collect();
    file["session"]["clips"].as_array_mut().unwrap().truncate(1);
    file["session"]["clips"][0]["marks"] = json!(marks);
    file["session"]["remarkings"] = json!([]);
    file["session"]["comparisons"] = json!([]);
    file["session"]["next_mark"] = json!(10_000);
    let unreadable = unreadable(file.to_string().as_bytes());
    assert_eq!(unreadable.problems().len(), 101);
    let last = listed(&unreadable).pop().unwrap();
    assert!(last.2.contains("2900 more problems are not listed"), "{}", last.2);
    assert!(
        unreadable
            .trouble("x")
            .unwrap()
            .message
            .ends_with("(and 2999 more problems)")
    );
}

#[test]
fn marks_in_any_order_and_a_byte_order_mark_are_accepted() {
    let mut file = written(&flume_session());
    file["session"]["clips"][0]["marks"]
        .as_array_mut()
        .unwrap()
        .reverse();
    let text = format!("\u{feff}{file}");
    assert_eq!(read_file(text.as_bytes()).unwrap().document, flume_session());
}

#[test]
fn measures_in_a_file_are_not_read_back() {
    let mut file = written(&flume_session());
    file["measures"] = json!({"computed_by": "something else", "clips": "not even a list"});
    assert_eq!(
        read_file(file.to_string().as_bytes()).unwrap().document,
        flume_session()
    );
    assert_eq!(file["format"], FORMAT);
    const { assert!(limits::MOST_FILE_BYTES == 67_108_864) };
}
