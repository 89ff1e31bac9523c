//! `wetframe history`: measures over the dates of several sessions as CSV.

use std::path::PathBuf;

use session::{Visit, Visits, another_swimmer, visits_csv};
use stroke::MeasureKind;

use crate::outcome::{Stop, tell};
use crate::{flags, print, session_file};

/// A session that cannot be read, or comes a second time, is told; the others are printed all the same.
pub(crate) fn run(sessions: &[PathBuf], kinds: &[MeasureKind]) -> Result<(), Stop> {
    let mut visits = Visits::default();
    let mut first_label: Option<String> = None;
    let mut worst = Ok(());
    for path in sessions {
        match session_file::read(path) {
            Ok((document, _)) => {
                let name = session_file::name(path);
                flags::warn(&name, &document);
                match &first_label {
                    Some(label) => another_swimmer(&name, &document, label).iter().for_each(tell),
                    None => first_label = Some(document.athlete.label.clone()),
                }
                match Visit::of(&document) {
                    Ok(visit) => {
                        if let Err(already_here) = visits.add(visit, &name) {
                            tell(&already_here.trouble());
                        }
                    }
                    Err(fault) => {
                        tell(&fault.trouble(session::Place::default()));
                        worst = worst.and(Err(Stop::Problems));
                    }
                }
            }
            Err(Stop::CannotRead) => worst = Err(Stop::CannotRead),
            Err(stop) => worst = worst.and(Err(stop)),
        }
    }
    match visits_csv(&visits, kinds) {
        Ok(table) => print(&table)?,
        Err(refusal) => {
            tell(&refusal.trouble());
            return Err(Stop::Problems);
        }
    }
    worst
}
