//! The JSON Schema of the session file, from the types themselves.

use schemars::generate::SchemaSettings;

use crate::file::SessionFile;

/// The JSON Schema (draft 2020-12) of the session file, as committed in `wetframe.schema.json`.
///
/// It says what every field looks like. The rules that a schema cannot say (a mark's time is the start of a
/// frame, ids are used once) are in `FORMAT.md` and kept by [`crate::read_file`].
#[must_use]
pub fn session_file_schema() -> serde_json::Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    generator
        .into_root_schema_for::<SessionFile<'static>>()
        .to_value()
}
