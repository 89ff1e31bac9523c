//! The wheel as SVG text. Classes carry the colours; the presentation attributes beside them are greys for
//! whoever shows the picture without a stylesheet.

use std::fmt::Write as _;

use stroke::Side;

use super::{ArmTurn, Gap, GapLabel, PHASES, Turn, Wheel};
use crate::svg::{Opening, Point, band, escaped, number, spoke};

/// Width of the drawing, in its own units.
const WIDTH: f64 = 472.0;
/// Height without the legend.
const HEIGHT: f64 = 392.0;
/// Height of the legend.
const LEGEND: f64 = 92.0;
const CENTRE: Point = Point { x: 236.0, y: 196.0 };
/// Inner and outer radius of the near arm's ring, the other arm's ring, and the disc of propulsion.
const NEAR: (f64, f64) = (112.0, 152.0);
const FAR: (f64, f64) = (68.0, 108.0);
const DISC: f64 = 62.0;
/// How much of the ring's width a phase takes, from the outside: the more the hand drives, the broader.
const WIDTHS: [f64; 4] = [0.45, 0.8, 1.0, 0.18];
/// Labels nearer to each other than this, in turns, would run into each other.
const LABEL_SPACE: f64 = 0.085;

/// How the drawing is to be made; nothing of it changes what it says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WheelStyle {
    /// Put before every id, so that two wheels can stand in one document.
    pub id_prefix: String,
    /// Whether the textures are explained under the wheel.
    pub legend: bool,
}

impl Default for WheelStyle {
    fn default() -> Self {
        Self {
            id_prefix: "wheel".to_owned(),
            legend: true,
        }
    }
}

/// Every word the wheel writes, so that it can be translated.
#[derive(Clone, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(default)]
pub struct WheelWords {
    /// The picture's name.
    pub title: String,
    /// The left arm.
    pub left: String,
    /// The right arm.
    pub right: String,
    /// Said at the place where a hand enters.
    pub enters: String,
    /// The phases in the order of the stroke.
    pub phases: [String; 4],
    /// Said before the number of cycles that the mean is taken over.
    pub mean_of: String,
    /// Neither arm propels.
    pub gap: String,
    /// Both arms propel.
    pub overlap: String,
    /// One arm propels (the filled disc).
    pub propelling: String,
}

impl Default for WheelWords {
    fn default() -> Self {
        Self {
            title: "Stroke wheel: the mean cycle".to_owned(),
            left: "left".to_owned(),
            right: "right".to_owned(),
            enters: "enters".to_owned(),
            phases: ["entry and catch", "pull", "push", "recovery"].map(str::to_owned),
            mean_of: "mean cycle, n".to_owned(),
            gap: "gap".to_owned(),
            overlap: "overlap".to_owned(),
            propelling: "an arm propels".to_owned(),
        }
    }
}

impl WheelWords {
    fn side(&self, side: Side) -> &str {
        if side == Side::Right {
            &self.right
        } else {
            &self.left
        }
    }
}

/// The wheel as one `<svg>` element: scalable, with a title and a description that says in words and numbers
/// what the picture shows.
#[must_use]
pub fn svg_of(wheel: &Wheel, words: &WheelWords, style: &WheelStyle) -> String {
    let prefix = escaped(&style.id_prefix);
    let height = if style.legend { HEIGHT + LEGEND } else { HEIGHT };
    let mut svg = Opening {
        class: "wheel",
        size: [WIDTH, height],
        font_size: 19,
        prefix: &prefix,
        title: &words.title,
        description: &description(wheel, words),
    }
    .written();
    let sides = match &wheel.mean.far {
        Some(far) => vec![wheel.mean.near.side, far.side],
        None => vec![wheel.mean.near.side],
    };
    svg.push_str(&textures(&prefix, &sides));
    svg.push_str(&propulsion(&wheel.mean));
    svg.push_str(&ring(&prefix, &wheel.mean.near, NEAR));
    if let Some(far) = &wheel.mean.far {
        svg.push_str(&ring(&prefix, far, FAR));
    }
    svg.push_str(&single_cycles(&wheel.singles));
    svg.push_str(&labels(wheel, words));
    if style.legend {
        svg.push_str(&legend(&prefix, wheel, words));
    }
    svg.push_str("</svg>\n");
    svg
}

