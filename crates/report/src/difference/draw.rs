//! The picture as SVG text. Classes carry the colours; the presentation attributes beside them are greys for whoever
//! shows the picture without a stylesheet.

use std::fmt::Write as _;

use stroke::Side;

use super::swarm::steps_of;
use super::words::{DifferenceWords, description, difference_said, dot_said, fitting, set_said};
use super::{DifferenceChart, Dot, DrawnDifference, DrawnSet};
use crate::axis::Axis;
use crate::figure::{decimal, signed};
use crate::svg::{Opening, Point, escaped, number};

/// Height of the drawing, in its own units.
const HEIGHT: f64 = 310.0;
/// Free room at the left and the right end.
const SIDE_ROOM: f64 = 14.0;
/// Where each set stands: the line of its words, the middle of its signs, its mean's interval.
const ROWS: [Row; 2] = [
    Row {
        words: 15.0,
        signs: 48.0,
        interval: 82.0,
    },
    Row {
        words: 110.0,
        signs: 143.0,
        interval: 177.0,
    },
];
/// The line of the axis of values, and that of the axis of differences.
const VALUES: f64 = 192.0;
const DIFFERENCES: f64 = 286.0;
const DIFFERENCE_WORDS: f64 = 235.0;
const DIFFERENCE: f64 = 262.0;
/// Half the height of the zone around nought.
const ZONE: f64 = 17.0;
/// Half the breadth of a sign, how far a step leads off the line, and how close signs may come along it.
const SIGN: f64 = 4.5;
const STEP: f64 = 8.5;
const APART: f64 = 11.0;
/// Signs stand at most so many steps off their line.
const MOST_STEPS: i32 = 3;

struct Row {
    words: f64,
    signs: f64,
    interval: f64,
}

/// How the drawing is to be made; nothing of it changes what it says.
#[derive(Clone, Debug, PartialEq, serde::Deserialize)]
#[serde(default)]
pub struct DifferenceStyle {
    /// Put before every id, so that many can stand in one document.
    pub id_prefix: String,
    /// Width of the drawing, in its own units; letters are 15 of them high. At least 240.
    pub width: f64,
}

impl Default for DifferenceStyle {
    fn default() -> Self {
        Self {
            id_prefix: "difference".to_owned(),
            width: 560.0,
        }
    }
}

/// The picture as one `<svg>` element, with a title and a description that says in words and numbers what it shows.
#[must_use]
pub fn svg_of(chart: &DifferenceChart, words: &DifferenceWords, style: &DifferenceStyle) -> String {
    let prefix = escaped(&style.id_prefix);
    let width = style.width.max(240.0);
    let axis = axis_of(chart, width);
    let mut svg = Opening {
        class: "difference",
        size: [width, HEIGHT],
        font_size: 15,
        prefix: &prefix,
        title: &chart.name,
        description: &description(chart, words),
    }
    .written();
    svg.push_str(&zone_texture(&prefix));
    svg.push_str(&scale(&axis, VALUES, ROWS[0].signs - 28.0, width, decimal));
    for (set, row, name, id) in [
        (&chart.before, &ROWS[0], &words.before, "before"),
        (&chart.after, &ROWS[1], &words.after, "after"),
    ] {
        svg.push_str(&drawn_set(chart, set, row, &axis, words, width, (name, id)));
    }
    if let (Some(difference), Some(zero)) = (&chart.difference, chart.before.mean) {
        let axis = axis.counted_from(zero);
        svg.push_str(&drawn_difference(chart, difference, &axis, words, &prefix, width));
    }
    svg.push_str("</svg>\n");
    svg
}

/// Both axes are one: everything that is drawn has to lie on it.
fn axis_of(chart: &DifferenceChart, width: f64) -> Axis {
    let mut values = Vec::new();
    for set in [&chart.before, &chart.after] {
        values.extend(set.dots.iter().map(|dot| dot.value));
        values.extend(set.mean);
        values.extend(set.interval.into_iter().flatten());
    }
    if let (Some(difference), Some(zero)) = (&chart.difference, chart.before.mean) {
        values.extend(difference.interval.into_iter().flatten().map(|end| zero + end));
        for zone in [difference.frame_zone, difference.operator_zone]
            .into_iter()
            .flatten()
        {
            values.extend([zero - zone, zero + zone]);
        }
    }
    Axis::over(values, 0.03, SIDE_ROOM, width - SIDE_ROOM)
}

