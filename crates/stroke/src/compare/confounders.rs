//! What else differs between two sets and could make the difference.

use std::collections::BTreeSet;

use super::comparison::{Confounder, ConfounderKind};
use super::selected::SelectedCycles;
use super::words::rate;
use crate::MeasureKind;

/// Rates that differ by less than this are the same rate written by two cameras.
const SAME_RATE: f64 = 0.01;

/// Everything that was stated and differs, most serious first.
pub(super) fn confounders(before: &[SelectedCycles], after: &[SelectedCycles]) -> Vec<Confounder> {
    let mut found = Vec::new();
    let mut name = |kind, message: String, hint: &str| {
        found.push(Confounder {
            kind,
            message,
            hint: hint.to_owned(),
        });
    };
    if share_cycles(before, after) {
        name(
            ConfounderKind::SharedCycles,
            "Some cycles are in both sets.".to_owned(),
            "Choose sets that have no cycle in common.",
        );
    }
    let texts = |of: &dyn Fn(&SelectedCycles) -> String, not_said: &str| {
        let [before, after] = [before, after].map(|set| set.iter().map(of).collect::<BTreeSet<String>>());
        let words = |said: &BTreeSet<String>| {
            said.iter()
                .map(|text| if text.is_empty() { not_said } else { text.as_str() })
                .collect::<Vec<_>>()
                .join(" and ")
        };
        (before != after || before.len() > 1)
            .then(|| format!("{} before, {} after", words(&before), words(&after)))
    };
    if let Some(words) = texts(&|set| set.conditions.athlete.clone(), "no name") {
        name(
            ConfounderKind::DifferentAthletes,
            format!("The sets are of different swimmers: {words}."),
            "A difference between two people is not a change. Compare one swimmer's clips.",
        );
    }
    if let Some(words) = texts(
        &|set| set.conditions.date.clone().unwrap_or_default(),
        "not stated",
    ) {
        name(
            ConfounderKind::DifferentDates,
            format!("The sets are of different days: {words}."),
            "Training, fatigue and water differ from day to day. A change that is there on several days is more likely to stay.",
        );
        name(
            ConfounderKind::OperatorsNotKnown,
            "Who marked the clips is not kept, and an eye can shift between two days.".to_owned(),
            "Best if one person marks both; marking a stretch of the earlier clip again shows how far the eye has moved.",
        );
    }
    if let Some(words) = texts(
        &|set| set.conditions.view.clone().unwrap_or_default(),
        "not stated",
    ) {
        name(
            ConfounderKind::DifferentViews,
            format!("The camera's view differs: {words}."),
            "Events look earlier or later from another place. Compare clips of one view.",
        );
    }
    if let Some(words) = texts(
        &|set| set.conditions.kick.clone().unwrap_or_default(),
        "not stated",
    ) {
        name(
            ConfounderKind::DifferentKick,
            format!("The kick differs: {words}."),
            "Kicking changes the coordination of the arms by itself. Keep it the same.",
        );
    }
    if let Some(words) = texts(&|set| set.conditions.aids.join(", "), "none") {
        name(
            ConfounderKind::DifferentAids,
            format!("The aids differ: {words}."),
            "Fins, paddles, a buoy or a snorkel change the stroke by themselves. Keep them the same.",
        );
    }
    if let Some(words) = texts(&speed_words, "not stated") {
        name(
            ConfounderKind::DifferentSpeeds,
            format!("The speed differs: {words}."),
            "Rate, gap and phases change with speed. Compare clips of one speed.",
        );
    }
    let rates = texts(&|set| rate(set.frame_rate_fps), "");
    if let Some(words) = rates.filter(|_| rates_differ(before.iter().chain(after))) {
        name(
            ConfounderKind::DifferentFrameRates,
            format!("The frame rate differs: {words} frames/s."),
            "Each set's own frame error is counted; events may still be easier to see at the higher rate.",
        );
    }
    if let Some(words) = texts(&breathing_words, "") {
        name(
            ConfounderKind::DifferentBreathing,
            format!("The strokes differ: {words}."),
            "Breathing lengthens the stroke by itself. To see a change, compare the same kind of strokes.",
        );
    }
    found
}

/// Whether the parts' frame rates differ.
pub(super) fn rates_differ<'a>(parts: impl Iterator<Item = &'a SelectedCycles>) -> bool {
    let rates: Vec<f64> = parts.map(|part| part.frame_rate_fps).collect();
    let least = rates.iter().copied().fold(f64::INFINITY, f64::min);
    let most = rates.iter().copied().fold(0.0, f64::max);
    most > least * (1.0 + SAME_RATE)
}

/// Whether a value is in both sets.
pub(super) fn share_cycles(before: &[SelectedCycles], after: &[SelectedCycles]) -> bool {
    let places = |set: &[SelectedCycles]| -> BTreeSet<_> {
        let of_part = |part: &SelectedCycles| {
            let clip = part.clip;
            let placed = part.values.iter().filter_map(|value| Some((value, value.span?)));
            placed
                .map(move |(value, span)| (clip, value.kind, value.side, span.start, span.end))
                .collect::<Vec<_>>()
        };
        set.iter().flat_map(of_part).collect()
    };
    !places(before).is_disjoint(&places(after))
}

fn speed_words(part: &SelectedCycles) -> String {
    let speed = part.values.iter().find(|value| value.kind == MeasureKind::Speed);
    speed.map_or_else(String::new, |speed| format!("{:.2} m/s", speed.estimate.value))
}

fn breathing_words(part: &SelectedCycles) -> String {
    match part.selection.breathing {
        crate::BreathingSplit::All => "all strokes",
        crate::BreathingSplit::Breathing => "breathing strokes",
        crate::BreathingSplit::NonBreathing => "non-breathing strokes",
    }
    .to_owned()
}
