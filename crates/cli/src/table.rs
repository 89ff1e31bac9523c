//! `wetframe marks`, `remarks` and `repeatability`: one table of a session as CSV.

use std::path::Path;

use session::{Document, Refusal};

use crate::outcome::{Stop, tell};
use crate::{print, session_file};

pub(crate) fn run(session: &Path, table: fn(&Document) -> Result<String, Refusal>) -> Result<(), Stop> {
    let (document, _) = session_file::read(session)?;
    match table(&document) {
        Ok(table) => print(&table),
        Err(refusal) => {
            tell(&refusal.trouble());
            Err(Stop::Problems)
        }
    }
}
