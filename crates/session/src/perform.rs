//! From a command to edits: checks it against the document, does it, and keeps what takes it back.

use stroke::{MarkId, MarkKind, Side};
use time::Ticks;

use crate::edit::{ClipFields, Edit, SessionFields};
use crate::words::mark_words;
use crate::{
    ClipChange, ClipId, ClipRecord, Command, Document, Fault, MarkRecord, NewClip, Proof, Refusal,
    SessionChange, check, clip_record, comparison_commands, limits, remarking_commands,
};

/// What a command did.
pub(crate) struct Performed {
    /// What it is called, in the coach's words.
    pub label: String,
    /// What takes it back, to be performed from the last to the first.
    pub inverse: Vec<Edit>,
}

/// Does the command, or leaves the document as it was.
pub(crate) fn perform(document: &mut Document, command: Command) -> Result<Performed, Refusal> {
    let Command::Group { label, commands } = command else {
        return one(document, command);
    };
    check::line("the group's label", &label, limits::MOST_LABEL_CHARACTERS)?;
    if commands.is_empty() {
        return Err(Fault::GroupEmpty { label }.into());
    }
    if commands.len() > limits::MOST_COMMANDS_IN_GROUP {
        return Err(Fault::TooMany {
            what: "commands in a group",
            most: limits::MOST_COMMANDS_IN_GROUP,
        }
        .into());
    }
    let mut inverse = Vec::with_capacity(commands.len());
    for (index, command) in commands.into_iter().enumerate() {
        match one(document, command) {
            Ok(done) => inverse.extend(done.inverse),
            Err(mut refusal) => {
                take_back(document, inverse)?;
                refusal.place.command = Some(index);
                return Err(refusal);
            }
        }
    }
    Ok(Performed { label, inverse })
}

/// Performs edits from the last to the first; gives what takes that back, again to be performed from the
/// last to the first.
pub(crate) fn take_back(document: &mut Document, edits: Vec<Edit>) -> Result<Vec<Edit>, Fault> {
    let mut back = Vec::with_capacity(edits.len());
    for edit in edits.into_iter().rev() {
        back.push(edit.perform(document)?);
    }
    Ok(back)
}

fn one(document: &mut Document, command: Command) -> Result<Performed, Refusal> {
    let (label, edits) = match command {
        Command::AddClip { clip } => add_clip(document, *clip)?,
        Command::RemoveClip { clip } => remove_clip(document, clip)?,
        Command::EditClip { clip, change } => edit_clip(document, clip, *change)?,
        Command::AddMark {
            clip,
            kind,
            side,
            time,
            proof,
        } => add_mark(document, clip, kind, side, time, proof)?,
        Command::MoveMark { mark, time, proof } => move_mark(document, mark, time, proof)?,
        Command::RetypeMark { mark, kind, side } => retype_mark(document, mark, kind, side)?,
        Command::DeleteMarks { marks } => delete_marks(document, marks)?,
        Command::EditSession { change } => edit_session(document, *change)?,
        Command::AddRemarking { clip, from, to } => {
            remarking_commands::add_remarking(document, clip, from, to)?
        }
        Command::AddRemark {
            remarking,
            asked,
            time,
            proof,
        } => remarking_commands::add_remark(document, remarking, asked, time, proof)?,
        Command::MoveRemark {
            remarking,
            asked,
            time,
            proof,
        } => remarking_commands::move_remark(document, remarking, asked, time, proof)?,
        Command::SkipRemark { remarking, asked } => {
            remarking_commands::skip_remark(document, remarking, asked)?
        }
        Command::DeleteRemark { remarking, asked } => {
            remarking_commands::delete_remark(document, remarking, asked)?
        }
        Command::FinishRemarking { remarking } => remarking_commands::finish_remarking(document, remarking)?,
        Command::RemoveRemarking { remarking } => remarking_commands::remove_remarking(document, remarking)?,
        Command::AddComparison { comparison } => comparison_commands::add_comparison(document, *comparison)?,
        Command::EditComparison { comparison, change } => {
            comparison_commands::edit_comparison(document, comparison, *change)?
        }
        Command::RemoveComparison { comparison } => {
            comparison_commands::remove_comparison(document, comparison)?
        }
        Command::Group { .. } => return Err(Fault::GroupInGroup.into()),
    };
    let mut inverse = Vec::with_capacity(edits.len());
    for edit in edits {
        match edit.perform(document) {
            Ok(back) => inverse.push(back),
            Err(fault) => {
                take_back(document, inverse)?;
                return Err(fault.into());
            }
        }
    }
    Ok(Performed { label, inverse })
}

