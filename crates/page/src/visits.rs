//! An athlete's other sessions beside the open one, as `session` sees them: read, never changed.

use serde::Serialize;
use session::{
    CycleSet, Document, JournalTrouble, SideBySide, Trouble, Unreadable, Visit, another_swimmer, read_file,
    read_kept, visits_csv,
};
use stroke::MeasureKind;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::sitting::{Sitting, refused, unreadable_file, written_base};
use plain::{from_plain, thrown, to_plain};

#[wasm_bindgen]
impl Sitting {
    /// The session as it is now, as this device would keep it: for [`Visits::put_kept`] without a journal.
    ///
    /// # Errors
    /// Throws a trouble when it cannot be written, which no document that kept the rules does.
    pub fn base_of_now(&self) -> Result<String, JsValue> {
        written_base(self.document())
    }

    /// The clips of this session and of `other`, `[{name, session, date, clip}]`: a set of cycles and a comparison of
    /// the two call a clip by its `name`. Those of this session go by their ids.
    ///
    /// # Errors
    /// Never in practice: clips are plain.
    pub fn clips_beside(&self, other: &Sitting) -> Result<JsValue, JsValue> {
        to_plain(&self.beside(other).clips())
    }

    /// Compares two sets of cycles of this session and of `other`, whose clips go by their names of `clips_beside`; a
    /// `Comparison`.
    ///
    /// # Errors
    /// Throws a trouble when a set cannot be read or names a clip that there is not.
    pub fn comparison_beside(
        &self,
        other: &Sitting,
        before: &JsValue,
        after: &JsValue,
        paired: bool,
        kinds: &JsValue,
    ) -> Result<JsValue, JsValue> {
        let before: CycleSet = from_plain(before, "the set before")?;
        let after: CycleSet = from_plain(after, "the set after")?;
        let kinds: Vec<MeasureKind> = from_plain(kinds, "the kinds of measure")?;
        let comparison = self.beside(other).comparison(&before, &after, paired, &kinds);
        to_plain(&comparison.map_err(|refusal| refused(&refusal))?)
    }
}

impl Sitting {
    fn beside<'a>(&'a self, other: &'a Sitting) -> SideBySide<'a> {
        SideBySide::of(self.document(), &[other.document()])
    }
}

/// Sessions side by side, each once, of which only the means are kept.
#[wasm_bindgen]
#[derive(Default)]
pub struct Visits(session::Visits);

/// What came of opening a file beside.
#[derive(Serialize)]
struct OpenedBeside<'a> {
    visit: &'a Visit,
    /// What is worth telling about it.
    notices: Vec<Trouble>,
}

#[wasm_bindgen]
impl Visits {
    /// None yet.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Puts in a session that this device keeps, in the place of an earlier state of it: the session it started from
    /// and its journal. Gives what is worth telling, `[Trouble]`. `name` names it in troubles.
    ///
    /// # Errors
    /// Throws a trouble when the base cannot be read, and when it or any line of the journal is a newer program's.
    pub fn put_kept(&mut self, name: &str, base_json: &str, lines: Vec<String>) -> Result<JsValue, JsValue> {
        let unreadable = |unreadable: Unreadable| unreadable_file(&unreadable, name);
        let opened = read_kept(base_json).map_err(unreadable)?;
        let mut notices = opened.notices(name);
        let replayed = session::replay(opened.document, &lines).map_err(unreadable)?;
        notices.extend(replayed.trouble.iter().map(JournalTrouble::trouble));
        self.0.put(visit_of(replayed.history.document())?);
        to_plain(&notices)
    }

    /// Adds the session of a `.wetframe` file. `{visit, notices}` tells of an older file and of another swimmer than
    /// that of the open session, `open_label`.
    ///
    /// # Errors
    /// Throws a trouble that names the file: when it cannot be read, and when its session is here already.
    pub fn add_file(&mut self, bytes: &[u8], file_name: &str, open_label: &str) -> Result<JsValue, JsValue> {
        let opened = read_file(bytes).map_err(|unreadable| unreadable_file(&unreadable, file_name))?;
        let mut notices = opened.notices(file_name);
        notices.extend(another_swimmer(file_name, &opened.document, open_label));
        let visit = visit_of(&opened.document)?;
        let told = to_plain(&OpenedBeside {
            visit: &visit,
            notices,
        })?;
        self.0
            .add(visit, file_name)
            .map_err(|already_here| thrown(&already_here.trouble()))?;
        Ok(told)
    }

    /// Takes a session out; whether it was there.
    pub fn remove(&mut self, session: &str) -> bool {
        self.0.remove(session)
    }

    /// Every session by date: `[Visit]`.
    ///
    /// # Errors
    /// Never in practice: visits are plain.
    pub fn list(&self) -> Result<JsValue, JsValue> {
        to_plain(&self.0.in_order())
    }

    /// The kinds of measure that any clip has a mean of.
    ///
    /// # Errors
    /// Never in practice: names are plain.
    pub fn measured_kinds(&self) -> Result<JsValue, JsValue> {
        to_plain(&self.0.measured_kinds())
    }

    /// One measure of every clip over the dates: a `MeasureHistory`.
    ///
    /// # Errors
    /// Throws a trouble when there is no such kind of measure.
    pub fn history(&self, kind: &JsValue) -> Result<JsValue, JsValue> {
        let kind: MeasureKind = from_plain(kind, "the kind of measure")?;
        to_plain(&self.0.history(kind))
    }

    /// Those measures of every clip as CSV (RFC 4180); none named: all.
    ///
    /// # Errors
    /// Throws a trouble when there is no such kind of measure.
    pub fn visits_csv(&self, kinds: &JsValue) -> Result<String, JsValue> {
        let kinds: Vec<MeasureKind> = from_plain(kinds, "the kinds of measure")?;
        visits_csv(&self.0, &kinds).map_err(|refusal| refused(&refusal))
    }
}

fn visit_of(document: &Document) -> Result<Visit, JsValue> {
    Visit::of(document).map_err(|fault| refused(&fault.into()))
}

/// Whether two labels mean one swimmer: letter case and white space do not count; an empty label names nobody.
#[wasm_bindgen]
#[must_use]
pub fn same_swimmer(one: &str, other: &str) -> bool {
    session::same_swimmer(one, other)
}
