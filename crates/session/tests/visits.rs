//! An athlete's sessions side by side. The swimmer and the clips are invented.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::json;
use stroke::compare::ConfounderKind;
use stroke::{AbsenceKind, MeasureKind, Side};
use support::{add_clip, command, flume_session};
use wetframe_session::{
    CycleSet, Document, History, HistoryEntry, SideBySide, Visit, Visits, another_swimmer, visits_csv,
};

/// A session with one clip of 60 frames/s for each list of frames on which the left hand enters.
fn session(id: &str, date: &str, label: &str, clips: &[&[i64]]) -> History {
    let mut history = History::new(Document::new(id, date).unwrap());
    if !label.is_empty() {
        let named = json!({"command": "edit_session", "change": {"athlete": {"label": label}}});
        history.apply(command(&named)).unwrap();
    }
    for (index, entries) in clips.iter().enumerate() {
        let clip = index + 1;
        let mut record = add_clip(&format!("{id}-{clip}.mp4"), 400);
        record["clip"]["frame_times"] = json!({"first": 0, "runs": [[400, 1_500]]});
        history.apply(command(&record)).unwrap();
        for frame in *entries {
            history
                .apply(command(
                    &json!({"command": "add_mark", "clip": clip, "kind": "entry", "side": "left",
                                       "time": frame * 1_500, "proof": "decoded"}),
                ))
                .unwrap();
        }
    }
    history
}

fn edit_clip(history: &mut History, clip: u32, change: serde_json::Value) {
    history
        .apply(command(
            &json!({"command": "edit_clip", "clip": clip, "change": change}),
        ))
        .unwrap();
}

fn visit(history: &History) -> Visit {
    Visit::of(history.document()).unwrap()
}

fn left(entry: &HistoryEntry) -> &wetframe_session::HistoryValue {
    let mut values = entry.values.iter();
    values.find(|value| value.side == Some(Side::Left)).unwrap()
}

const THREE_CYCLES: &[i64] = &[0, 84, 174, 270];
const TWO_CYCLES: &[i64] = &[0, 90, 180];

#[test]
fn a_history_is_by_date_whatever_the_order_of_opening() {
    let mut visits = Visits::default();
    for (id, date) in [
        ("c", "2026-05-01"),
        ("a", "2026-03-14"),
        ("b", "2025-12-30"),
        ("d", "2026-03-14"),
    ] {
        visits.put(visit(&session(id, date, "Mara", &[THREE_CYCLES])));
    }
    let history = visits.history(MeasureKind::CycleDuration);
    let order: Vec<String> = history
        .entries
        .iter()
        .map(|entry| {
            format!(
                "{} {} {}/{}",
                entry.date, entry.session, entry.of_day, entry.on_day
            )
        })
        .collect();
    assert_eq!(
        order,
        [
            "2025-12-30 b 1/1",
            "2026-03-14 a 1/2",
            "2026-03-14 d 2/2",
            "2026-05-01 c 1/1"
        ]
    );
}

/// Cycles of 84, 90 and 96 frames at 60 frames/s: 1.4, 1.5, 1.6 s, mean 1.5, SD 0.1. The 97.5 % quantile of Student's
/// t with 2 degrees of freedom is 4.302653 (Student's table, e.g. NIST/SEMATECH e-Handbook of Statistical Methods,
/// 1.3.6.7.2, where it is 4.303), so the interval is 1.5 ± 4.302653·0.1/√3 = 1.5 ± 0.248414.
#[test]
fn three_cycles_have_an_interval_two_have_the_frame_error() {
    let mut visits = Visits::default();
    visits.put(visit(&session(
        "a",
        "2026-03-14",
        "Mara",
        &[THREE_CYCLES, TWO_CYCLES, &[]],
    )));
    let history = visits.history(MeasureKind::CycleDuration);
    let three = left(&history.entries[0]);
    let [low, high] = three.interval.unwrap();
    assert_eq!(three.bar, three.interval);
    assert_eq!(three.n, 3);
    assert!((three.value.unwrap() - 1.5).abs() < 1e-12);
    assert!((low - (1.5 - 0.248_414)).abs() < 1e-6 && (high - (1.5 + 0.248_414)).abs() < 1e-6);

    let two = left(&history.entries[1]);
    assert_eq!((two.n, two.interval), (2, None));
    // The mean of two adjoining cycles is the time between two marks over two: SD of a mark is a frame over √12.
    let frame_error_s = (1.0 / 60.0) / 12.0_f64.sqrt() * 2.0_f64.sqrt() / 2.0;
    assert!((two.uncertainty.unwrap() - frame_error_s).abs() < 1e-12);

    let [low, high] = two.bar.unwrap();
    assert!((high - low - 2.0 * frame_error_s).abs() < 1e-12);

    let none = left(&history.entries[2]);
    assert_eq!((none.value, none.n), (None, 0));
    assert_eq!(none.absence.unwrap().kind, AbsenceKind::ArmNotMarked);
}

