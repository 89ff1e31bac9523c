//! Kick-outs and downbeats.

use serde::{Deserialize, Serialize};
use time::Ticks;

use crate::breath::BreathMoments;
use crate::flag::{FlagKind, Flags};
use crate::ordered::Marks;
use crate::strokes::Alternation;
use crate::uncertain::Input;
use crate::{MarkId, MarkKind, Side};

/// One kick-out, as far as it is marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct KickOut {
    /// Which leg, or both.
    pub side: Side,
    /// The legs part, ticks.
    pub start: Option<Ticks>,
    /// They close, ticks.
    pub end: Option<Ticks>,
    /// Whether it starts in a stroke with a breath; `None` when that is not known.
    pub breathing: Option<bool>,
    /// Its marks in time order.
    pub marks: Vec<MarkId>,
}

/// One downbeat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Downbeat {
    /// Which foot.
    pub side: Side,
    /// Ticks.
    pub time: Ticks,
    /// Its mark.
    pub mark: MarkId,
}

/// One kick-out's marks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct KickOutMarks {
    pub(crate) side: Side,
    pub(crate) start: Option<Input>,
    pub(crate) end: Option<Input>,
}

/// All kick-outs in time order.
pub(crate) fn kick_outs_of(marks: &Marks, left_out: &[bool], flags: &mut Flags) -> Vec<KickOutMarks> {
    let mut kick_outs: Vec<KickOutMarks> = Vec::new();
    for side in [Side::Left, Side::Right, Side::Both] {
        let mut open: Option<Input> = None;
        for mark in marks.select(|mark| {
            matches!(mark.kind, MarkKind::KickOutStart | MarkKind::KickOutEnd) && mark.side == Some(side)
        }) {
            if left_out[mark as usize] {
                continue;
            }
            if marks.sorted[mark as usize].kind == MarkKind::KickOutStart {
                if let Some(start) = open.replace(mark) {
                    flags.raise(FlagKind::KickOutStartWithoutEnd, [start, mark]);
                    kick_outs.push(KickOutMarks {
                        side,
                        start: Some(start),
                        end: None,
                    });
                }
            } else {
                let start = open.take();
                if start.is_none() {
                    flags.raise(FlagKind::KickOutEndWithoutStart, [mark]);
                }
                kick_outs.push(KickOutMarks {
                    side,
                    start,
                    end: Some(mark),
                });
            }
        }
        kick_outs.extend(open.map(|start| KickOutMarks {
            side,
            start: Some(start),
            end: None,
        }));
    }
    tiny_sort::stable::sort_by_key(&mut kick_outs, |kick_out| {
        (kick_out.start.or(kick_out.end), kick_out.side)
    });
    kick_outs
}

/// All downbeats in time order.
pub(crate) fn downbeats_of(marks: &Marks, left_out: &[bool]) -> Vec<Input> {
    let mut downbeats = marks.select(|mark| mark.kind == MarkKind::Downbeat);
    downbeats.retain(|mark| !left_out[*mark as usize]);
    downbeats
}

impl KickOutMarks {
    /// As the page sees it.
    pub(crate) fn written(
        &self,
        marks: &Marks,
        alternation: &Alternation,
        breaths: &BreathMoments,
    ) -> KickOut {
        let start = self.start.map(|mark| marks.time(mark));
        KickOut {
            side: self.side,
            start,
            end: self.end.map(|mark| marks.time(mark)),
            breathing: start.and_then(|start| alternation.breathing_at(start, breaths)),
            marks: self
                .start
                .into_iter()
                .chain(self.end)
                .map(|mark| marks.id(mark))
                .collect(),
        }
    }
}

/// As the page sees them.
pub(crate) fn written_downbeats(downbeats: &[Input], marks: &Marks) -> Vec<Downbeat> {
    downbeats
        .iter()
        .map(|mark| Downbeat {
            side: marks.sorted[*mark as usize].side.unwrap_or(Side::Both),
            time: marks.time(*mark),
            mark: marks.id(*mark),
        })
        .collect()
}
