//! Text that people wrote, in a table that a spreadsheet may open.
//!
//! Spreadsheets take a cell that starts with `=`, `+`, `-`, `@`, a tab or a carriage return for a formula,
//! and a formula can read files or call addresses. Such text is written with an apostrophe in front, which
//! spreadsheets show as plain text; text that starts with an apostrophe gets another, so that reading takes
//! off exactly what writing put on.
//! Source: OWASP, "CSV Injection" (the list of characters and the apostrophe; from memory).

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Text that people wrote; written so that no spreadsheet computes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeText(pub String);

const STARTS: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\''];

impl Serialize for FreeText {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.starts_with(STARTS) {
            serializer.collect_str(&format_args!("'{}", self.0))
        } else {
            serializer.serialize_str(&self.0)
        }
    }
}

impl<'de> Deserialize<'de> for FreeText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        match text.strip_prefix('\'') {
            Some(plain) if plain.starts_with(STARTS) => Ok(Self(plain.to_owned())),
            _ => Ok(Self(text)),
        }
    }
}
