//! From the commands of a second marking to edits.

use stroke::MarkId;
use time::Ticks;

use crate::edit::{Answer, Edit};
use crate::perform::{Planned, clip_of};
use crate::words::mark_words;
use crate::{
    ClipId, ClipRecord, Document, EarlierMark, Fault, Proof, Refusal, Remark, Remarking, RemarkingId, check,
    limits, remarking_check,
};

fn remarking_of(document: &Document, id: RemarkingId) -> Result<&Remarking, Fault> {
    document
        .remarking(id)
        .ok_or(Fault::UnknownRemarking { remarking: id.0 })
}

/// A second marking that can still be changed, with its clip and the question.
fn open_question(
    document: &Document,
    id: RemarkingId,
    asked: MarkId,
) -> Result<(&Remarking, &ClipRecord, &EarlierMark), Fault> {
    let remarking = remarking_of(document, id)?;
    if remarking.finished {
        return Err(Fault::RemarkingFinished);
    }
    let question = remarking
        .question(asked)
        .ok_or(Fault::UnknownQuestion { asked: asked.0 })?;
    Ok((remarking, clip_of(document, remarking.clip)?, question))
}

fn at_clip_of(document: &Document, id: RemarkingId) -> impl Fn(Fault) -> Refusal {
    let clip = document.remarking(id).map(|remarking| remarking.clip.0);
    move |fault| {
        let mut refusal = Refusal::from(fault);
        refusal.place.clip = clip;
        refusal
    }
}

pub(crate) fn add_remarking(
    document: &Document,
    clip_id: ClipId,
    from: Option<Ticks>,
    to: Option<Ticks>,
) -> Planned {
    let clip = clip_of(document, clip_id)?;
    let too_many = |most| Fault::TooMany {
        what: "second markings",
        most,
    };
    if document.remarkings.len() >= limits::MOST_REMARKINGS {
        return Err(too_many(limits::MOST_REMARKINGS).into());
    }
    check::stretch(from, to)?;
    let id = document.next_remarking;
    let next_remarking = id.0.checked_add(1).map(RemarkingId);
    let next_remarking = next_remarking.ok_or_else(|| too_many(u32::MAX as usize))?;
    let remarking = Remarking::of(id, clip, from, to);
    if remarking.earlier.is_empty() {
        return Err(Fault::NothingToMarkAgain {
            clip: clip.title().to_owned(),
        }
        .into());
    }
    if document.remarked_count() + remarking.earlier.len() > limits::MOST_MARKS {
        return Err(Fault::TooMany {
            what: "marks to make again",
            most: limits::MOST_MARKS,
        }
        .into());
    }
    let label = format!("begin to mark “{}” again", clip.title());
    let edit = Edit::RemarkingIn {
        index: document.remarkings.len(),
        remarking: Box::new(remarking),
        next_remarking,
    };
    Ok((label, vec![edit]))
}

pub(crate) fn remove_remarking(document: &Document, id: RemarkingId) -> Planned {
    let remarking = remarking_of(document, id)?;
    let clip = clip_of(document, remarking.clip)?;
    let label = format!("discard the second marking of “{}”", clip.title());
    Ok((label, vec![taken_out(document, remarking)]))
}

/// The second markings of a clip go with it: without its frames they say nothing.
pub(crate) fn taken_out_with(document: &Document, clip: ClipId) -> impl Iterator<Item = Edit> {
    document
        .remarkings
        .iter()
        .filter(move |remarking| remarking.clip == clip)
        .map(|remarking| taken_out(document, remarking))
}

fn taken_out(document: &Document, remarking: &Remarking) -> Edit {
    Edit::RemarkingOut {
        remarking: remarking.id,
        next_remarking: document.next_remarking,
    }
}

pub(crate) fn finish_remarking(document: &Document, id: RemarkingId) -> Planned {
    let remarking = remarking_of(document, id)?;
    if remarking.finished {
        return Err(at_clip_of(document, id)(Fault::NothingChanges));
    }
    if remarking.marks.is_empty() {
        return Err(at_clip_of(document, id)(Fault::NothingMarkedAgain));
    }
    let clip = clip_of(document, remarking.clip)?;
    let label = format!("finish the second marking of “{}”", clip.title());
    let edit = Edit::RemarkingFinished {
        remarking: id,
        finished: true,
    };
    Ok((label, vec![edit]))
}

fn answered(document: &Document, id: RemarkingId, remark: Remark) -> Result<(String, Vec<Edit>), Fault> {
    let (remarking, clip, question) = open_question(document, id, remark.asked)?;
    remarking_check::remark(clip, question, &remark)?;
    let on_that_frame = |other: &&Remark| {
        other.asked != remark.asked
            && (other.time, other.kind, other.side) == (remark.time, remark.kind, remark.side)
    };
    if remarking.marks.iter().any(|other| on_that_frame(&other)) {
        return Err(remarking_check::remark_exists(clip, &remark));
    }
    let label = format!(
        "mark {} again on frame {}",
        mark_words(remark.kind, remark.side),
        check::frame_number(clip, remark.time)
    );
    let edit = Edit::AnswerSet {
        remarking: id,
        asked: remark.asked,
        answer: Answer::Marked(remark),
    };
    Ok((label, vec![edit]))
}

pub(crate) fn add_remark(
    document: &Document,
    id: RemarkingId,
    asked: MarkId,
    time: Ticks,
    proof: Proof,
) -> Planned {
    let at = at_clip_of(document, id);
    let (remarking, _, question) = open_question(document, id, asked).map_err(&at)?;
    if remarking.is_settled(asked) {
        return Err(at(Fault::AnsweredTwice { asked: asked.0 }));
    }
    let remark = Remark {
        asked,
        kind: question.kind,
        side: question.side,
        time,
        proof,
    };
    answered(document, id, remark).map_err(at)
}

pub(crate) fn move_remark(
    document: &Document,
    id: RemarkingId,
    asked: MarkId,
    time: Ticks,
    proof: Proof,
) -> Planned {
    let at = at_clip_of(document, id);
    let (remarking, ..) = open_question(document, id, asked).map_err(&at)?;
    let before = remarking
        .answer(asked)
        .ok_or_else(|| at(Fault::UnknownRemark { asked: asked.0 }))?;
    let remark = Remark {
        time,
        proof,
        ..*before
    };
    if remark == *before {
        return Err(at(Fault::NothingChanges));
    }
    answered(document, id, remark).map_err(at)
}

pub(crate) fn skip_remark(document: &Document, id: RemarkingId, asked: MarkId) -> Planned {
    let at = at_clip_of(document, id);
    let (remarking, _, question) = open_question(document, id, asked).map_err(&at)?;
    if remarking.is_settled(asked) {
        return Err(at(Fault::AnsweredTwice { asked: asked.0 }));
    }
    let label = format!("pass over {}", mark_words(question.kind, question.side));
    let edit = Edit::AnswerSet {
        remarking: id,
        asked,
        answer: Answer::Skipped,
    };
    Ok((label, vec![edit]))
}

pub(crate) fn delete_remark(document: &Document, id: RemarkingId, asked: MarkId) -> Planned {
    let at = at_clip_of(document, id);
    let (remarking, _, question) = open_question(document, id, asked).map_err(&at)?;
    if !remarking.is_settled(asked) {
        return Err(at(Fault::UnknownRemark { asked: asked.0 }));
    }
    let label = format!(
        "take back {} of the second marking",
        mark_words(question.kind, question.side)
    );
    let edit = Edit::AnswerSet {
        remarking: id,
        asked,
        answer: Answer::Open,
    };
    Ok((label, vec![edit]))
}
