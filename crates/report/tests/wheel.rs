//! What the wheel's SVG holds, read back from the drawing itself.

use std::f64::consts::TAU;

use report::wheel::{ArmTurn, GapLabel, Turn, Wheel, WheelStyle, WheelWords, svg_of};
use roxmltree::{Document, Node};
use stroke::Side;
use wetframe_report as report;

/// Arm A of the worked vectors (T 1.50 s, phases 30.00/23.33/16.67/30.00 %) with the other arm 0.80 s later:
/// gaps of 13.33 and 6.67 %. Source: derived from the definitions of Chollet, Chalies & Chatard 2000.
fn worked() -> Wheel {
    let arm = |side, offset: f64| ArmTurn {
        side,
        entry: offset / 1.5,
        catch: (offset + 0.45) / 1.5,
        mid_pull: (offset + 0.80) / 1.5,
        exit: (offset + 1.05) / 1.5,
    };
    let mean = Turn {
        near: arm(Side::Left, 0.0),
        far: Some(arm(Side::Right, 0.80)),
    };
    let later = |shift: f64| Turn {
        near: ArmTurn {
            catch: mean.near.catch + shift,
            ..mean.near
        },
        far: mean.far.map(|far| ArmTurn {
            exit: far.exit - shift,
            ..far
        }),
    };
    Wheel {
        mean,
        singles: vec![later(0.01), later(-0.01)],
        gap_labels: vec![
            GapLabel {
                waiting: Side::Right,
                value_ms: 200.0,
                uncertainty_ms: 6.8,
            },
            GapLabel {
                waiting: Side::Left,
                value_ms: 100.0,
                uncertainty_ms: 6.8,
            },
        ],
    }
}

fn svg(wheel: &Wheel) -> String {
    svg_of(wheel, &WheelWords::default(), &WheelStyle::default())
}

/// The clockwise angle from twelve o'clock, in turns, of the point at the start of a path and of the first arc's
/// end.
fn turns_of(d: &str) -> (f64, f64) {
    let numbers: Vec<f64> = d
        .split(|character: char| !(character.is_ascii_digit() || ".-".contains(character)))
        .filter_map(|text| text.parse().ok())
        .collect();
    // M x y A r r 0 large 1 x y
    let turn = |x: f64, y: f64| (libm::atan2(x - 236.0, 196.0 - y) / TAU).rem_euclid(1.0);
    (turn(numbers[0], numbers[1]), turn(numbers[7], numbers[8]))
}

fn with<'a>(document: &'a Document<'a>, attribute: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    document
        .descendants()
        .filter(move |node| node.has_attribute(attribute))
}

fn path_of<'a>(node: Node<'a, 'a>) -> &'a str {
    node.descendants()
        .find_map(|inner| inner.attribute("d"))
        .unwrap_or_default()
}

#[test]
fn every_phase_spans_its_share_of_the_circle() {
    let text = svg(&worked());
    let document = Document::parse(&text).unwrap();
    let expected = [30.0, 23.333_333, 16.666_667, 30.0];
    let spans: Vec<f64> = with(&document, "data-phase")
        .map(|node| {
            let (from, to) = turns_of(path_of(node));
            (to - from).rem_euclid(1.0) * 100.0
        })
        .collect();
    assert_eq!(spans.len(), 8);
    for (span, expected) in spans.iter().zip(expected.iter().cycle()) {
        // Coordinates have two decimals: at a radius above 100 that is 0.001 % of a turn.
        assert!((span - expected).abs() < 0.01, "{spans:?}");
    }
}

#[test]
fn the_near_hand_enters_at_twelve_o_clock_whichever_arm_is_near() {
    let mut wheel = worked();
    for side in [Side::Left, Side::Right] {
        wheel.mean.near.side = side;
        wheel.mean.far.as_mut().unwrap().side = side.other();
        let text = svg(&wheel);
        let document = Document::parse(&text).unwrap();
        let ring = with(&document, "data-side").next().unwrap();
        assert_eq!(
            ring.attribute("data-side"),
            Some(if side == Side::Left { "left" } else { "right" })
        );
        assert!(turns_of(path_of(ring)).0 < 1e-9);
    }
}

#[test]
fn the_empty_wedge_is_as_wide_as_the_gap() {
    let text = svg(&worked());
    let document = Document::parse(&text).unwrap();
    let spans: Vec<(Option<&str>, f64)> = with(&document, "data-waiting")
        .map(|node| {
            let (from, to) = turns_of(path_of(node));
            (
                node.attribute("data-waiting"),
                (to - from).rem_euclid(1.0) * 360.0,
            )
        })
        .collect();
    assert_eq!([spans[0].0, spans[1].0], [Some("right"), Some("left")]);
    assert!(
        (spans[0].1 - 48.0).abs() < 0.05 && (spans[1].1 - 24.0).abs() < 0.05,
        "{spans:?}"
    );
    assert!(text.contains(">200 ms<") && text.contains(">± 7<") && text.contains(">100 ms<"));
}

#[test]
fn one_marked_arm_alone_gives_one_ring_and_no_wedge() {
    let mut wheel = worked();
    wheel.mean.far = None;
    wheel.singles.clear();
    let text = svg(&wheel);
    let document = Document::parse(&text).unwrap();
    assert_eq!(with(&document, "data-side").count(), 1);
    assert_eq!(with(&document, "data-waiting").count(), 0);
}

#[test]
fn an_overlap_is_filled_and_named() {
    let mut wheel = worked();
    let far = wheel.mean.far.as_mut().unwrap();
    far.catch = wheel.mean.near.exit - 0.05;
    wheel.gap_labels[0].value_ms = -75.0;
    let text = svg(&wheel);
    assert!(text.contains("wheel-overlap") && text.contains(">75 ms<") && text.contains(">overlap<"));
}

#[test]
fn words_from_outside_stay_words() {
    let words = WheelWords {
        title: "</title><script>alert(1)</script>".to_owned(),
        gap: "a & \"b\"".to_owned(),
        ..WheelWords::default()
    };
    let style = WheelStyle {
        id_prefix: "\"><script>".to_owned(),
        legend: true,
    };
    let text = svg_of(&worked(), &words, &style);
    let document = Document::parse(&text).unwrap();
    assert!(document.descendants().all(|node| !node.has_tag_name("script")));
    assert!(
        document
            .descendants()
            .any(|node| node.text() == Some("</title><script>alert(1)</script>"))
    );
}

#[test]
fn the_description_says_what_the_picture_shows() {
    let text = svg(&worked());
    let document = Document::parse(&text).unwrap();
    let said = document
        .descendants()
        .find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "desc")))
        .and_then(|node| node.text())
        .unwrap();
    assert_eq!(
        said,
        "left: entry and catch 30.0 %, pull 23.3 %, push 16.7 %, recovery 30.0 %. right: entry and catch 30.0 %, \
         pull 23.3 %, push 16.7 %, recovery 30.0 %. gap (right): 200 ± 7 ms, 13.3 %. gap (left): 100 ± 7 ms, 6.7 %."
    );
}

#[test]
fn the_whole_drawing() {
    insta::assert_snapshot!("worked_vector", svg(&worked()));
    let mut alone = worked();
    alone.mean.far = None;
    alone.singles.truncate(1);
    insta::assert_snapshot!(
        "one_arm_without_legend",
        svg_of(
            &alone,
            &WheelWords::default(),
            &WheelStyle {
                id_prefix: "small".to_owned(),
                legend: false
            }
        )
    );
}
