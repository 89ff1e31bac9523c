//! The rules that every second marking keeps, for commands and for the reader of files alike.

use std::collections::{HashMap, HashSet};

use crate::check::{frame_number, id_is_free, on_a_frame, side, stretch};
use crate::{ClipRecord, Document, EarlierMark, Fault, Remark, Remarking};

/// An answer's own rules: what was asked for, on a frame of the clip.
pub(crate) fn remark(clip: &ClipRecord, question: &EarlierMark, remark: &Remark) -> Result<(), Fault> {
    if (remark.kind, remark.side) != (question.kind, question.side) {
        return Err(Fault::AnswerDiffers {
            asked: remark.asked.0,
            kind: remark.kind,
            side: remark.side,
            wanted_kind: question.kind,
            wanted_side: question.side,
        });
    }
    on_a_frame(clip, remark.time)
}

/// Every rule of a second marking apart from its own id, each fault with its place within it.
pub(crate) fn remarking(document: &Document, remarking: &Remarking) -> Vec<(String, Fault)> {
    let mut faults = Vec::new();
    let mut keep = |path: String, outcome: Result<(), Fault>| {
        if let Err(fault) = outcome {
            faults.push((path, fault));
        }
    };
    keep("/to".into(), stretch(remarking.from, remarking.to));
    let Some(clip) = document.clip(remarking.clip) else {
        let clip = remarking.clip.0;
        keep("/clip".into(), Err(Fault::UnknownClip { clip }));
        return faults;
    };
    if remarking.earlier.is_empty() {
        let clip = clip.title().to_owned();
        keep("/earlier".into(), Err(Fault::NothingToMarkAgain { clip }));
    }
    if remarking.finished && remarking.marks.is_empty() {
        keep("/finished".into(), Err(Fault::NothingMarkedAgain));
    }
    let mut questions = HashMap::new();
    let mut ids = HashSet::new();
    for (index, each) in remarking.earlier.iter().enumerate() {
        let at = |field: &str| format!("/earlier/{index}{field}");
        keep(
            at("/mark"),
            id_is_free("mark", each.mark.0, document.next_mark.0, &mut ids),
        );
        questions.insert(each.mark, each);
        keep(at("/side"), side(each.kind, each.side));
        keep(at("/time"), on_a_frame(clip, each.time));
    }
    let mut answered = HashSet::new();
    let mut seen = HashSet::new();
    for (index, each) in remarking.marks.iter().enumerate() {
        let at = |field: &str| format!("/marks/{index}{field}");
        let asked = each.asked.0;
        let Some(question) = questions.get(&each.asked) else {
            keep(at("/asked"), Err(Fault::UnknownQuestion { asked }));
            continue;
        };
        if !answered.insert(each.asked) {
            keep(at("/asked"), Err(Fault::AnsweredTwice { asked }));
        }
        if let Err(fault) = remark(clip, question, each) {
            let field = match fault {
                Fault::AnswerDiffers { .. } => "/kind",
                _ => "/time",
            };
            keep(at(field), Err(fault));
        } else if !seen.insert((each.time, each.kind, each.side)) {
            keep(at(""), Err(remark_exists(clip, each)));
        }
    }
    for (index, asked) in remarking.skipped.iter().enumerate() {
        let at = format!("/skipped/{index}");
        if !questions.contains_key(asked) {
            keep(at, Err(Fault::UnknownQuestion { asked: asked.0 }));
        } else if !answered.insert(*asked) {
            keep(at, Err(Fault::AnsweredTwice { asked: asked.0 }));
        }
    }
    faults
}

pub(crate) fn remark_exists(clip: &ClipRecord, remark: &Remark) -> Fault {
    Fault::MarkExists {
        kind: remark.kind,
        side: remark.side,
        frame: frame_number(clip, remark.time),
    }
}
