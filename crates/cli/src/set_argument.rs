//! How a set of cycles is written on the command line.

use std::str::FromStr;

use session::{ClipId, ClipRecord, CyclePart, CycleSet, Document};
use stroke::BreathingSplit;
use time::Ticks;

/// For the help.
pub(crate) const SYNTAX: &str = "\
A SET is one stretch or several with commas between, each CLIP or CLIP:FROM-TO, and at the end what strokes:
  2                      all cycles of clip 2
  before                 all cycles of the clip that is called so
  1:2.5-14,3             those of clip 1 that lie wholly from 2.5 to 14 s, and all of clip 3
  1:-14/non_breathing    those of clip 1 up to 14 s in which no breath is taken (or /breathing)
CLIP is a clip's id (column clip_id of `wetframe marks`), or its label or file name where that holds no comma.
Seconds are those of the column true_time_s; FROM or TO may be left out.";

/// A set as it was written.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SetArgument {
    parts: Vec<PartArgument>,
    breathing: BreathingSplit,
}

#[derive(Clone, Debug, PartialEq)]
struct PartArgument {
    clip: String,
    from_s: Option<f64>,
    to_s: Option<f64>,
}

impl FromStr for SetArgument {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (parts, breathing) = if let Some(parts) = text.strip_suffix("/non_breathing") {
            (parts, BreathingSplit::NonBreathing)
        } else if let Some(parts) = text.strip_suffix("/breathing") {
            (parts, BreathingSplit::Breathing)
        } else {
            (text, BreathingSplit::All)
        };
        Ok(Self {
            parts: parts.split(',').map(part).collect::<Result<_, _>>()?,
            breathing,
        })
    }
}

/// What follows the last colon is a stretch where it looks like one: a file's name may hold a colon too.
fn part(text: &str) -> Result<PartArgument, String> {
    let stretch = text
        .rsplit_once(':')
        .and_then(|(clip, stretch)| Some((clip, stretch.split_once('-')?)));
    let (clip, from_s, to_s) = match stretch {
        Some((clip, (from, to))) => (clip, seconds(from)?, seconds(to)?),
        None => (text, None, None),
    };
    if clip.is_empty() {
        return Err("a clip's id, label or file name is missing".into());
    }
    if let (Some(from), Some(to)) = (from_s, to_s)
        && from >= to
    {
        return Err(format!("the stretch from {from} to {to} s holds nothing"));
    }
    Ok(PartArgument {
        clip: clip.to_owned(),
        from_s,
        to_s,
    })
}

fn seconds(text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let number = text
        .parse::<f64>()
        .ok()
        .filter(|number| number.is_finite() && *number >= 0.0);
    number
        .map(Some)
        .ok_or_else(|| format!("“{text}” is no number of seconds"))
}

impl SetArgument {
    /// The set in a session; `Err` says which clip the session does not have.
    pub(crate) fn set_in(&self, document: &Document) -> Result<CycleSet, String> {
        let parts = self.parts.iter().map(|part| {
            let clip = clip_called(document, &part.clip)?;
            Ok(CyclePart {
                clip: clip.id,
                from: part.from_s.map(|seconds| ticks(clip, seconds)).transpose()?,
                to: part.to_s.map(|seconds| ticks(clip, seconds)).transpose()?,
            })
        });
        Ok(CycleSet {
            parts: parts.collect::<Result<_, String>>()?,
            breathing: self.breathing,
        })
    }
}

fn clip_called<'d>(document: &'d Document, name: &str) -> Result<&'d ClipRecord, String> {
    if let Some(clip) = name.parse().ok().and_then(|id| document.clip(ClipId(id))) {
        return Ok(clip);
    }
    let mut called = document
        .clips
        .iter()
        .filter(|clip| clip.label == name || clip.name == name);
    match (called.next(), called.next()) {
        (Some(clip), None) => Ok(clip),
        (Some(_), Some(_)) => Err(format!("several clips are called “{name}”: give the clip's id")),
        (None, _) => {
            let there: Vec<String> = document
                .clips
                .iter()
                .map(|clip| format!("{} (“{}”)", clip.id.0, clip.title()))
                .collect();
            Err(format!(
                "the session has no clip “{name}”; it has {}",
                there.join(", ")
            ))
        }
    }
}

/// The clip's tick nearest to so many true seconds.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a stretch beyond 2^63 ticks holds every cycle"
)]
fn ticks(clip: &ClipRecord, seconds: f64) -> Result<Ticks, String> {
    let clock = clip.clock().map_err(|error| error.to_string())?;
    Ok(Ticks((seconds / clock.seconds(1)).round() as i64))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<SetArgument, String> {
        text.parse()
    }

    #[test]
    fn stretches_strokes_and_names_are_told_apart() {
        let set = read("1:2.5-14,late: IMG 3.mov,2:-9/non_breathing").unwrap();
        assert_eq!(set.breathing, BreathingSplit::NonBreathing);
        let parts: Vec<_> = set
            .parts
            .iter()
            .map(|part| (part.clip.as_str(), part.from_s, part.to_s))
            .collect();
        assert_eq!(
            parts,
            [
                ("1", Some(2.5), Some(14.0)),
                ("late: IMG 3.mov", None, None),
                ("2", None, Some(9.0))
            ]
        );
        assert_eq!(
            read("before/breathing").unwrap().breathing,
            BreathingSplit::Breathing
        );
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        assert_eq!(
            read("1:9-4").unwrap_err(),
            "the stretch from 9 to 4 s holds nothing"
        );
        assert_eq!(read("1:x-4").unwrap_err(), "“x” is no number of seconds");
        assert_eq!(
            read("").unwrap_err(),
            "a clip's id, label or file name is missing"
        );
    }
}
