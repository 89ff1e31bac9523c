//! A clip's marks and what is drawn of them: whole at first, then only what has changed since the page's last
//! look, so that a key costs the same on the five-thousandth mark as on the first.
//!
//! Without the measures: there are many, and this is fetched after every key.

use std::collections::BTreeMap;
use std::rc::Rc;

use serde::Serialize;
use session::{ClipRecord, MarkRecord};
use stroke::{
    Analysis, ArmTimeline, Breath, Cycle, Downbeat, DriveStretch, Flag, KickOut, MarkId, PhaseStretch, Side,
};

/// A clip's marks and what is drawn of them.
#[derive(Serialize)]
pub struct MarkingView<'a> {
    analysis: Timeline<'a>,
    marks: &'a [MarkView],
    cycles_marked: usize,
}

/// The analysis without its measures.
#[derive(Serialize)]
struct Timeline<'a> {
    frame_rate_fps: f64,
    frame_error_ms: f64,
    arms: &'a [ArmTimeline],
    leading_arm: Option<Side>,
    drive: &'a [DriveStretch],
    breaths: &'a [Breath],
    kick_outs: &'a [KickOut],
    downbeats: &'a [Downbeat],
    flags: &'a [Flag],
}

/// A mark with its frame and the flags that speak of it.
#[derive(PartialEq, Serialize)]
struct MarkView {
    #[serde(flatten)]
    mark: MarkRecord,
    /// From 0, in presentation order.
    frame: Option<usize>,
    /// Which of the analysis' flags.
    flags: Vec<usize>,
}

/// What the page is told: `whole` where it has nothing to build on, else `changes`.
#[derive(Serialize)]
pub struct MarkingNews<'a> {
    /// Names this state; the page says it at its next look.
    version: u32,
    whole: Option<MarkingView<'a>>,
    changes: Option<Changes<'a>>,
}

/// What has changed: of each list the part that was replaced, `null` where it stands as it was.
#[derive(Serialize)]
struct Changes<'a> {
    frame_rate_fps: f64,
    frame_error_ms: f64,
    leading_arm: Option<Side>,
    cycles_marked: usize,
    marks: Option<Splice<'a, MarkView>>,
    arms: Vec<ArmChanges<'a>>,
    drive: Option<Splice<'a, DriveStretch>>,
    breaths: Option<Splice<'a, Breath>>,
    kick_outs: Option<Splice<'a, KickOut>>,
    downbeats: Option<Splice<'a, Downbeat>>,
    flags: Option<Splice<'a, Flag>>,
}

#[derive(Serialize)]
struct ArmChanges<'a> {
    cycles: Option<Splice<'a, Cycle>>,
    phases: Option<Splice<'a, PhaseStretch>>,
}

/// The part of a list that was replaced: from `from` on, `removed` entries went and `added` came.
#[derive(Debug, PartialEq, Serialize)]
struct Splice<'a, T> {
    from: usize,
    removed: usize,
    added: &'a [T],
}

impl<'a, T: PartialEq> Splice<'a, T> {
    /// `None` where nothing was replaced.
    fn between(before: &[T], after: &'a [T]) -> Option<Self> {
        let alike =
            |pairs: &mut dyn Iterator<Item = (&T, &T)>| pairs.take_while(|(one, other)| one == other).count();
        let from = alike(&mut before.iter().zip(after));
        if from == before.len() && from == after.len() {
            return None;
        }
        let kept = alike(&mut before[from..].iter().rev().zip(after[from..].iter().rev()));
        Some(Self {
            from,
            removed: before.len() - from - kept,
            added: &after[from..after.len() - kept],
        })
    }
}

/// A state of a clip's marking, as the page was last told it.
pub struct Marking {
    version: u32,
    analysis: Rc<Analysis>,
    marks: Vec<MarkView>,
    cycles_marked: usize,
}

