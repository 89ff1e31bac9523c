//! The four phases before and after as pairs of bars, each with its 95 % interval: before hollow, after filled.
//!
//! Not for: single cycles (the numbers view shows those), or statistics.

mod of_comparison;

use std::fmt::Write as _;

use crate::axis::Axis;
use crate::figure::decimal;
use crate::svg::{Opening, escaped, number};

/// One arm's phases, or the mean of both arms'; all values in % of the cycle.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PhasePairs {
    /// In the order of the stroke.
    pub phases: [PhasePair; 4],
}

/// One phase.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PhasePair {
    /// Before; `None` while it has no value.
    pub before: Option<Bar>,
    /// After.
    pub after: Option<Bar>,
}

/// A mean with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// The mean over the cycles.
    pub mean: f64,
    /// Its 95 % interval, from stroke to stroke.
    pub interval: Option<[f64; 2]>,
}

/// Every word the picture writes, so that it can be translated.
#[derive(Clone, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(default)]
pub struct PhasePairWords {
    /// The picture's name.
    pub title: String,
    /// The set before.
    pub before: String,
    /// The set after.
    pub after: String,
    /// The phases in the order of the stroke.
    pub phases: [String; 4],
    /// Said before an interval.
    pub interval: String,
    /// Between the ends of an interval.
    pub to: String,
    /// Where a phase has no value.
    pub nothing: String,
}

impl Default for PhasePairWords {
    fn default() -> Self {
        Self {
            title: "Phases before and after".to_owned(),
            before: "before".to_owned(),
            after: "after".to_owned(),
            phases: ["entry and catch", "pull", "push", "recovery"].map(str::to_owned),
            interval: "95 %:".to_owned(),
            to: "to".to_owned(),
            nothing: "no value".to_owned(),
        }
    }
}

/// Width of the drawing, in its own units; letters are 15 of them high.
const WIDTH: f64 = 360.0;
/// Room of a phase: its name, two bars, air.
const PHASE: f64 = 68.0;
const BAR: f64 = 17.0;
/// Where bars start, and where the axis ends: the words are at the left, the numbers at the right.
const FROM: f64 = 58.0;
const TO: f64 = 300.0;

/// The picture as one `<svg>` element, with a title and a description that says in words and numbers what it shows.
#[must_use]
pub fn svg_of(pairs: &PhasePairs, words: &PhasePairWords, id_prefix: &str) -> String {
    let prefix = escaped(id_prefix);
    let bars = pairs
        .phases
        .iter()
        .flat_map(|pair| [pair.before, pair.after])
        .flatten();
    // Bars start at nought, so that their lengths compare.
    let ends = bars.flat_map(|bar| [bar.mean].into_iter().chain(bar.interval.into_iter().flatten()));
    let axis = Axis::over(ends.map(|end| end.max(0.0)).chain([0.0]), 0.0, FROM, TO);
    let mut svg = Opening {
        class: "phase-pairs",
        size: [WIDTH, PHASE * 4.0],
        font_size: 15,
        prefix: &prefix,
        title: &words.title,
        description: &description(pairs, words),
    }
    .written();
    for (index, pair) in pairs.phases.iter().enumerate() {
        let top = PHASE * index as f64;
        let _ = writeln!(
            svg,
            "<g data-phase=\"{index}\"><text class=\"phase-pairs-words\" fill=\"#000\" font-weight=\"600\" x=\"0\" y=\"{}\">{}</text>",
            number(top + 15.0),
            escaped(&words.phases[index]),
        );
        for (place, (bar, name, set)) in [
            (pair.before, &words.before, "before"),
            (pair.after, &words.after, "after"),
        ]
        .into_iter()
        .enumerate()
        {
            svg.push_str(&drawn(
                bar,
                set,
                name,
                &axis,
                top + 22.0 + (BAR + 3.0) * place as f64,
                words,
            ));
        }
        svg.push_str("</g>\n");
    }
    svg.push_str("</svg>\n");
    svg
}

fn drawn(bar: Option<Bar>, set: &str, name: &str, axis: &Axis, top: f64, words: &PhasePairWords) -> String {
    let line = top + BAR - 4.0;
    let mut group = format!(
        "<g class=\"phase-pairs-words\" fill=\"#000\"><text x=\"0\" y=\"{line}\">{}</text>\
         <text x=\"{}\" y=\"{line}\" text-anchor=\"end\">{}</text></g>\n",
        escaped(name),
        number(WIDTH),
        escaped(&bar.map_or_else(
            || words.nothing.clone(),
            |bar| format!("{} %", decimal(bar.mean, 1))
        )),
        line = number(line),
    );
    let Some(bar) = bar else {
        return group;
    };
    let paint = if set == "before" {
        "fill=\"#fff\""
    } else {
        "fill=\"#999\""
    };
    let _ = writeln!(
        group,
        "<rect class=\"phase-pairs-{set}\" {paint} stroke=\"#000\" stroke-width=\"1.5\" data-set=\"{set}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
        number(FROM),
        number(top),
        number(axis.at(bar.mean) - FROM),
        number(BAR),
    );
    if let Some([low, high]) = bar.interval {
        let d = format!(
            "M{low} {y}H{high}M{low} {}v8M{high} {}v8",
            number(top + BAR / 2.0 - 4.0),
            number(top + BAR / 2.0 - 4.0),
            low = number(axis.at(low)),
            high = number(axis.at(high)),
            y = number(top + BAR / 2.0),
        );
        // Twice: a light line under a dark one, so that it is seen on the bar too.
        let _ = writeln!(
            group,
            "<path class=\"phase-pairs-under\" fill=\"none\" stroke=\"#fff\" stroke-width=\"5\" d=\"{d}\"/>\
             <path class=\"phase-pairs-interval\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\" d=\"{d}\"/>"
        );
    }
    group
}

fn description(pairs: &PhasePairs, words: &PhasePairWords) -> String {
    let said = |bar: Option<Bar>| {
        let Some(bar) = bar else {
            return words.nothing.clone();
        };
        let mean = format!("{} %", decimal(bar.mean, 1));
        bar.interval.map_or_else(
            || mean.clone(),
            |[low, high]| {
                format!(
                    "{mean} ({} {} {} {})",
                    words.interval,
                    decimal(low, 1),
                    words.to,
                    decimal(high, 1)
                )
            },
        )
    };
    let phases: Vec<String> = pairs
        .phases
        .iter()
        .zip(&words.phases)
        .map(|(pair, name)| {
            format!(
                "{name}: {} {}, {} {}.",
                words.before,
                said(pair.before),
                words.after,
                said(pair.after)
            )
        })
        .collect();
    phases.join(" ")
}
