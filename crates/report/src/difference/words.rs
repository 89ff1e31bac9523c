//! Every word of the picture, and what it says in them.

use stroke::Side;

use super::{DifferenceChart, Dot, DrawnDifference, DrawnSet};
use crate::figure::{decimal, signed};

/// About how broad a letter of the drawing is, in its own units.
const LETTER: f64 = 7.2;

/// Every word the picture writes, so that it can be translated.
#[derive(Clone, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(default)]
pub struct DifferenceWords {
    /// The set before.
    pub before: String,
    /// The set after.
    pub after: String,
    /// After less before.
    pub difference: String,
    /// Said before a mean.
    pub mean: String,
    /// Said before how many cycles.
    pub n: String,
    /// Said before an interval.
    pub interval: String,
    /// Between the ends of an interval.
    pub to: String,
    /// Where a set has no value.
    pub nothing: String,
    /// A cycle.
    pub cycle: String,
    /// The left arm.
    pub left: String,
    /// The right arm.
    pub right: String,
    /// A breath is taken in the cycle.
    pub breathing: String,
    /// None is.
    pub non_breathing: String,
    /// A mark of the cycle is flagged.
    pub flagged: String,
}

impl Default for DifferenceWords {
    fn default() -> Self {
        let own = str::to_owned;
        Self {
            before: own("before"),
            after: own("after"),
            difference: own("difference"),
            mean: own("mean"),
            n: own("n"),
            interval: own("95 %:"),
            to: own("to"),
            nothing: own("no value"),
            cycle: own("cycle"),
            left: own("left"),
            right: own("right"),
            breathing: own("breathing"),
            non_breathing: own("non-breathing"),
            flagged: own("flagged"),
        }
    }
}

fn with_unit(text: &str, unit: &str) -> String {
    format!("{text} {unit}")
}

/// " (95 %: 119 to 143)"; nothing where there is none.
fn interval_said(
    interval: Option<[f64; 2]>,
    words: &DifferenceWords,
    write: impl Fn(f64) -> String,
) -> String {
    interval.map_or_else(String::new, |ends| {
        let [low, high] = ends.map(write);
        format!(" ({} {low} {} {high})", words.interval, words.to)
    })
}

/// As much as has room in a line of the drawing: without its interval, which is drawn below, where that is too long.
pub(super) fn fitting(said: &str, interval: &str, name: &str, room: f64) -> String {
    let letters = (name.chars().count() + 1 + said.chars().count() + interval.chars().count()) as f64;
    if letters * LETTER > room {
        said.to_owned()
    } else {
        format!("{said}{interval}")
    }
}

pub(super) fn set_said(chart: &DifferenceChart, set: &DrawnSet, words: &DifferenceWords) -> [String; 2] {
    let Some(mean) = set.mean else {
        return [words.nothing.clone(), String::new()];
    };
    let write = |value| decimal(value, chart.decimals);
    let said = format!(
        "{} {}, {} {}",
        words.n,
        set.n,
        words.mean,
        with_unit(&write(mean), &chart.unit)
    );
    [said, interval_said(set.interval, words, write)]
}

pub(super) fn difference_said(
    chart: &DifferenceChart,
    difference: &DrawnDifference,
    words: &DifferenceWords,
) -> [String; 2] {
    let write = |value| signed(value, chart.decimals);
    [
        with_unit(&write(difference.value), &chart.unit_of_difference),
        interval_said(difference.interval, words, write),
    ]
}

pub(super) fn description(chart: &DifferenceChart, words: &DifferenceWords) -> String {
    let mut said = vec![
        format!(
            "{}: {}.",
            words.before,
            set_said(chart, &chart.before, words).concat()
        ),
        format!(
            "{}: {}.",
            words.after,
            set_said(chart, &chart.after, words).concat()
        ),
    ];
    if let Some(difference) = &chart.difference {
        said.push(format!(
            "{}: {}.",
            words.difference,
            difference_said(chart, difference, words).concat()
        ));
    }
    said.join(" ")
}

pub(super) fn dot_said(chart: &DifferenceChart, dot: &Dot, words: &DifferenceWords) -> String {
    let mut said = Vec::new();
    if let Some(cycle) = dot.cycle {
        said.push(format!("{} {cycle}", words.cycle));
    }
    match dot.side {
        Some(Side::Left) => said.push(words.left.clone()),
        Some(Side::Right) => said.push(words.right.clone()),
        _ => {}
    }
    match dot.breathing {
        Some(true) => said.push(words.breathing.clone()),
        Some(false) => said.push(words.non_breathing.clone()),
        None => {}
    }
    if dot.flagged {
        said.push(words.flagged.clone());
    }
    let value = with_unit(&decimal(dot.value, chart.decimals), &chart.unit);
    if said.is_empty() {
        value
    } else {
        format!("{}: {value}", said.join(", "))
    }
}
