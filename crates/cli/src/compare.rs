//! `wetframe compare`: two sets of cycles of a session, measure by measure, as CSV.

use std::path::Path;

use session::{ComparisonId, Document, Refusal};
use stroke::{Comparison, MeasureKind};

use crate::outcome::{Stop, say, tell};
use crate::set_argument::SetArgument;
use crate::{flags, print, session_file};

/// What to compare.
pub(crate) enum Asked<'a> {
    /// A comparison that the session keeps.
    Kept(ComparisonId),
    /// Two sets.
    Sets {
        before: &'a SetArgument,
        after: &'a SetArgument,
        paired: bool,
        kinds: &'a [MeasureKind],
    },
}

pub(crate) fn run(session: &Path, asked: &Asked) -> Result<(), Stop> {
    let (document, _) = session_file::read(session)?;
    let file = session_file::name(session);
    flags::warn(&file, &document);
    let (title, comparison) = compared(&document, asked).map_err(|why| {
        match why {
            Why::Refused(refusal) => tell(&refusal.trouble()),
            Why::NoSuchClip(words) => say(format_args!("error: “{file}”: {words}")),
        }
        Stop::Problems
    })?;
    for confounder in &comparison.confounders {
        say(format_args!(
            "warning: “{file}”: {} {}",
            confounder.message, confounder.hint
        ));
    }
    match session::comparison_csv(&title, &comparison) {
        Ok(table) => print(&table),
        Err(refusal) => {
            tell(&refusal.trouble());
            Err(Stop::Problems)
        }
    }
}

enum Why {
    Refused(Refusal),
    NoSuchClip(String),
}

fn compared(document: &Document, asked: &Asked) -> Result<(String, Comparison), Why> {
    match asked {
        Asked::Kept(id) => {
            let comparison = document.kept_comparison(*id).map_err(Why::Refused)?;
            let record = document.comparison_record(*id);
            Ok((
                record.map_or_else(String::new, |record| document.comparison_title(record)),
                comparison,
            ))
        }
        Asked::Sets {
            before,
            after,
            paired,
            kinds,
        } => {
            let before = before.set_in(document).map_err(Why::NoSuchClip)?;
            let after = after.set_in(document).map_err(Why::NoSuchClip)?;
            let comparison = document
                .comparison(&before, &after, *paired, kinds)
                .map_err(Why::Refused)?;
            Ok((document.title_of_sets(&before, &after), comparison))
        }
    }
}

/// A kind of measure by its name in the tables.
pub(crate) fn kind(name: &str) -> Result<MeasureKind, String> {
    MeasureKind::ALL
        .into_iter()
        .find(|kind| kind.name() == name)
        .ok_or_else(|| "no such measure; the names are those of the column `measure`".to_owned())
}
