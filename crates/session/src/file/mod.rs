//! The `.wetframe` file: UTF-8 JSON around a [`Document`]. Every field is described in `FORMAT.md`.

mod diagnose;
mod kept;
mod layout;
mod migrations;
mod problem;
mod read;
mod snapshot;
mod write;

use serde::Serialize;

use crate::Document;

pub use kept::{read_kept, write_kept};
pub use problem::{FileFault, FileProblem, Unreadable};
pub use read::{Opened, read_file};
pub use snapshot::{ClipMeasures, MeasuresSnapshot};
pub use write::write_file;

/// The file's `format` field.
pub const FORMAT: &str = "wetframe";

/// The version that is written. Newer ones are refused, older ones are brought up to it.
pub const VERSION: u32 = 1;

/// The file as it is written.
#[derive(Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(
    feature = "schema",
    schemars(
        title = "wetframe session",
        description = "A swimmer's clips and the marks on them; see FORMAT.md."
    )
)]
#[serde(deny_unknown_fields)]
pub(crate) struct SessionFile<'a> {
    /// Always `wetframe`.
    #[cfg_attr(feature = "schema", schemars(extend("const" = FORMAT)))]
    pub format: &'static str,
    /// The version of this format.
    #[cfg_attr(feature = "schema", schemars(extend("const" = VERSION)))]
    pub version: u32,
    /// The program that wrote the file, and its version.
    pub written_by: &'a str,
    /// The session.
    pub session: &'a Document,
    /// The measures when the file was written, for readers that cannot compute them; never read back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measures: Option<&'a MeasuresSnapshot>,
}
