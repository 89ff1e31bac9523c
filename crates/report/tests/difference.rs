//! What the before/after picture's SVG holds, read back from the drawing itself.

use report::difference::{
    DifferenceChart, DifferenceStyle, DifferenceWords, Dot, DrawnDifference, DrawnSet, svg_of,
};
use roxmltree::{Document, Node};
use stroke::Side;
use wetframe_report as report;

/// A gap that shortens: alternating arms, every second stroke of the left with a breath. Invented.
fn worked() -> DifferenceChart {
    let dots = |values: &[f64]| {
        values
            .iter()
            .enumerate()
            .map(|(index, value)| Dot {
                value: *value,
                side: Some(if index % 2 == 0 { Side::Left } else { Side::Right }),
                breathing: Some(index % 4 == 0),
                cycle: Some(index as u32 / 2 + 1),
                flagged: index == 5,
            })
            .collect::<Vec<_>>()
    };
    DifferenceChart {
        name: "Propulsive gap".to_owned(),
        unit: "ms".to_owned(),
        unit_of_difference: "ms".to_owned(),
        decimals: 0,
        before: DrawnSet {
            n: 7,
            mean: Some(131.0),
            interval: Some([119.0, 143.0]),
            dots: dots(&[150.0, 117.0, 133.0, 117.0, 150.0, 133.0, 117.0, 131.0]),
        },
        after: DrawnSet {
            n: 7,
            mean: Some(84.0),
            interval: Some([75.0, 93.0]),
            dots: dots(&[100.0, 83.0, 67.0, 83.0, 100.0, 83.0, 72.0, 84.0]),
        },
        difference: Some(DrawnDifference {
            value: -47.0,
            interval: Some([-61.0, -33.0]),
            frame_zone: Some(7.0),
            operator_zone: Some(18.0),
        }),
    }
}

fn svg(chart: &DifferenceChart) -> String {
    svg_of(chart, &DifferenceWords::default(), &DifferenceStyle::default())
}

fn all<'a>(document: &'a Document<'a>, class: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    document
        .descendants()
        .filter(move |node| node.attribute("class") == Some(class))
}

fn numbers_of(d: &str) -> Vec<f64> {
    d.split(|character: char| !(character.is_ascii_digit() || ".-".contains(character)))
        .filter_map(|text| text.parse().ok())
        .collect()
}

/// Where a sign's middle is, across.
fn middle_of(sign: Node<'_, '_>) -> Option<f64> {
    let value = |name| sign.attribute(name).and_then(|text| text.parse::<f64>().ok());
    match sign.attribute("data-shape") {
        Some("circle") => value("cx"),
        Some("square") => Some(value("x")? + value("width")? / 2.0),
        _ => numbers_of(sign.attribute("d")?).first().copied(),
    }
}

#[test]
fn the_worked_picture() {
    insta::assert_snapshot!(svg(&worked()));
}

#[test]
fn every_cycle_is_a_sign_at_its_value() {
    let chart = worked();
    let text = svg(&chart);
    let document = Document::parse(&text).unwrap();
    let drawn: Vec<f64> = document
        .descendants()
        .filter(|node| node.has_attribute("data-shape"))
        .map(|sign| middle_of(sign).unwrap())
        .collect();
    let values: Vec<f64> = [&chart.before, &chart.after]
        .iter()
        .flat_map(|set| set.dots.iter().map(|dot| dot.value))
        .collect();
    assert_eq!(drawn.len(), values.len());
    // Linear: two values give the scale for all.
    let scale = (drawn[0] - drawn[10]) / (values[0] - values[10]);
    assert!(scale > 0.0);
    for (at, value) in drawn.iter().zip(&values) {
        assert!((at - drawn[0] - scale * (value - values[0])).abs() < 0.02);
    }
}

#[test]
fn the_difference_stands_below_the_mean_after_and_its_nought_below_the_mean_before() {
    let text = svg(&worked());
    let document = Document::parse(&text).unwrap();
    let means: Vec<Vec<f64>> = all(&document, "difference-mean")
        .map(|node| numbers_of(node.attribute("d").unwrap()))
        .collect();
    let [before, after, difference] = [&means[0], &means[1], &means[2]];
    assert!((after[0] - difference[0]).abs() < 0.011);
    let guide = numbers_of(
        all(&document, "difference-guide")
            .next()
            .unwrap()
            .attribute("d")
            .unwrap(),
    );
    assert!((guide[0] - before[0]).abs() < 0.011);
    // The interval of the difference is as long as it says: 28 ms where the means stand 47 ms apart.
    let (low, high) = (difference[3], difference[5]);
    let per_ms = (before[0] - after[0]) / 47.0;
    assert!(((high - low) / per_ms - 28.0).abs() < 0.05);
    let zone = document
        .descendants()
        .find(|node| node.attribute("data-zone") == Some("frame"))
        .unwrap();
    let breadth: f64 = zone.attribute("width").unwrap().parse().unwrap();
    assert!((breadth / per_ms - 14.0).abs() < 0.05);
}

