//! What the pairs of phase bars hold, read back from the drawing itself.

use report::phase_pairs::{Bar, PhasePair, PhasePairWords, PhasePairs, svg_of};
use roxmltree::Document;
use wetframe_report as report;

/// Shares near published ones before (Cortesi 2019, as quoted in the methods), a shorter catch after. Invented.
fn worked() -> PhasePairs {
    let bar = |mean: f64, half: f64| {
        Some(Bar {
            mean,
            interval: Some([mean - half, mean + half]),
        })
    };
    let phases = [
        (bar(37.2, 0.9), bar(32.6, 0.8)),
        (bar(22.0, 0.6), bar(25.0, 0.7)),
        (bar(14.6, 0.5), bar(16.8, 0.6)),
        (bar(26.2, 0.7), bar(25.6, 0.6)),
    ]
    .map(|(before, after)| PhasePair { before, after });
    PhasePairs { phases }
}

#[test]
fn the_worked_picture() {
    insta::assert_snapshot!(svg_of(&worked(), &PhasePairWords::default(), "phases-left"));
}

#[test]
fn bars_are_as_long_as_their_shares_and_start_at_nought() {
    let text = svg_of(&worked(), &PhasePairWords::default(), "p");
    let document = Document::parse(&text).unwrap();
    let value =
        |node: roxmltree::Node<'_, '_>, name: &str| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let bars: Vec<_> = document
        .descendants()
        .filter(|node| node.has_attribute("data-set"))
        .collect();
    let means: Vec<f64> = worked()
        .phases
        .iter()
        .flat_map(|pair| [pair.before.unwrap().mean, pair.after.unwrap().mean])
        .collect();
    assert_eq!(bars.len(), 8);
    let per_percent = value(bars[0], "width") / means[0];
    for (bar, mean) in bars.iter().zip(means) {
        assert_eq!(value(*bar, "x"), value(bars[0], "x"));
        assert!((value(*bar, "width") / per_percent - mean).abs() < 0.01);
    }
}

#[test]
fn before_and_after_differ_without_colour_and_are_named() {
    let text = svg_of(&worked(), &PhasePairWords::default(), "p");
    let document = Document::parse(&text).unwrap();
    for set in ["before", "after"] {
        let bars = document
            .descendants()
            .filter(|node| node.attribute("data-set") == Some(set));
        assert!(
            bars.into_iter()
                .all(|bar| (bar.attribute("fill") == Some("#fff")) == (set == "before"))
        );
        let named = document
            .descendants()
            .filter(|node| node.has_tag_name("text") && node.text() == Some(set));
        assert_eq!(named.count(), 4);
    }
}

#[test]
fn a_phase_without_a_value_says_so() {
    let mut pairs = worked();
    pairs.phases[2].after = None;
    let text = svg_of(&pairs, &PhasePairWords::default(), "p");
    let document = Document::parse(&text).unwrap();
    let said = document
        .descendants()
        .find(|node| node.has_tag_name("desc"))
        .unwrap()
        .text()
        .unwrap();
    assert!(said.contains("push: before 14.6 % (95 %: 14.1 to 15.1), after no value."));
    let empty = svg_of(&PhasePairs::default(), &PhasePairWords::default(), "p");
    assert!(Document::parse(&empty).is_ok() && !empty.contains("NaN"));
}