impl Marking {
    /// The clip as it is now.
    pub fn of(clip: &ClipRecord, analysis: Rc<Analysis>, version: u32) -> Self {
        let mut flags_of: BTreeMap<MarkId, Vec<usize>> = BTreeMap::new();
        for (index, flag) in analysis.flags.iter().enumerate() {
            for mark in &flag.marks {
                flags_of.entry(*mark).or_default().push(index);
            }
        }
        let mut marks: Vec<MarkView> = clip
            .marks
            .iter()
            .map(|mark| MarkView {
                mark: *mark,
                frame: clip.frame_of(mark),
                flags: flags_of.get(&mark.id).cloned().unwrap_or_default(),
            })
            .collect();
        marks.sort_by_key(|view| (view.mark.time, view.mark.id));
        Self {
            version,
            analysis,
            marks,
            cycles_marked: clip.summary().cycles_marked,
        }
    }

    /// All of it.
    pub fn whole(&self) -> MarkingView<'_> {
        let analysis = &self.analysis;
        MarkingView {
            analysis: Timeline {
                frame_rate_fps: analysis.frame_rate_fps,
                frame_error_ms: analysis.frame_error_ms,
                arms: &analysis.arms,
                leading_arm: analysis.leading_arm,
                drive: &analysis.drive,
                breaths: &analysis.breaths,
                kick_outs: &analysis.kick_outs,
                downbeats: &analysis.downbeats,
                flags: &analysis.flags,
            },
            marks: &self.marks,
            cycles_marked: self.cycles_marked,
        }
    }

    /// What a page that knows `known` has to be told.
    pub fn news(&self, known: Option<&Self>) -> MarkingNews<'_> {
        MarkingNews {
            version: self.version,
            whole: known.is_none().then(|| self.whole()),
            changes: known.map(|known| self.changes(known)),
        }
    }

    /// Names the state.
    pub fn version(&self) -> u32 {
        self.version
    }

    fn changes(&self, known: &Self) -> Changes<'_> {
        let (before, after) = (&known.analysis, &self.analysis);
        let arms = before.arms.iter().zip(&after.arms);
        Changes {
            frame_rate_fps: after.frame_rate_fps,
            frame_error_ms: after.frame_error_ms,
            leading_arm: after.leading_arm,
            cycles_marked: self.cycles_marked,
            marks: Splice::between(&known.marks, &self.marks),
            arms: arms
                .map(|(before, after)| ArmChanges {
                    cycles: Splice::between(&before.cycles, &after.cycles),
                    phases: Splice::between(&before.phases, &after.phases),
                })
                .collect(),
            drive: Splice::between(&before.drive, &after.drive),
            breaths: Splice::between(&before.breaths, &after.breaths),
            kick_outs: Splice::between(&before.kick_outs, &after.kick_outs),
            downbeats: Splice::between(&before.downbeats, &after.downbeats),
            flags: Splice::between(&before.flags, &after.flags),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Splice;

    #[test]
    fn a_splice_turns_the_list_before_into_the_list_after() {
        let lists: [&[u8]; 8] = [
            &[],
            &[1],
            &[1, 2, 3],
            &[1, 3],
            &[1, 1, 1],
            &[1, 1],
            &[4, 2, 3],
            &[1, 2, 3, 4],
        ];
        for before in lists {
            for after in lists {
                let mut list = before.to_vec();
                if let Some(splice) = Splice::between(before, after) {
                    list.splice(
                        splice.from..splice.from + splice.removed,
                        splice.added.iter().copied(),
                    );
                } else {
                    assert_eq!(before, after);
                }
                assert_eq!(list, after);
            }
        }
    }

    #[test]
    fn a_splice_holds_no_more_than_what_changed() {
        let splice = Splice::between(&[1, 2, 3, 4, 5], &[1, 2, 9, 4, 5]);
        assert_eq!(
            splice,
            Some(Splice {
                from: 2,
                removed: 1,
                added: &[9]
            })
        );
    }
}
