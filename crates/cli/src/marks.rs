//! `wetframe marks`: the marks of a session as CSV.

use std::path::Path;

use crate::outcome::{Stop, tell};
use crate::{print, session_file};

pub(crate) fn run(session: &Path) -> Result<(), Stop> {
    let (document, _) = session_file::read(session)?;
    match session::marks_csv(&document) {
        Ok(table) => print(&table),
        Err(refusal) => {
            tell(&refusal.trouble());
            Err(Stop::Problems)
        }
    }
}
