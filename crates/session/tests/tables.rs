//! CSV tables.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use proptest::prelude::*;
use serde_json::json;
use stroke::{MeasureKind, Side, Unit};
use support::{any_document, command, flume_session, history};
use wetframe_session::{MeasureRow, marks_csv, measures_csv, read_marks_csv};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_marks_read_back_as_they_were_written(document in any_document()) {
        let text = marks_csv(&document).unwrap();
        prop_assert_eq!(read_marks_csv(&text).unwrap(), document.mark_rows().unwrap());
    }

    /// A spreadsheet computes a cell that starts with one of these; a number may start with a minus.
    #[test]
    fn no_cell_is_a_formula(document in any_document()) {
        let text = marks_csv(&document).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        for record in reader.records() {
            for cell in &record.unwrap() {
                let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
                prop_assert!(!formula || cell.parse::<f64>().is_ok(), "{}", cell);
            }
        }
    }
}

#[test]
fn the_first_lines_are_these() {
    let text = marks_csv(&flume_session()).unwrap();
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(
        lines[..3],
        [
            "clip,mark,kind,side,frame,presentation_ticks,timescale,true_time_s,proof,clip_id,clip_name",
            "before,1,pass,,0,0,90000,0.0,not_proven,1,IMG_0411.MOV",
            "before,3,entry,left,4,6000,90000,0.06666666666666667,decoded,1,IMG_0411.MOV",
        ]
    );
    // RFC 4180, 2.1: lines end in CR LF; the last one may.
    assert_eq!(lines.last(), Some(&""));
    assert!(!text.replace("\r\n", "").contains(['\r', '\n']));
    // Filmed at 240 frames/s and played at 60: frame 4 is 4/240 s after the start.
    let slow = lines
        .iter()
        .find(|line| line.starts_with("after,") && line.contains(",entry,left,4,"))
        .unwrap();
    let true_time_s: f64 = slow.split(',').nth(7).unwrap().parse().unwrap();
    assert!((true_time_s - 4.0 / 240.0).abs() < 1e-15, "{slow}");
}

#[test]
fn a_document_without_marks_still_names_its_columns() {
    let document = wetframe_session::Document::new("a", "2026-03-14").unwrap();
    assert_eq!(marks_csv(&document).unwrap().lines().count(), 1);
}

#[test]
fn clips_of_one_name_are_told_apart_and_formulas_neutralised() {
    let mut history = history();
    for (clip, label) in [(1, "=1+1"), (2, "=1+1")] {
        history
            .apply(command(
                &json!({"command": "edit_clip", "clip": clip, "change": {"label": label}}),
            ))
            .unwrap();
    }
    let text = marks_csv(history.document()).unwrap();
    assert!(text.contains("\r\n'=1+1 #1,1,entry,"), "{text}");
    assert!(text.contains("\r\n'=1+1 #2,3,pass,"), "{text}");
    assert_eq!(read_marks_csv(&text).unwrap()[0].clip.0, "=1+1 #1");
}

#[test]
fn a_wrong_table_is_named_with_its_line() {
    let good = marks_csv(&flume_session()).unwrap();
    for (bad, line, words) in [
        (good.replacen("entry", "elbow", 1), 3, "elbow"),
        (
            good.replacen(",proof,", ",evidence,", 1),
            2,
            "missing field `proof`",
        ),
        (good.replacen(",6000,", ",six,", 1), 3, "column 6"),
        (
            good.replacen("before,3,", "before,", 1),
            3,
            "it has 10 cells, not 11",
        ),
    ] {
        let trouble = read_marks_csv(&bad).unwrap_err();
        assert!(
            trouble.line == line && trouble.reason.contains(words),
            "{trouble}"
        );
        assert_eq!(
            trouble.trouble("marks.csv").place.file.as_deref(),
            Some("marks.csv")
        );
    }
}

#[test]
fn the_measures_have_exactly_these_columns_and_every_measure_is_there() {
    let document = flume_session();
    let text = measures_csv(&document).unwrap();
    assert!(
        text.starts_with("clip,side,cycle,breathing,measure,value,unit,uncertainty,n,reason\r\n"),
        "{text}"
    );
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<MeasureRow> = reader.deserialize().map(Result::unwrap).collect();
    assert_eq!(rows, document.measure_rows().unwrap());
    let analysed: usize = document
        .clips
        .iter()
        .map(|clip| clip.analyse().unwrap().measures.len())
        .sum();
    assert_eq!(rows.len(), analysed);
    assert_eq!(rows.iter().filter_map(|row| row.cycle).min(), Some(1));
    for row in &rows {
        assert_eq!(row.value.is_none(), row.uncertainty.is_none());
        assert!(row.value.is_some() || row.reason.contains(": "), "{row:?}");
    }
}

/// Entries 90 frames apart: 1.5 s at 60 frames/s; the second clip was filmed at 240 and plays at 60, so that
/// its 90 frames are 0.375 s of the swimmer. With the frame's length d, the time between two marks has the
/// standard uncertainty d/√6; the mean of two cycles, which share an entry, half of that.
#[test]
fn measures_are_in_true_seconds_with_their_uncertainty() {
    let rows = flume_session().measure_rows().unwrap();
    let mean = |clip: &str| {
        rows.iter()
            .find(|row| {
                row.clip.0 == clip
                    && row.measure == MeasureKind::CycleDuration
                    && row.side == Some(Side::Left)
                    && row.cycle.is_none()
            })
            .unwrap()
    };
    for (clip, duration_s, rate_fps) in [("before", 1.5, 60.0), ("after", 0.375, 240.0)] {
        let row = mean(clip);
        assert!((row.value.unwrap() - duration_s).abs() < 1e-12, "{row:?}");
        let uncertainty_s = 1.0 / (rate_fps * 6.0_f64.sqrt()) / 2.0;
        assert!(
            (row.uncertainty.unwrap() - uncertainty_s).abs() < 1e-12,
            "{row:?}"
        );
        assert_eq!((row.n, row.unit), (2, Unit::Seconds));
    }
    // No breath is marked, and the table says so instead of a number.
    let breath = rows
        .iter()
        .find(|row| row.measure == MeasureKind::StrokesPerBreath)
        .unwrap();
    assert_eq!(
        (breath.value, breath.reason.as_str()),
        (None, "no_breath_marked: No breath is marked.")
    );
}

#[test]
fn a_measure_in_doubt_says_so_in_its_row() {
    let mut history = wetframe_session::History::new(flume_session());
    let second_catch = json!({"command": "add_mark", "clip": 1, "kind": "catch", "side": "left", "time": 46_500, "proof": "decoded"});
    history.apply(command(&second_catch)).unwrap();
    let rows = history.document().measure_rows().unwrap();
    let doubted: Vec<_> = rows
        .iter()
        .filter(|row| row.reason.contains("event_twice_in_stroke"))
        .collect();
    assert!(!doubted.is_empty());
    assert!(doubted.iter().all(|row| row.clip.0 == "before"));
}