/// In words: each arm's phases in per cent, then the gaps.
fn description(wheel: &Wheel, words: &WheelWords) -> String {
    let mut said = Vec::new();
    for arm in [Some(&wheel.mean.near), wheel.mean.far.as_ref()]
        .into_iter()
        .flatten()
    {
        let phases: Vec<String> = arm
            .bands()
            .iter()
            .map(|band| {
                format!(
                    "{} {:.1} %",
                    words.phases[band.phase],
                    (band.to - band.from) * 100.0
                )
            })
            .collect();
        said.push(format!("{}: {}.", words.side(arm.side), phases.join(", ")));
    }
    for gap in wheel.mean.gaps() {
        let length =
            label_of(wheel, gap.waiting).map_or_else(String::new, |label| format!(" {},", length_of(label)));
        let kind = if gap.share < 0.0 {
            &words.overlap
        } else {
            &words.gap
        };
        said.push(format!(
            "{kind} ({}):{length} {:.1} %.",
            words.side(gap.waiting),
            gap.share.abs() * 100.0
        ));
    }
    said.join(" ")
}

fn label_of(wheel: &Wheel, waiting: Side) -> Option<&GapLabel> {
    wheel.gap_labels.iter().find(|label| label.waiting == waiting)
}

/// A gap's length with its uncertainty: whole milliseconds, finer only where the uncertainty asks for it.
fn length_of(label: &GapLabel) -> String {
    let decimals = usize::from(label.uncertainty_ms < 0.95);
    format!(
        "{:.decimals$} ± {:.decimals$} ms",
        label.value_ms.abs(),
        label.uncertainty_ms
    )
}

fn class_of(side: Side) -> &'static str {
    if side == Side::Right {
        "wheel-right"
    } else {
        "wheel-left"
    }
}

/// Without a stylesheet the arms still differ: the left one is darker.
fn grey_of(side: Side) -> &'static str {
    if side == Side::Right { "#8a8a8a" } else { "#4a4a4a" }
}

/// The pattern fills: dots, hatching, solid; recovery is a rim without texture.
fn textures(prefix: &str, sides: &[Side]) -> String {
    let mut defs = "<defs>\n".to_owned();
    for side in sides {
        let (class, grey) = (class_of(*side), grey_of(*side));
        let _ = write!(
            defs,
            "<pattern id=\"{prefix}-{class}-entry_and_catch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"7\" height=\"7\" class=\"{class}-soft\" fill=\"#eee\"/>\
             <circle cx=\"3.5\" cy=\"3.5\" r=\"1.5\" class=\"{class}\" fill=\"{grey}\"/></pattern>\n\
             <pattern id=\"{prefix}-{class}-pull\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\">\
             <rect width=\"8\" height=\"8\" class=\"{class}-soft\" fill=\"#eee\"/>\
             <rect width=\"4.5\" height=\"8\" class=\"{class}\" fill=\"{grey}\"/></pattern>\n"
        );
    }
    defs.push_str("</defs>\n");
    defs
}

/// The fill of a phase as presentation attributes.
fn fill_of(prefix: &str, side: Side, phase: usize) -> String {
    let (class, grey) = (class_of(side), grey_of(side));
    match PHASES[phase] {
        "push" => format!("class=\"{class}\" fill=\"{grey}\""),
        "recovery" => format!("class=\"{class}-soft\" fill=\"#eee\""),
        texture => format!("fill=\"url(#{prefix}-{class}-{texture})\""),
    }
}

/// One arm's four phases, and the outline that holds them together.
fn ring(prefix: &str, arm: &ArmTurn, (inner, outer): (f64, f64)) -> String {
    let (class, grey) = (class_of(arm.side), grey_of(arm.side));
    let mut group = format!(
        "<g class=\"wheel-ring\" data-side=\"{}\">\n",
        &class["wheel-".len()..]
    );
    for phase in arm.bands() {
        let breadth = (outer - inner) * WIDTHS[phase.phase];
        let _ = writeln!(
            group,
            "<g class=\"{class}-edge\" stroke=\"{grey}\" stroke-width=\"1.5\" data-phase=\"{}\" data-from=\"{:.4}\" data-to=\"{:.4}\">\
             <path {} d=\"{}\"/></g>",
            PHASES[phase.phase],
            phase.from,
            phase.to,
            fill_of(prefix, arm.side, phase.phase),
            band(CENTRE, outer - breadth, outer, phase.from, phase.to),
        );
    }
    group.push_str("</g>\n");
    group
}