#[test]
fn the_same_session_is_taken_once_and_says_so() {
    let first = visit(&session("a", "2026-03-14", "Mara", &[THREE_CYCLES]));
    let mut visits = Visits::default();
    visits.add(first.clone(), "march.wetframe").unwrap();
    let trouble = visits.add(first, "copy of march.wetframe").unwrap_err().trouble();
    assert_eq!(trouble.kind, "visit_already_here");
    assert!(
        trouble.message.contains("copy of march.wetframe") && trouble.message.contains("2026-03-14"),
        "{}",
        trouble.message
    );
    assert_eq!(visits.in_order().len(), 1);
    assert!(visits.remove("a") && !visits.remove("a"));
    assert!(visits.history(MeasureKind::CycleDuration).entries.is_empty());
}

#[test]
fn a_changed_session_takes_the_place_of_its_earlier_state() {
    let mut history = session("a", "2026-03-14", "Mara", &[TWO_CYCLES]);
    let mut visits = Visits::default();
    visits.put(visit(&history));
    history
        .apply(command(
            &json!({"command": "add_mark", "clip": 1, "kind": "entry", "side": "left", "time": 270 * 1_500, "proof": "decoded"}),
        ))
        .unwrap();
    visits.put(visit(&history));
    let measured = visits.history(MeasureKind::CycleDuration);
    assert_eq!((measured.entries.len(), left(&measured.entries[0]).n), (1, 3));
}

#[test]
fn another_swimmer_is_named_beside_the_open_one() {
    let of_ben = session("b", "2026-03-14", "Ben", &[]);
    let trouble = another_swimmer("lane 4.wetframe", of_ben.document(), "Mara").unwrap();
    assert_eq!(
        trouble.message,
        "“lane 4.wetframe” is a session of “Ben”; the open session is of “Mara”."
    );
    assert_eq!(another_swimmer("x", of_ben.document(), " ben "), None);
    let unnamed = session("c", "2026-03-14", "", &[]);
    let trouble = another_swimmer("x", unnamed.document(), "").unwrap();
    assert_eq!(
        trouble.message,
        "“x” is a session of a swimmer without a label; the open session is of a swimmer without a label."
    );
}

#[test]
fn what_was_stated_otherwise_is_said_once() {
    let mut visits = Visits::default();
    let mut first = session("a", "2026-03-14", "Mara", &[THREE_CYCLES]);
    edit_clip(&mut first, 1, json!({"kick": "kick", "view": "side"}));
    let empty = session("b", "2026-03-20", "Mara", &[&[]]);
    let mut third = session("c", "2026-04-01", "Mara", &[THREE_CYCLES, THREE_CYCLES]);
    for clip in [1, 2] {
        edit_clip(
            &mut third,
            clip,
            json!({"kick": "no_kick", "view": "side", "aids": ["paddles"],
                   "speed": {"kind": "flume", "m_per_s": 1.25, "uncertainty_m_per_s": null}}),
        );
    }
    for history in [&first, &empty, &third] {
        visits.put(visit(history));
    }
    let changes: Vec<Vec<String>> = visits
        .history(MeasureKind::CycleDuration)
        .entries
        .into_iter()
        .map(|entry| entry.changes)
        .collect();
    let none = Vec::<String>::new();
    assert_eq!(
        changes,
        [
            none.clone(),
            none.clone(),
            vec![
                "kick: with kick → without kick".to_owned(),
                "aids: none → paddles".to_owned(),
                "speed: not stated → flume 1.25 m/s".to_owned()
            ],
            none
        ]
    );
}

