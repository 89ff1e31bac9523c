//! `wetframe measure`: every measure of a session as CSV.

use std::path::Path;

use crate::outcome::{Stop, tell};
use crate::{flags, print, session_file};

pub(crate) fn run(session: &Path) -> Result<(), Stop> {
    let (document, _) = session_file::read(session)?;
    flags::warn(&session_file::name(session), &document);
    match session::measures_csv(&document) {
        Ok(table) => print(&table),
        Err(refusal) => {
            tell(&refusal.trouble());
            Err(Stop::Problems)
        }
    }
}
