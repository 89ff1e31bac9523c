//! What holds for whatever bytes are opened as a session: no panic, reasons that can be read, and a document that
//! keeps every rule and is written and read back the same. Used by the property tests and by the fuzz target.

use wetframe_session::{read_file, read_kept, write_file};

/// Opens `bytes` as a file and as what a browser kept; whether the file is a session.
pub fn open(bytes: &[u8]) -> bool {
    if let Ok(text) = str::from_utf8(bytes)
        && let Err(unreadable) = read_kept(text)
    {
        assert!(!unreadable.to_string().is_empty());
    }
    let opened = match read_file(bytes) {
        Ok(opened) => opened,
        Err(unreadable) => {
            let troubles = unreadable.troubles("a file");
            assert!(!troubles.is_empty());
            for trouble in troubles {
                assert!(!trouble.message.is_empty() && !trouble.hint.is_empty());
            }
            return false;
        }
    };
    for clip in &opened.document.clips {
        assert!(clip.marks.iter().all(|mark| clip.frame_of(mark).is_some()));
        assert!(clip.clock().is_ok());
    }
    if let Ok(written) = write_file(&opened.document, "a test", None) {
        let again = read_file(&written).map(|again| again.document);
        assert_eq!(again.as_ref(), Ok(&opened.document));
    }
    true
}
