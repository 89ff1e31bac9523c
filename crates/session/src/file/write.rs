//! Writing a session file.

use serde::Serialize;

use super::layout::Layout;
use super::{FORMAT, MeasuresSnapshot, SessionFile, VERSION};
use crate::{Document, Fault, Refusal};

/// The session file of `document`, UTF-8 JSON with a final line feed.
///
/// `written_by` names the program and its version. `measures` is a snapshot for readers that cannot compute
/// them; it is never read back.
///
/// # Errors
/// [`Fault::NotWritable`] where a value has no JSON form; no document that kept the rules has one.
pub fn write_file(
    document: &Document,
    written_by: &str,
    measures: Option<&MeasuresSnapshot>,
) -> Result<Vec<u8>, Refusal> {
    let file = SessionFile {
        format: FORMAT,
        version: VERSION,
        written_by,
        session: document,
        measures,
    };
    let mut bytes = Vec::with_capacity(4_096);
    let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, Layout::default());
    file.serialize(&mut serializer)
        .map_err(|error| Fault::NotWritable {
            reason: error.to_string(),
        })?;
    bytes.push(b'\n');
    Ok(bytes)
}