/// The disc: filled where an arm propels, stronger where both do, and nothing at all in a gap.
fn propulsion(turn: &Turn) -> String {
    let mut group = "<g class=\"wheel-propulsion\">\n".to_owned();
    let gaps = turn.gaps();
    if let [first, second] = gaps.as_slice() {
        for (from, to) in [(first.to, second.from), (second.to, first.from)] {
            let to = from + (to - from).rem_euclid(1.0);
            let _ = writeln!(
                group,
                "<path class=\"wheel-drive\" fill=\"#bbb\" d=\"{}\"/>",
                band(CENTRE, 0.0, DISC, from, to)
            );
        }
    } else {
        let (from, to) = (turn.near.catch, turn.near.exit);
        let _ = writeln!(
            group,
            "<path class=\"wheel-drive\" fill=\"#bbb\" d=\"{}\"/>",
            band(CENTRE, 0.0, DISC, from, to)
        );
    }
    for gap in &gaps {
        group.push_str(&wedge(gap));
    }
    group.push_str("</g>\n");
    group
}

/// A gap: an empty wedge whose edges run through both rings. An overlap: a dark one, within the disc.
fn wedge(gap: &Gap) -> String {
    let (class, paint, edge) = if gap.share < 0.0 {
        ("wheel-overlap", "fill=\"#555\"", DISC)
    } else {
        ("wheel-gap", "fill=\"none\" stroke=\"#000\"", NEAR.1 + 8.0)
    };
    let mut drawn = format!(
        "<g data-waiting=\"{}\" data-share=\"{:.4}\"><path class=\"{class}\" {paint} d=\"{}\"/>",
        &class_of(gap.waiting)["wheel-".len()..],
        gap.share,
        band(CENTRE, 0.0, DISC, gap.from, gap.to),
    );
    if gap.share >= 0.0 {
        for turn in [gap.from, gap.to] {
            let _ = write!(
                drawn,
                "<path class=\"wheel-gap-edge\" fill=\"none\" stroke=\"#000\" stroke-dasharray=\"3 3\" d=\"{}\"/>",
                spoke(CENTRE, DISC, edge, turn)
            );
        }
    }
    drawn.push_str("</g>\n");
    drawn
}

/// Every single cycle's events as hairlines across its ring: how wide they fan out is how even the stroke is.
fn single_cycles(singles: &[Turn]) -> String {
    let mut group =
        "<g class=\"wheel-singles\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.2\">\n".to_owned();
    for turn in singles {
        let rings = [(Some(&turn.near), NEAR), (turn.far.as_ref(), FAR)];
        let lines: String = rings
            .into_iter()
            .filter_map(|(arm, ring)| arm.map(|arm| (arm, ring)))
            .flat_map(|(arm, (inner, outer))| arm.events().map(|event| spoke(CENTRE, inner, outer, event)))
            .collect();
        // Twice: a light line under a dark one, so that it is seen on every texture.
        let _ = writeln!(
            group,
            "<path class=\"wheel-single-under\" stroke=\"#fff\" stroke-width=\"3\" d=\"{lines}\"/><path d=\"{lines}\"/>"
        );
    }
    group.push_str("</g>\n");
    group
}

/// The words around the wheel: where each hand enters, and how long each gap is.
fn labels(wheel: &Wheel, words: &WheelWords) -> String {
    let mut group = "<g class=\"wheel-words\" fill=\"#000\">\n".to_owned();
    if !wheel.singles.is_empty() {
        let _ = writeln!(
            group,
            "<text x=\"0\" y=\"22\">{} {}</text>",
            escaped(&words.mean_of),
            wheel.singles.len()
        );
    }
    let mut taken = vec![wheel.mean.near.entry.rem_euclid(1.0)];
    let _ = writeln!(group, "{}", entry_label(&wheel.mean.near, words));
    if let Some(far) = &wheel.mean.far {
        taken.push(far.entry.rem_euclid(1.0));
        let _ = writeln!(group, "{}", entry_label(far, words));
    }
    for gap in wheel.mean.gaps() {
        let Some(label) = label_of(wheel, gap.waiting) else {
            continue;
        };
        let turn = clear_of(f64::midpoint(gap.from, gap.to), &taken);
        let kind = if label.value_ms < 0.0 {
            &words.overlap
        } else {
            &words.gap
        };
        let (length, rest) = split_length(label);
        let place = CENTRE.toward(turn, NEAR.1 + 12.0);
        let anchor = anchor_of(turn);
        let _ = writeln!(
            group,
            "<text class=\"wheel-length\" text-anchor=\"{anchor}\" x=\"{x}\" y=\"{y}\"><tspan x=\"{x}\" dy=\"{dy}\" \
             font-size=\"24\" font-weight=\"600\">{}</tspan><tspan x=\"{x}\" dy=\"21\">{}</tspan>\
             <tspan x=\"{x}\" dy=\"21\">{}</tspan></text>",
            escaped(&length),
            escaped(&rest),
            escaped(kind),
            x = number(place.x),
            y = number(place.y),
            // Three lines that keep clear of the rim: above their place on the upper half, below it on the lower.
            dy = number(-42.0 + 52.0 * (place.y - CENTRE.y + NEAR.1) / (2.0 * NEAR.1)),
        );
    }
    group.push_str("</g>\n");
    group
}