/// Hatching for what lies within frame error, sparser for what lies within the operator's repeatability.
fn zone_texture(prefix: &str) -> String {
    let hatch = |name: &str, apart: &str| {
        format!(
            "<pattern id=\"{prefix}-{name}\" width=\"{apart}\" height=\"{apart}\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><rect class=\"difference-ground\" fill=\"#fff\" width=\"{apart}\" height=\"{apart}\"/>\
             <rect class=\"difference-hatch\" fill=\"#888\" width=\"1.5\" height=\"{apart}\"/></pattern>\n"
        )
    };
    format!(
        "<defs>\n{}{}</defs>\n",
        hatch("frame", "5"),
        hatch("operator", "11")
    )
}

/// An axis with its round numbers, and faint lines up to `top`.
fn scale(axis: &Axis, y: f64, top: f64, width: f64, write: impl Fn(f64, usize) -> String) -> String {
    let (ticks, decimals) = axis.ticks(if width < 400.0 { 4 } else { 6 });
    let mut group = format!(
        "<g class=\"difference-axis\" fill=\"none\" stroke=\"#999\">\n<path d=\"M{} {y}H{}\"/>\n",
        number(SIDE_ROOM),
        number(width - SIDE_ROOM),
        y = number(y),
    );
    for tick in &ticks {
        let class = if tick.value == 0.0 {
            "difference-nought"
        } else {
            "difference-grid"
        };
        let _ = writeln!(
            group,
            "<path class=\"{class}\" d=\"M{} {}V{}\"/>",
            number(tick.at),
            number(top),
            number(y + 4.0)
        );
    }
    group.push_str("</g>\n<g class=\"difference-words\" fill=\"#000\" text-anchor=\"middle\">\n");
    for tick in ticks {
        let _ = writeln!(
            group,
            "<text x=\"{}\" y=\"{}\">{}</text>",
            // A number at the end of the axis keeps within the drawing.
            number(tick.at.clamp(SIDE_ROOM + 6.0, width - SIDE_ROOM - 6.0)),
            number(y + 19.0),
            write(tick.value, decimals)
        );
    }
    group.push_str("</g>\n");
    group
}

fn drawn_set(
    chart: &DifferenceChart,
    set: &DrawnSet,
    row: &Row,
    axis: &Axis,
    words: &DifferenceWords,
    width: f64,
    (name, id): (&str, &str),
) -> String {
    let mut group = format!("<g class=\"difference-set\" data-set=\"{id}\">\n");
    let places: Vec<f64> = set.dots.iter().map(|dot| axis.at(dot.value)).collect();
    for (index, (dot, step)) in set
        .dots
        .iter()
        .zip(steps_of(&places, APART, MOST_STEPS))
        .enumerate()
    {
        let at = Point {
            x: places[index],
            y: row.signs + f64::from(step) * STEP,
        };
        let _ = writeln!(
            group,
            "<g class=\"difference-dot\" data-index=\"{index}\"><title>{}</title>{}</g>",
            escaped(&dot_said(chart, dot, words)),
            sign(dot, at)
        );
    }
    let [said, interval] = set_said(chart, set, words);
    if let Some(mean) = set.mean {
        group.push_str(&mean_mark(
            axis.at(mean),
            set.interval.map(|ends| ends.map(|end| axis.at(end))),
            row.interval,
        ));
    }
    let _ = writeln!(
        group,
        "<text class=\"difference-words\" fill=\"#000\" stroke=\"#fff\" stroke-width=\"5\" paint-order=\"stroke\" x=\"{}\" y=\"{}\"><tspan font-weight=\"600\">{}</tspan> {}</text>\n</g>",
        number(SIDE_ROOM),
        number(row.words),
        escaped(name),
        escaped(&fitting(&said, &interval, name, width - 2.0 * SIDE_ROOM)),
    );
    group
}