pub(crate) type Planned = Result<(String, Vec<Edit>), Refusal>;

pub(crate) fn clip_of(document: &Document, clip: ClipId) -> Result<&ClipRecord, Fault> {
    document.clip(clip).ok_or(Fault::UnknownClip { clip: clip.0 })
}

fn mark_of(document: &Document, mark: MarkId) -> Result<(&ClipRecord, &MarkRecord), Fault> {
    document.mark(mark).ok_or(Fault::UnknownMark { mark: mark.0 })
}

fn at_clip(clip: ClipId) -> impl Fn(Fault) -> Refusal {
    move |fault| {
        let mut refusal = Refusal::from(fault);
        refusal.place.clip = Some(clip.0);
        refusal
    }
}

fn at_mark(clip: ClipId, mark: MarkId) -> impl Fn(Fault) -> Refusal {
    move |fault| {
        let mut refusal = at_clip(clip)(fault);
        refusal.place.mark = Some(mark.0);
        refusal
    }
}

fn add_clip(document: &Document, clip: NewClip) -> Planned {
    let too_many = |what, most| Fault::TooMany { what, most };
    if document.clips.len() >= limits::MOST_CLIPS {
        return Err(too_many("clips", limits::MOST_CLIPS).into());
    }
    let frames: usize = document.clips.iter().map(|clip| clip.frame_times.len()).sum();
    if frames.saturating_add(clip.frame_times.len()) > limits::MOST_FRAMES {
        return Err(too_many("frames", limits::MOST_FRAMES).into());
    }
    let id = document.next_clip;
    let next_clip = id.0.checked_add(1).map(ClipId);
    let next_clip = next_clip.ok_or_else(|| too_many("clips", u32::MAX as usize))?;
    let clip = clip.into_record(id);
    if let Some((field, fault)) = check::clip_fields(&clip).into_iter().next() {
        let mut refusal = Refusal::from(fault);
        refusal.place.path = Some(format!("/clip/{field}"));
        return Err(refusal);
    }
    let label = format!("add the clip “{}”", clip.title());
    let edit = Edit::ClipIn {
        index: document.clips.len(),
        clip: Box::new(clip),
        next_clip,
    };
    Ok((label, vec![edit]))
}

fn remove_clip(document: &Document, clip: ClipId) -> Planned {
    let label = format!("remove the clip “{}”", clip_of(document, clip)?.title());
    let next_clip = document.next_clip;
    let mut edits: Vec<Edit> = comparison_commands::taken_out_with(document, clip).collect();
    edits.extend(remarking_commands::taken_out_with(document, clip));
    edits.push(Edit::ClipOut { clip, next_clip });
    Ok((label, edits))
}