/// A session against itself a day later, under other clip numbers, gives the numbers of the comparison within one.
#[test]
fn a_comparison_across_sessions_is_that_within_one() {
    let clips: [&[i64]; 2] = [THREE_CYCLES, &[0, 80, 161, 240]];
    let together = session("a", "2026-03-14", "Mara", &clips);
    let (one, other) = (
        session("b", "2026-03-14", " MARA", &[clips[0]]),
        session("c", "2026-05-02", "Mara", &[clips[1]]),
    );
    let set = |clip| CycleSet::of_clip(wetframe_session::ClipId(clip));
    let within = together
        .document()
        .comparison(&set(1), &set(2), false, &[])
        .unwrap();
    // Clip 1 of the one session is not clip 1 of the other: here it goes by the first number that is free.
    let beside = SideBySide::of(other.document(), &[one.document(), other.document()]);
    let named: Vec<(u32, &str, u32)> = beside
        .clips()
        .iter()
        .map(|clip| (clip.name, clip.session.as_str(), clip.clip.0))
        .collect();
    assert_eq!(named, [(1, "c", 1), (2, "b", 1)]);
    let across = beside.comparison(&set(2), &set(1), false, &[]).unwrap();
    let plain = |measures: &[stroke::compare::MeasureComparison]| -> Vec<serde_json::Value> {
        let numbers = measures.iter().map(|measure| {
            let mut measure = serde_json::to_value(measure).unwrap();
            for of in ["before", "after"] {
                for value in measure[of]["values"].as_array_mut().into_iter().flatten() {
                    value["clip"] = json!(null);
                }
            }
            measure
        });
        numbers.collect()
    };
    assert_eq!(plain(&across.measures), plain(&within.measures));
    let kinds: Vec<ConfounderKind> = across.confounders.iter().map(|found| found.kind).collect();
    assert_eq!(
        kinds,
        [ConfounderKind::DifferentDates, ConfounderKind::OperatorsNotKnown]
    );
    assert_eq!((across.before.clips, across.after.clips), (vec![2], vec![1]));
    assert!(beside.comparison(&set(9), &set(1), false, &[]).is_err());
}

#[test]
fn two_swimmers_are_a_confounder() {
    let (one, other) = (
        session("b", "2026-03-14", "Ben", &[THREE_CYCLES]),
        session("c", "2026-03-14", "Mara", &[THREE_CYCLES]),
    );
    let set = CycleSet::of_clip(wetframe_session::ClipId(1));
    let beside = SideBySide::of(other.document(), &[one.document()]);
    let of_ben = CycleSet::of_clip(wetframe_session::ClipId(2));
    let compared = beside.comparison(&of_ben, &set, false, &[]).unwrap();
    assert_eq!(
        compared.confounders[0].message,
        "The sets are of different swimmers: Ben before, Mara after."
    );
}

#[test]
fn only_what_is_measured_is_offered() {
    let mut visits = Visits::default();
    assert_eq!(visits.measured_kinds(), []);
    visits.put(visit(&session("a", "2026-03-14", "Mara", &[TWO_CYCLES])));
    assert_eq!(
        visits.measured_kinds(),
        [
            MeasureKind::CycleDuration,
            MeasureKind::StrokeRate,
            MeasureKind::CycleRate,
            MeasureKind::StrokeInterval
        ]
    );
}

/// The whole table of three small sessions; renew it with `WETFRAME_UPDATE=1`.
#[test]
fn the_table_is_as_it_was() {
    let mut visits = Visits::default();
    visits.put(Visit::of(&flume_session()).unwrap());
    visits.put(visit(&session("a", "2026-04-01", "=Mara", &[THREE_CYCLES, &[]])));
    let kinds = [
        MeasureKind::StrokeRate,
        MeasureKind::PropulsiveGap,
        MeasureKind::Speed,
    ];
    let table = visits_csv(&visits, &kinds).unwrap();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/visits.csv");
    if std::env::var_os("WETFRAME_UPDATE").is_some() {
        std::fs::write(path, &table).unwrap();
    }
    assert_eq!(table, std::fs::read_to_string(path).unwrap());
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<wetframe_session::VisitRow> = reader.deserialize().collect::<Result<_, _>>().unwrap();
    assert!(
        rows.windows(2)
            .all(|two| two[0].measure != two[1].measure || two[0].date <= two[1].date)
    );
}
