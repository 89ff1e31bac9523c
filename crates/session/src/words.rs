//! The coach's words for marks and numbers, as they stand in labels and messages.

use stroke::{MarkKind, Side};

use crate::limits::Range;
use crate::{Aid, Kick, View};

/// "left entry", "kick-out start of both legs", "pass".
pub(crate) fn mark_words(kind: MarkKind, side: Option<Side>) -> String {
    let kind = kind.words();
    match side {
        Some(Side::Left) => format!("left {kind}"),
        Some(Side::Right) => format!("right {kind}"),
        Some(Side::Both) => format!("{kind} of both legs"),
        None => kind.to_owned(),
    }
}

pub(crate) fn range_words(range: &Range) -> String {
    let least = if range.includes_least { "at least" } else { "above" };
    format!("{least} {} and at most {}", range.least, range.most)
}

pub(crate) fn side_words(side: Option<Side>) -> &'static str {
    match side {
        Some(Side::Left) => "left",
        Some(Side::Right) => "right",
        Some(Side::Both) => "both",
        None => "none",
    }
}

pub(crate) fn view_words(view: View) -> &'static str {
    match view {
        View::Side => "from the side",
        View::Front => "from the front",
        View::Above => "from above",
        View::Rear => "from behind",
    }
}

pub(crate) fn kick_words(kick: Kick) -> &'static str {
    match kick {
        Kick::Kick => "with kick",
        Kick::NoKick => "without kick",
    }
}

pub(crate) fn aid_words(aid: Aid) -> &'static str {
    match aid {
        Aid::Buoy => "buoy",
        Aid::Fins => "fins",
        Aid::Snorkel => "snorkel",
        Aid::Paddles => "paddles",
    }
}
