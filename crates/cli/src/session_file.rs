//! Reading a session file from disk or standard input.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use session::{Document, limits};

use crate::outcome::{Stop, say, tell};

/// The file as people know it.
pub(crate) fn name(path: &Path) -> String {
    if is_standard_input(path) {
        "standard input".into()
    } else {
        path.display().to_string()
    }
}

fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Reads a session; says on standard error what is wrong with it, and what was assumed of an older one.
pub(crate) fn read(path: &Path) -> Result<(Document, u32), Stop> {
    let name = name(path);
    let bytes = bytes(path).map_err(|error| {
        say(format_args!(
            "error (cannot_read): “{name}” cannot be read: {error}"
        ));
        Stop::CannotRead
    })?;
    match session::read_file(&bytes) {
        Ok(opened) => {
            opened.notices(&name).iter().for_each(tell);
            Ok((opened.document, opened.version))
        }
        Err(unreadable) => {
            unreadable.troubles(&name).iter().for_each(tell);
            Err(Stop::Problems)
        }
    }
}

/// No more than the reader accepts and one byte, so that it can say that there is more.
fn bytes(path: &Path) -> io::Result<Vec<u8>> {
    let most = limits::MOST_FILE_BYTES as u64 + 1;
    let mut bytes = Vec::new();
    if is_standard_input(path) {
        io::stdin().lock().take(most).read_to_end(&mut bytes)?;
    } else {
        File::open(path)?.take(most).read_to_end(&mut bytes)?;
    }
    Ok(bytes)
}