/// Diamond, circle or square by breathing; filled for the left arm and for both, hollow for the right one.
fn sign(dot: &Dot, Point { x, y }: Point) -> String {
    let (class, paint) = match dot.side {
        Some(Side::Left) => ("difference-left", "fill=\"#333\" stroke=\"#333\""),
        Some(Side::Right) => ("difference-right", "fill=\"#fff\" stroke=\"#555\""),
        _ => ("difference-both", "fill=\"#777\" stroke=\"#333\""),
    };
    let mut drawn = match dot.breathing {
        Some(true) => format!(
            "<path class=\"{class}\" {paint} stroke-width=\"2\" data-shape=\"diamond\" d=\"M{x} {}l{r} {r}l-{r} {r}l-{r} -{r}Z\"/>",
            number(y - SIGN * 1.3),
            x = number(x),
            r = number(SIGN * 1.3),
        ),
        Some(false) => format!(
            "<circle class=\"{class}\" {paint} stroke-width=\"2\" data-shape=\"circle\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            number(x),
            number(y),
            number(SIGN)
        ),
        None => format!(
            "<rect class=\"{class}\" {paint} stroke-width=\"2\" data-shape=\"square\" x=\"{}\" y=\"{}\" width=\"{s}\" height=\"{s}\"/>",
            number(x - SIGN * 0.9),
            number(y - SIGN * 0.9),
            s = number(SIGN * 1.8)
        ),
    };
    if dot.flagged {
        let _ = write!(
            drawn,
            "<circle class=\"difference-flagged\" fill=\"none\" stroke=\"#000\" stroke-dasharray=\"3 2\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            number(x),
            number(y),
            number(SIGN + 5.0)
        );
    }
    drawn
}

/// A mean as an upright stroke, its interval as a bar with ends.
fn mean_mark(at: f64, interval: Option<[f64; 2]>, y: f64) -> String {
    let mut d = format!("M{} {}v12", number(at), number(y - 6.0));
    if let Some([low, high]) = interval {
        let _ = write!(
            d,
            "M{low} {y}H{high}M{low} {}v8M{high} {}v8",
            number(y - 4.0),
            number(y - 4.0),
            low = number(low),
            high = number(high),
            y = number(y),
        );
    }
    format!(
        "<path class=\"difference-mean\" fill=\"none\" stroke=\"#000\" stroke-width=\"2.5\" d=\"{d}\"/>\n"
    )
}

fn drawn_difference(
    chart: &DifferenceChart,
    difference: &DrawnDifference,
    axis: &Axis,
    words: &DifferenceWords,
    prefix: &str,
    width: f64,
) -> String {
    let mut group = "<g class=\"difference-own\">\n".to_owned();
    for (name, zone) in [
        ("operator", difference.operator_zone),
        ("frame", difference.frame_zone),
    ] {
        let Some(zone) = zone else {
            continue;
        };
        let (low, high) = (axis.at(-zone), axis.at(zone));
        let _ = writeln!(
            group,
            "<rect class=\"difference-zone\" data-zone=\"{name}\" fill=\"url(#{prefix}-{name})\" stroke=\"#888\" \
             x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            number(low),
            number(DIFFERENCE - ZONE),
            number(high - low),
            number(2.0 * ZONE)
        );
    }
    group.push_str(&scale(axis, DIFFERENCES, DIFFERENCE - ZONE, width, signed));
    let _ = writeln!(
        group,
        "<path class=\"difference-guide\" fill=\"none\" stroke=\"#000\" stroke-dasharray=\"2 3\" d=\"M{} {}V{}M{at} {}V{}\"/>",
        number(axis.at(0.0)),
        number(ROWS[0].interval),
        number(DIFFERENCES),
        number(ROWS[1].interval),
        number(DIFFERENCE),
        at = number(axis.at(difference.value)),
    );
    group.push_str(&mean_mark(
        axis.at(difference.value),
        difference.interval.map(|ends| ends.map(|end| axis.at(end))),
        DIFFERENCE,
    ));
    let [said, interval] = difference_said(chart, difference, words);
    let _ = writeln!(
        group,
        "<text class=\"difference-words\" fill=\"#000\" stroke=\"#fff\" stroke-width=\"5\" paint-order=\"stroke\" x=\"{}\" y=\"{}\"><tspan font-weight=\"600\">{}</tspan> {}</text>\n</g>",
        number(SIDE_ROOM),
        number(DIFFERENCE_WORDS),
        escaped(&words.difference),
        escaped(&fitting(
            &said,
            &interval,
            &words.difference,
            width - 2.0 * SIDE_ROOM
        )),
    );
    group
}
