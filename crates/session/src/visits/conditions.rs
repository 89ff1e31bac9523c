//! What was stated about how a clip was swum and filmed, in words that can be laid side by side.

use serde::Serialize;
use stroke::Speed;

use crate::ClipRecord;
use crate::words::{aid_words, kick_words, view_words};

/// The conditions of a clip in words; empty where nothing was said.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ConditionWords {
    /// Where the camera stood.
    pub view: String,
    /// Whether the swimmer kicked.
    pub kick: String,
    /// What the swimmer wore or held.
    pub aids: String,
    /// How the speed is known, and the speed where it was set rather than timed: a speed that pass marks give is a
    /// result, not a condition.
    pub speed: String,
}

impl ConditionWords {
    /// Of a clip.
    #[must_use]
    pub fn of(clip: &ClipRecord) -> Self {
        let aids: Vec<&str> = clip.aids.iter().map(|aid| aid_words(*aid)).collect();
        Self {
            view: clip.view.map_or("", view_words).to_owned(),
            kick: clip.kick.map_or("", kick_words).to_owned(),
            aids: aids.join(", "),
            speed: clip.speed.map_or_else(String::new, speed_words),
        }
    }

    /// What is other than in `before`: “kick: with kick → without kick”.
    #[must_use]
    pub fn changes_since(&self, before: &Self) -> Vec<String> {
        let fields = [
            ("view", &before.view, &self.view, "not stated"),
            ("kick", &before.kick, &self.kick, "not stated"),
            ("aids", &before.aids, &self.aids, "none"),
            ("speed", &before.speed, &self.speed, "not stated"),
        ];
        let said = |words: &str, nothing: &str| {
            if words.is_empty() {
                nothing.to_owned()
            } else {
                words.to_owned()
            }
        };
        fields
            .into_iter()
            .filter(|(_, was, is, _)| was != is)
            .map(|(name, was, is, nothing)| format!("{name}: {} → {}", said(was, nothing), said(is, nothing)))
            .collect()
    }
}

fn speed_words(speed: Speed) -> String {
    match speed {
        Speed::Flume { m_per_s, .. } => format!("flume {m_per_s} m/s"),
        Speed::Pace { s_per_100_m } => format!("pace {s_per_100_m} s per 100 m"),
        Speed::Passes { .. } => "timed by pass marks".to_owned(),
    }
}
