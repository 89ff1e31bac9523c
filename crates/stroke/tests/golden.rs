//! A whole passage's measures as a file, so that a change to any number is seen and said.
//!
//! Expected: `tests/golden/measures.csv`, an invented swim. `WETFRAME_ACCEPT=1 cargo test -p wetframe-stroke
//! --test golden` writes it again.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test")]

mod common;

use std::fmt::Write;

use common::Marks;
use wetframe_stroke::{MarkKind, Passage, Side, Speed, analyse};

/// Both arms, two breaths with their kick-outs, downbeats, one entry that is wrong and one that is missing.
fn swim() -> Marks {
    let mut marks = Marks::default();
    marks
        .arm(Side::Left, 40, [0, 28, 50, 64], 91, 5)
        .arm(Side::Right, 87, [0, 26, 49, 65], 90, 5);
    marks.0.retain(|mark| mark.id.0 != 10);
    marks
        .0
        .iter_mut()
        .filter(|mark| mark.id.0 == 31)
        .for_each(|mark| mark.time.0 -= 50);
    for start in [140, 320] {
        for (kind, offset) in [
            (MarkKind::ExhaleStart, 0),
            (MarkKind::FaceTurn, 31),
            (MarkKind::MouthClear, 46),
            (MarkKind::FaceReturn, 70),
        ] {
            marks.push(kind, Some(Side::Right), start + offset);
        }
        marks.push(MarkKind::KickOutStart, Some(Side::Both), start + 44);
        marks.push(MarkKind::KickOutEnd, Some(Side::Both), start + 63);
    }
    for beat in 0..36 {
        marks.push(
            MarkKind::Downbeat,
            Some(if beat % 2 == 0 { Side::Left } else { Side::Right }),
            35 + 15 * beat,
        );
    }
    marks
}

fn written() -> String {
    let clock = common::constant_clock(60, 1, 620);
    let marks = swim();
    let speed = Some(Speed::Flume {
        m_per_s: 1.25,
        uncertainty_m_per_s: Some(0.01),
    });
    let analysis = analyse(&Passage {
        clock: &clock,
        marks: &marks.0,
        speed,
    });
    let mut text = String::new();
    for flag in &analysis.flags {
        writeln!(text, "# {:?}: {}", flag.kind, flag.message).unwrap();
    }
    writeln!(
        text,
        "kind,side,cycle,breathing,value,uncertainty,unit,n,sd,low,high,absence,flags"
    )
    .unwrap();
    let number = |number: Option<f64>| number.map_or(String::new(), |number| format!("{number:.6}"));
    for measure in &analysis.measures {
        let plain = |value: serde_json::Value| value.as_str().unwrap_or_default().to_owned();
        let side = measure
            .side
            .map_or(String::new(), |side| plain(serde_json::to_value(side).unwrap()));
        let split = plain(serde_json::to_value(measure.breathing).unwrap());
        let absence = measure.absence.map_or(String::new(), |absence| {
            plain(serde_json::to_value(absence.kind).unwrap())
        });
        writeln!(
            text,
            "{},{side},{},{split},{},{},{},{},{},{},{},{absence},{:?}",
            measure.kind.name(),
            measure.cycle.map_or(String::new(), |cycle| cycle.to_string()),
            number(measure.quantity.map(|quantity| quantity.value)),
            number(measure.quantity.map(|quantity| quantity.uncertainty)),
            measure.kind.unit().symbol(),
            measure.n,
            number(measure.sd),
            number(measure.interval.map(|[low, _]| low)),
            number(measure.interval.map(|[_, high]| high)),
            measure.flags,
        )
        .unwrap();
    }
    text
}

#[test]
fn the_measures_of_a_passage_are_those_on_file() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/measures.csv");
    let actual = written();
    if std::env::var_os("WETFRAME_ACCEPT").is_some() {
        std::fs::create_dir_all(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden")).unwrap();
        std::fs::write(path, &actual).unwrap();
    }
    let expected = std::fs::read_to_string(path).unwrap_or_default();
    for (line, (actual, expected)) in (1..).zip(actual.lines().zip(expected.lines())) {
        assert_eq!(actual, expected, "line {line} of {path}");
    }
    assert_eq!(
        actual.lines().count(),
        expected.lines().count(),
        "lines of {path}"
    );
}
