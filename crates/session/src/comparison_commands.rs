//! From the commands of a comparison to edits.

use crate::change::ComparisonChange;
use crate::clip_record::each_once;
use crate::edit::Edit;
use crate::perform::{Planned, changed_words, set};
use crate::{
    ClipId, ComparisonId, ComparisonRecord, CycleSet, Document, Fault, NewComparison, Refusal, check, limits,
};

fn record_of(document: &Document, id: ComparisonId) -> Result<&ComparisonRecord, Fault> {
    document
        .comparison_record(id)
        .ok_or(Fault::UnknownComparison { comparison: id.0 })
}

pub(crate) fn add_comparison(document: &Document, new: NewComparison) -> Planned {
    let too_many = |most| Fault::TooMany {
        what: "comparisons",
        most,
    };
    if document.comparisons.len() >= limits::MOST_COMPARISONS {
        return Err(too_many(limits::MOST_COMPARISONS).into());
    }
    let id = document.next_comparison;
    let next_comparison = id.0.checked_add(1).map(ComparisonId);
    let next_comparison = next_comparison.ok_or_else(|| too_many(u32::MAX as usize))?;
    let record = ComparisonRecord {
        id,
        label: new.label,
        before: new.before,
        after: new.after,
        paired: new.paired,
        kinds: each_once(new.kinds),
    };
    refuse_first_fault(document, &record)?;
    let label = format!("add the comparison “{}”", document.comparison_title(&record));
    let edit = Edit::ComparisonIn {
        index: document.comparisons.len(),
        record: Box::new(record),
        next_comparison,
    };
    Ok((label, vec![edit]))
}

pub(crate) fn edit_comparison(document: &Document, id: ComparisonId, change: ComparisonChange) -> Planned {
    let before = record_of(document, id)?;
    let mut record = before.clone();
    let mut changed = Vec::new();
    let ComparisonChange {
        label,
        before: first,
        after: second,
        paired,
        kinds,
    } = change;
    if let Some(label) = label {
        set(&mut record.label, label, "label", &mut changed);
    }
    if let Some(first) = first {
        set(&mut record.before, first, "set before", &mut changed);
    }
    if let Some(second) = second {
        set(&mut record.after, second, "set after", &mut changed);
    }
    if let Some(paired) = paired {
        set(&mut record.paired, paired, "pairing", &mut changed);
    }
    if let Some(kinds) = kinds {
        set(&mut record.kinds, each_once(kinds), "measures", &mut changed);
    }
    refuse_first_fault(document, &record)?;
    let of = format!("of the comparison “{}”", document.comparison_title(before));
    let label = changed_words(&changed, &of).ok_or(Fault::NothingChanges)?;
    Ok((label, vec![Edit::ComparisonSet(Box::new(record))]))
}

pub(crate) fn remove_comparison(document: &Document, id: ComparisonId) -> Planned {
    let record = record_of(document, id)?;
    let label = format!("remove the comparison “{}”", document.comparison_title(record));
    Ok((label, vec![taken_out(document, id)]))
}

/// What takes out the comparisons that name a clip, before the clip itself goes.
pub(crate) fn taken_out_with(document: &Document, clip: ClipId) -> impl Iterator<Item = Edit> {
    let names = move |set: &CycleSet| set.parts.iter().any(|part| part.clip == clip);
    document
        .comparisons
        .iter()
        .filter(move |record| names(&record.before) || names(&record.after))
        .map(|record| taken_out(document, record.id))
}

fn taken_out(document: &Document, id: ComparisonId) -> Edit {
    Edit::ComparisonOut {
        comparison: id,
        next_comparison: document.next_comparison,
    }
}

fn refuse_first_fault(document: &Document, record: &ComparisonRecord) -> Result<(), Refusal> {
    match check::comparison(document, record).into_iter().next() {
        Some((path, fault)) => {
            let mut refusal = Refusal::from(fault);
            refusal.place.path = Some(path);
            Err(refusal)
        }
        None => Ok(()),
    }
}