fn edit_clip(document: &Document, id: ClipId, change: ClipChange) -> Planned {
    let clip = clip_of(document, id)?;
    let before = ClipFields::of(clip);
    let mut fields = before.clone();
    let mut changed = Vec::new();
    let ClipChange {
        name,
        label,
        filmed_rate_fps,
        view,
        kick,
        aids,
        speed,
        notes,
        duplicated_frames,
    } = change;
    let at = at_clip(id);
    if let Some(name) = name {
        check::clip_name(&name).map_err(&at)?;
        set(&mut fields.name, name, "file name", &mut changed);
    }
    if let Some(label) = label {
        check::clip_label(&label).map_err(&at)?;
        set(&mut fields.label, label, "label", &mut changed);
    }
    if let Some(rate_fps) = filmed_rate_fps {
        check::filmed_rate(rate_fps).map_err(&at)?;
        set(&mut fields.filmed_rate_fps, rate_fps, "filmed rate", &mut changed);
    }
    if let Some(view) = view {
        set(&mut fields.view, view, "view", &mut changed);
    }
    if let Some(kick) = kick {
        set(&mut fields.kick, kick, "kick", &mut changed);
    }
    if let Some(aids) = aids {
        set(
            &mut fields.aids,
            clip_record::each_once(aids),
            "aids",
            &mut changed,
        );
    }
    if let Some(speed) = speed {
        speed.as_ref().map_or(Ok(()), check::speed).map_err(&at)?;
        set(&mut fields.speed, speed, "speed", &mut changed);
    }
    if let Some(notes) = notes {
        check::notes(&notes).map_err(&at)?;
        set(&mut fields.notes, notes, "notes", &mut changed);
    }
    if let Some(frames) = duplicated_frames {
        if let Some(frames) = &frames {
            check::duplicated_frames(frames, &clip.frame_times).map_err(&at)?;
        }
        set(
            &mut fields.duplicated_frames,
            frames,
            "duplicated frames",
            &mut changed,
        );
    }
    let label = changed_words(&changed, &format!("of “{}”", clip.title())).ok_or(Fault::NothingChanges)?;
    let edit = Edit::ClipSet {
        clip: id,
        fields: Box::new(fields),
    };
    Ok((label, vec![edit]))
}

/// Sets a field and notes its name where that changes it.
pub(crate) fn set<T: PartialEq>(
    field: &mut T,
    value: T,
    name: &'static str,
    changed: &mut Vec<&'static str>,
) {
    if *field != value {
        *field = value;
        changed.push(name);
    }
}