#[test]
fn nothing_is_told_by_colour_alone() {
    let text = svg(&worked());
    let document = Document::parse(&text).unwrap();
    let dots: Vec<Node<'_, '_>> = all(&document, "difference-dot").collect();
    let chart = worked();
    for (node, dot) in dots.iter().zip(chart.before.dots.iter().chain(&chart.after.dots)) {
        let sign = node
            .descendants()
            .find(|inner| inner.has_attribute("data-shape"))
            .unwrap();
        let shape = match dot.breathing {
            Some(true) => "diamond",
            Some(false) => "circle",
            None => "square",
        };
        assert_eq!(sign.attribute("data-shape"), Some(shape));
        // Without a stylesheet: the left arm dark, the right one hollow.
        assert_eq!(
            sign.attribute("fill") == Some("#fff"),
            dot.side == Some(Side::Right)
        );
        let said = node.first_element_child().unwrap().text().unwrap();
        assert_eq!(said.contains("flagged"), dot.flagged);
        assert_eq!(all_inside(*node, "difference-flagged"), usize::from(dot.flagged));
    }
    // Both zones are hatched, each in its own spacing, and no paint of the drawing is anything but a grey.
    let zones: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_attribute("data-zone"))
        .filter_map(|node| node.attribute("fill"))
        .collect();
    assert_eq!(zones, ["url(#difference-operator)", "url(#difference-frame)"]);
    for node in document.descendants() {
        for paint in ["fill", "stroke"]
            .into_iter()
            .filter_map(|name| node.attribute(name))
        {
            let hex = paint.strip_prefix('#');
            assert!(
                paint == "none"
                    || paint.starts_with("url(#")
                    || hex.is_some_and(|hex| hex.chars().all(|digit| hex.starts_with(digit))),
                "{paint} is no grey"
            );
        }
    }
}

fn all_inside(node: Node<'_, '_>, class: &str) -> usize {
    node.descendants()
        .filter(|inner| inner.attribute("class") == Some(class))
        .count()
}

#[test]
fn it_says_in_words_what_it_shows() {
    let text = svg(&worked());
    let document = Document::parse(&text).unwrap();
    let said = document
        .descendants()
        .find(|node| node.has_tag_name("desc"))
        .unwrap()
        .text()
        .unwrap();
    assert_eq!(
        said,
        "before: n 7, mean 131 ms (95 %: 119 to 143). after: n 7, mean 84 ms (95 %: 75 to 93). \
         difference: \u{2212}47 ms (95 %: \u{2212}61 to \u{2212}33)."
    );
}

#[test]
fn a_narrow_picture_leaves_out_words_that_have_no_room_and_still_draws_and_says_them() {
    let style = DifferenceStyle {
        width: 260.0,
        ..DifferenceStyle::default()
    };
    let text = svg_of(&worked(), &DifferenceWords::default(), &style);
    let document = Document::parse(&text).unwrap();
    let lines: Vec<String> = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .map(|node| node.descendants().filter_map(|inner| inner.text()).collect())
        .collect();
    assert!(lines.iter().all(|line| line.chars().count() < 36), "{lines:?}");
    assert_eq!(all(&document, "difference-mean").count(), 3);
    let said = document
        .descendants()
        .find(|node| node.has_tag_name("desc"))
        .unwrap()
        .text()
        .unwrap();
    assert!(said.contains("(95 %: 119 to 143)"));
}

#[test]
fn sets_without_values_without_spread_and_hostile_words_still_give_a_whole_picture() {
    let mut bare = worked();
    bare.after = DrawnSet::default();
    bare.difference = None;
    let mut even = worked();
    for dot in even.before.dots.iter_mut().chain(&mut even.after.dots) {
        dot.value = 100.0;
        dot.side = None;
        dot.breathing = None;
    }
    for set in [&mut even.before, &mut even.after] {
        set.mean = Some(100.0);
        set.interval = None;
    }
    even.difference = Some(DrawnDifference {
        value: 0.0,
        interval: None,
        frame_zone: None,
        operator_zone: None,
    });
    let mut hostile = worked();
    hostile.name = "</svg><script>alert(1)</script>".to_owned();
    for chart in [bare, even, hostile] {
        for width in [340.0, 560.0, 0.0] {
            let style = DifferenceStyle {
                width,
                ..DifferenceStyle::default()
            };
            let text = svg_of(&chart, &DifferenceWords::default(), &style);
            let document = Document::parse(&text).unwrap();
            assert!(!document.descendants().any(|node| node.has_tag_name("script")));
            assert!(!text.contains("NaN") && !text.contains("inf"));
        }
    }
}
