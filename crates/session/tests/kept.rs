//! A session as a browser keeps it: whatever was kept, by this page or by an older one, opens again; what a newer one
//! kept is refused in the words of a file.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use proptest::prelude::*;
use serde_json::Value;
use support::{any_document, history};
use wetframe_session::{FileFault, VERSION, read_file, read_kept, write_kept};

/// What the first pages kept of the clips and marks of `support::history()`: a bare document, as they wrote it.
const BARE: &str = include_str!("files/kept-bare.json");

proptest! {
    #[test]
    fn what_is_kept_reads_back_the_same(document in any_document()) {
        let text = write_kept(&document, "a test").unwrap();
        let opened = read_kept(&text).unwrap();
        prop_assert_eq!(&opened.document, &document);
        prop_assert_eq!(opened.version, VERSION);
    }

    #[test]
    fn a_bare_document_of_an_older_page_opens(document in any_document()) {
        let bare = serde_json::to_string(&document).unwrap();
        prop_assert_eq!(read_kept(&bare).unwrap().document, document);
    }
}

#[test]
fn the_bare_document_that_a_page_once_kept_opens() {
    assert_eq!(
        read_kept(BARE).unwrap().document.clips,
        history().document().clips
    );
}

#[test]
fn what_a_newer_page_kept_is_refused_as_its_file_is() {
    let mut kept: Value = serde_json::from_str(&write_kept(history().document(), "a test").unwrap()).unwrap();
    kept["version"] = (VERSION + 1).into();
    kept["session"]["something_new"] = true.into();
    let text = kept.to_string();
    let refused = read_kept(&text).unwrap_err();
    assert_eq!(
        refused.problems()[0].fault,
        FileFault::NewerVersion {
            version: u64::from(VERSION) + 1
        }
    );
    assert_eq!(refused, read_file(text.as_bytes()).unwrap_err());
}

#[test]
fn what_an_older_page_kept_is_brought_up_to_date_and_says_so() {
    let older = include_str!("files/version-0.wetframe");
    let opened = read_kept(older).unwrap();
    assert_eq!(opened.version, 0);
    assert_eq!(opened.notices("lane 4").len(), 1);
}

#[test]
fn what_is_neither_is_refused() {
    for text in [
        "",
        "null",
        "[]",
        "{}",
        r#"{"clips":7}"#,
        r#"{"format":"wetframe","clips":[]}"#,
        "{\"clips\":[]",
    ] {
        read_kept(text).unwrap_err();
    }
}