/// "change the label and the view of “before”"; `None` where nothing has changed.
pub(crate) fn changed_words(changed: &[&'static str], of: &str) -> Option<String> {
    let (last, others) = changed.split_last()?;
    let mut words = String::from("change ");
    for (index, name) in others.iter().enumerate() {
        words.push_str(if index == 0 { "the " } else { ", the " });
        words.push_str(name);
    }
    words.push_str(if others.is_empty() { "the " } else { " and the " });
    words.push_str(last);
    if !of.is_empty() {
        words.push(' ');
        words.push_str(of);
    }
    Some(words)
}

fn add_mark(
    document: &Document,
    clip_id: ClipId,
    kind: MarkKind,
    side: Option<Side>,
    time: Ticks,
    proof: Proof,
) -> Planned {
    let clip = clip_of(document, clip_id)?;
    let too_many = |most| Fault::TooMany { what: "marks", most };
    if document.mark_count() >= limits::MOST_MARKS {
        return Err(too_many(limits::MOST_MARKS).into());
    }
    let id = document.next_mark;
    let next_mark = id.0.checked_add(1).map(MarkId);
    let next_mark = next_mark.ok_or_else(|| too_many(u32::MAX as usize))?;
    let mark = MarkRecord {
        id,
        kind,
        side,
        time,
        proof,
    };
    mark_fits(clip, &mark).map_err(at_clip(clip_id))?;
    let label = format!(
        "mark {} on frame {}",
        mark_words(kind, side),
        check::frame_number(clip, time)
    );
    let edit = Edit::MarkIn {
        clip: clip_id,
        mark,
        next_mark,
    };
    Ok((label, vec![edit]))
}

/// The mark's own rules, and no other mark of its kind and side on that frame.
fn mark_fits(clip: &ClipRecord, mark: &MarkRecord) -> Result<(), Fault> {
    check::mark(clip, mark)?;
    match clip.mark_at(mark.time, mark.kind, mark.side) {
        Some(other) if other.id != mark.id => Err(check::mark_exists(clip, mark)),
        _ => Ok(()),
    }
}

fn move_mark(document: &Document, id: MarkId, time: Ticks, proof: Proof) -> Planned {
    let (clip, before) = mark_of(document, id)?;
    let mark = MarkRecord {
        time,
        proof,
        ..*before
    };
    mark_fits(clip, &mark).map_err(at_mark(clip.id, id))?;
    if mark == *before {
        return Err(at_mark(clip.id, id)(Fault::NothingChanges));
    }
    let label = format!(
        "move {} from frame {} to {}",
        mark_words(mark.kind, mark.side),
        check::frame_number(clip, before.time),
        check::frame_number(clip, time)
    );
    Ok((label, vec![Edit::MarkSet { clip: clip.id, mark }]))
}

fn retype_mark(document: &Document, id: MarkId, kind: MarkKind, side: Option<Side>) -> Planned {
    let (clip, before) = mark_of(document, id)?;
    let mark = MarkRecord {
        kind,
        side,
        ..*before
    };
    mark_fits(clip, &mark).map_err(at_mark(clip.id, id))?;
    if mark == *before {
        return Err(at_mark(clip.id, id)(Fault::NothingChanges));
    }
    let label = format!(
        "make {} on frame {} {}",
        mark_words(before.kind, before.side),
        check::frame_number(clip, mark.time),
        mark_words(kind, side)
    );
    Ok((label, vec![Edit::MarkSet { clip: clip.id, mark }]))
}

fn delete_marks(document: &Document, mut marks: Vec<MarkId>) -> Planned {
    tiny_sort::unstable::sort(&mut marks);
    marks.dedup();
    let [first, ..] = marks[..] else {
        return Err(Fault::NothingChanges.into());
    };
    let next_mark = document.next_mark;
    let mut edits = Vec::with_capacity(marks.len());
    for clip in &document.clips {
        for mark in &clip.marks {
            if marks.binary_search(&mark.id).is_ok() {
                edits.push(Edit::MarkOut {
                    clip: clip.id,
                    mark: mark.id,
                    next_mark,
                });
            }
        }
    }
    if edits.len() < marks.len() {
        for mark in &marks {
            mark_of(document, *mark)?;
        }
    }
    let label = if marks.len() == 1 {
        let (clip, mark) = mark_of(document, first)?;
        let words = mark_words(mark.kind, mark.side);
        format!("delete {words} on frame {}", check::frame_number(clip, mark.time))
    } else {
        format!("delete {} marks", marks.len())
    };
    Ok((label, edits))
}

fn edit_session(document: &Document, change: SessionChange) -> Planned {
    let mut fields = SessionFields {
        athlete: document.athlete.clone(),
        date: document.date,
        notes: document.notes.clone(),
        water: document.water,
        settings: document.settings.clone(),
    };
    let mut changed = Vec::new();
    let SessionChange {
        athlete,
        date,
        notes,
        water,
        settings,
    } = change;
    if let Some(athlete) = athlete {
        if let Some(label) = athlete.label {
            check::athlete_label(&label)?;
            set(&mut fields.athlete.label, label, "athlete's label", &mut changed);
        }
        if let Some(under_18) = athlete.under_18 {
            set(
                &mut fields.athlete.under_18,
                under_18,
                "athlete's age",
                &mut changed,
            );
        }
        if let Some(consent) = athlete.consent {
            check::consent(&consent)?;
            set(
                &mut fields.athlete.consent,
                consent,
                "words on consent",
                &mut changed,
            );
        }
    }
    if let Some(date) = date {
        set(&mut fields.date, crate::Date::parse(&date)?, "date", &mut changed);
    }
    if let Some(notes) = notes {
        check::notes(&notes)?;
        set(&mut fields.notes, notes, "session's notes", &mut changed);
    }
    if let Some(water) = water {
        water.as_ref().map_or(Ok(()), check::water)?;
        set(&mut fields.water, water, "water", &mut changed);
    }
    if let Some(settings) = settings {
        if let Some(keys) = settings.keys {
            check::keys(&keys)?;
            set(&mut fields.settings.keys, keys, "keys", &mut changed);
        }
        if let Some(reaction) = settings.tap_reaction_ms {
            check::tap_reaction(reaction)?;
            set(
                &mut fields.settings.tap_reaction_ms,
                reaction,
                "tap reaction time",
                &mut changed,
            );
        }
    }
    let label = changed_words(&changed, "").ok_or(Fault::NothingChanges)?;
    Ok((label, vec![Edit::SessionSet(Box::new(fields))]))
}