/// The length and its uncertainty apart, since they stand in two lines.
fn split_length(label: &GapLabel) -> (String, String) {
    let said = length_of(label);
    let unit = said.strip_suffix(" ms").unwrap_or(&said);
    match unit.split_once(" ± ") {
        Some((value, uncertainty)) => (format!("{value} ms"), format!("± {uncertainty}")),
        None => (said.clone(), String::new()),
    }
}

/// `LEFT enters` with a tick at the place on the rim where that hand enters.
fn entry_label(arm: &ArmTurn, words: &WheelWords) -> String {
    let turn = arm.entry.rem_euclid(1.0);
    let place = CENTRE.toward(turn, NEAR.1 + 22.0);
    let down = if (0.25..0.75).contains(&turn) { 10.0 } else { 2.0 };
    format!(
        "<path class=\"{class}-edge wheel-entry\" fill=\"none\" stroke=\"{grey}\" stroke-width=\"3\" d=\"{}\"/>\
         <text text-anchor=\"{}\" x=\"{}\" y=\"{}\">{} {}</text>",
        spoke(CENTRE, NEAR.1, NEAR.1 + 14.0, turn),
        anchor_of(turn),
        number(place.x),
        number(place.y + down),
        escaped(words.side(arm.side)),
        escaped(&words.enters),
        class = class_of(arm.side),
        grey = grey_of(arm.side),
    )
}

/// Text to the right of the wheel starts at its place, to the left it ends there, above and below it centres.
fn anchor_of(turn: f64) -> &'static str {
    match turn.rem_euclid(1.0) {
        turn if (0.06..0.44).contains(&turn) => "start",
        turn if (0.56..0.94).contains(&turn) => "end",
        _ => "middle",
    }
}

/// The place nearest to `turn` that keeps its distance from the places taken.
fn clear_of(turn: f64, taken: &[f64]) -> f64 {
    let distance = |place: f64, other: f64| {
        let ahead = (place - other).rem_euclid(1.0);
        ahead.min(1.0 - ahead)
    };
    let free = |place: f64| taken.iter().all(|other| distance(place, *other) >= LABEL_SPACE);
    (0..25)
        .flat_map(|step| [turn + f64::from(step) * 0.01, turn - f64::from(step) * 0.01])
        .find(|place| free(*place))
        .unwrap_or(turn)
}

/// What each texture means, two columns under the wheel.
fn legend(prefix: &str, wheel: &Wheel, words: &WheelWords) -> String {
    let mut group = "<g class=\"wheel-words wheel-legend\" fill=\"#000\">\n".to_owned();
    let side = wheel.mean.near.side;
    let (class, grey) = (class_of(side), grey_of(side));
    let overlaps = wheel.mean.gaps().iter().any(|gap| gap.share < 0.0);
    let place = |index: usize| {
        let (column, row) = ((index % 2) as u32, (index / 2) as u32);
        (
            30.0 + 218.0 * f64::from(column),
            HEIGHT + 8.0 + 28.0 * f64::from(row),
        )
    };
    for (phase, width) in WIDTHS.iter().enumerate() {
        let (x, y) = place(phase);
        let _ = writeln!(
            group,
            "<g class=\"{class}-edge\" stroke=\"{grey}\" stroke-width=\"1.5\"><rect x=\"{}\" y=\"{}\" width=\"30\" height=\"{}\" {}/></g>\
             <text x=\"{}\" y=\"{}\">{}</text>",
            number(x),
            number(y + 10.0 - 10.0 * width),
            number(20.0 * width),
            fill_of(prefix, side, phase),
            number(x + 40.0),
            number(y + 16.0),
            escaped(&words.phases[phase]),
        );
    }
    let (class, paint, said) = if overlaps {
        ("wheel-overlap", "fill=\"#555\"", &words.overlap)
    } else {
        ("wheel-gap", "fill=\"none\" stroke=\"#000\"", &words.gap)
    };
    for (index, class, paint, said) in [
        (4, "wheel-drive", "fill=\"#bbb\"", &words.propelling),
        (5, class, paint, said),
    ] {
        let (x, y) = place(index);
        let _ = writeln!(
            group,
            "<rect class=\"{class}\" {paint} x=\"{}\" y=\"{}\" width=\"30\" height=\"20\"/><text x=\"{}\" y=\"{}\">{}</text>",
            number(x),
            number(y),
            number(x + 40.0),
            number(y + 16.0),
            escaped(said),
        );
    }
    group.push_str("</g>\n");
    group
}
