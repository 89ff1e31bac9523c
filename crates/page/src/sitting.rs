//! One session in the page's hands: its history, and everything that is derived from it.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use session::{
    Applied, ClipFacts, ClipId, ClipRecord, Command, Document, History, JournalTrouble, MeasuresSnapshot,
    Opened, Refusal, Trouble, Unreadable,
};
use stroke::Analysis;
use stroke::guide::{GuidePlan, StepId, next_step};
use time::Ticks;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::marking::Marking;
use crate::views::{ClipView, NowView, SessionView};
use plain::{broken_promise, from_plain, thrown, to_json, to_plain};

const WRITTEN_BY: &str = concat!("wetframe ", env!("CARGO_PKG_VERSION"));

/// A session: changes only through `apply`, `undo` and `redo`; everything else looks at it.
#[wasm_bindgen]
pub struct Sitting {
    /// The session this sitting started from, as it is kept: with the journal lines it gives the sitting again.
    base_json: String,
    history: History,
    /// How many journal lines could be used when the sitting was replayed.
    lines_kept: usize,
    notices: Vec<Trouble>,
    /// Each clip's analysis, until a command touches the clip.
    analyses: RefCell<BTreeMap<ClipId, Rc<Analysis>>>,
    /// What the page was last told of each clip's marking, so that it is told only what has changed since.
    told: RefCell<BTreeMap<ClipId, Marking>>,
}

#[wasm_bindgen]
impl Sitting {
    /// A new, empty session.
    ///
    /// `date` is the day of filming, `YYYY-MM-DD`.
    ///
    /// # Errors
    /// Throws a trouble when the id or the date cannot be used.
    pub fn create(id: &str, date: &str) -> Result<Self, JsValue> {
        Self::start(Document::new(id, date).map_err(|refusal| refused(&refusal))?)
    }

    /// The session of a `.wetframe` file; `notices` then tells what an older file did not hold.
    ///
    /// # Errors
    /// Throws a trouble that names the file and everything that is wrong in it.
    pub fn open_file(bytes: &[u8], file_name: &str) -> Result<Self, JsValue> {
        let opened =
            session::read_file(bytes).map_err(|unreadable| unreadable_file(&unreadable, file_name))?;
        let mut sitting = Self::start(opened.document.clone())?;
        sitting.notices = opened.notices(file_name);
        Ok(sitting)
    }

    /// The sitting as it was left: the session it started from, as `base_json` gave it, and its journal.
    ///
    /// # Errors
    /// Throws a trouble when the base cannot be read, and when it or any line of the journal is a newer program's.
    /// A journal that breaks off is used as far as it goes; `notices` then says why.
    pub fn replay(base_json: &str, lines: Vec<String>) -> Result<Self, JsValue> {
        let opened = read_base(base_json)?;
        let mut notices = opened.notices(KEPT);
        let replayed = session::replay(opened.document, &lines)
            .map_err(|unreadable| unreadable_file(&unreadable, KEPT))?;
        notices.extend(replayed.trouble.iter().map(JournalTrouble::trouble));
        Ok(Self {
            base_json: base_json.to_owned(),
            history: replayed.history,
            lines_kept: replayed.lines_kept,
            notices,
            analyses: RefCell::default(),
            told: RefCell::default(),
        })
    }

    /// What is worth telling about how the sitting was opened: a journal that broke off, an older file.
    ///
    /// # Errors
    /// Never in practice: troubles are plain.
    pub fn notices(&self) -> Result<JsValue, JsValue> {
        to_plain(&self.notices)
    }

    /// How many journal lines were used by `replay`; the rest has to be cut before new lines are added.
    #[must_use]
    pub fn lines_kept(&self) -> usize {
        self.lines_kept
    }

    /// Does a command, and tells the journal line to keep and what changed.
    ///
    /// # Errors
    /// Throws a trouble; the session is then as it was.
    pub fn apply(&mut self, command: &JsValue) -> Result<JsValue, JsValue> {
        let command = Command::from_json(&to_json(command)?).map_err(|refusal| refused(&refusal))?;
        let applied = self.history.apply(command);
        self.changed(applied)
    }

    /// Takes back the last step; like `apply`.
    ///
    /// # Errors
    /// Throws a trouble when there is nothing to undo.
    pub fn undo(&mut self) -> Result<JsValue, JsValue> {
        let applied = self.history.undo();
        self.changed(applied)
    }

    /// Does again what was undone last; like `apply`.
    ///
    /// # Errors
    /// Throws a trouble when there is nothing to redo.
    pub fn redo(&mut self) -> Result<JsValue, JsValue> {
        let applied = self.history.redo();
        self.changed(applied)
    }

    /// The session without its marks and frame times.
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn session_view(&self) -> Result<JsValue, JsValue> {
        let document = self.history.document();
        let mut clips = Vec::with_capacity(document.clips.len());
        for clip in &document.clips {
            clips.push(ClipView::of(
                clip,
                &clock_of(clip)?,
                self.analysis(clip)?.as_ref(),
            ));
        }
        to_plain(&SessionView::of(
            document,
            clips,
            self.history.undo_label(),
            self.history.redo_label(),
        ))
    }

    /// A clip's marks with their frames, and its analysis.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn marking_view(&self, clip: u32) -> Result<JsValue, JsValue> {
        let clip = self.clip(clip)?;
        to_plain(&Marking::of(clip, self.analysis(clip)?, 0).whole())
    }

    /// What has changed in a clip's marking view since the page was told the state `known` of it: `{version,
    /// whole, changes}`. `whole` is the view itself, where `known` is 0 or not what was told last; otherwise
    /// `changes` gives of each list the part that was replaced.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn marking_news(&self, clip: u32, known: u32) -> Result<JsValue, JsValue> {
        let clip = self.clip(clip)?;
        let mut told = self.told.borrow_mut();
        let before = told.get(&clip.id);
        let version = before.map_or(0, Marking::version) + 1;
        let now = Marking::of(clip, self.analysis(clip)?, version);
        let news = to_plain(&now.news(before.filter(|before| before.version() == known)))?;
        told.insert(clip.id, now);
        Ok(news)
    }

    /// When each frame of a clip starts, `{first, runs}` as in the facts of its file: for the roll and the
    /// playhead while that file is not at hand.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn frame_times(&self, clip: u32) -> Result<JsValue, JsValue> {
        to_plain(&self.clip(clip)?.frame_times)
    }

    /// The measures of the cycle of each arm that `ticks` falls in, and the means over the clip.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn now_view(&self, clip: u32, ticks: f64) -> Result<JsValue, JsValue> {
        let clip = self.clip(clip)?;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "JavaScript's numbers hold our ticks exactly"
        )]
        let time = Ticks(ticks as i64);
        to_plain(&NowView::of(self.analysis(clip)?.as_ref(), time))
    }

    /// Every measure of a clip.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip.
    pub fn measures(&self, clip: u32) -> Result<JsValue, JsValue> {
        let clip = self.clip(clip)?;
        to_plain(&self.analysis(clip)?.measures)
    }

    /// What the guided pass asks for next; `null` when nothing is left to ask.
    ///
    /// `plan` is a `GuidePlan` or `null` for the usual one; `skipped` lists the ids of steps that the coach
    /// passed over.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip or the plan cannot be read.
    pub fn guided_step(&self, clip: u32, plan: &JsValue, skipped: &JsValue) -> Result<JsValue, JsValue> {
        let record = self.clip(clip)?;
        let plan: Option<GuidePlan> = from_plain(plan, "the plan of the guided pass")?;
        let skipped: Option<Vec<StepId>> = from_plain(skipped, "the steps passed over")?;
        let clock = clock_of(record)?;
        let marks = record.stroke_marks();
        let passage = record.passage(&clock, &marks);
        to_plain(&next_step(
            &passage,
            &plan.unwrap_or_default(),
            &skipped.unwrap_or_default(),
        ))
    }

    /// Whether a file just opened is the clip of the session.
    ///
    /// # Errors
    /// Throws a trouble when there is no such clip or the facts cannot be read.
    pub fn match_clip(&self, clip: u32, facts: &JsValue) -> Result<JsValue, JsValue> {
        let record = self.clip(clip)?;
        to_plain(&session::match_clip(
            record,
            &from_plain::<ClipFacts>(facts, "the facts of a clip")?,
        ))
    }

    /// The clip of the session that a file just opened is; `undefined` when it is none of them.
    ///
    /// # Errors
    /// Throws a trouble when the facts cannot be read.
    pub fn find_clip(&self, facts: &JsValue) -> Result<Option<u32>, JsValue> {
        let facts = from_plain::<ClipFacts>(facts, "the facts of a clip")?;
        Ok(session::find_clip(self.history.document(), &facts).map(|clip| clip.0))
    }

    /// The `.wetframe` file, with the measures as this version computes them.
    ///
    /// # Errors
    /// Throws a trouble when the file cannot be written.
    pub fn to_file(&self) -> Result<Vec<u8>, JsValue> {
        let document = self.history.document();
        MeasuresSnapshot::of(document, WRITTEN_BY)
            .map_err(Refusal::from)
            .and_then(|measures| session::write_file(document, WRITTEN_BY, Some(&measures)))
            .map_err(|refusal| refused(&refusal))
    }

    /// The session that `replay` wants beside the journal lines of this sitting: a session file without measures.
    #[must_use]
    pub fn base_json(&self) -> String {
        self.base_json.clone()
    }

    /// The same under another id, for a copy of the session.
    ///
    /// # Errors
    /// Throws a trouble when it cannot be written.
    pub fn base_json_under(&self, id: &str) -> Result<String, JsValue> {
        let mut document = read_base(&self.base_json)?.document;
        id.clone_into(&mut document.id);
        written_base(&document)
    }

    /// Every mark as CSV (RFC 4180).
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn marks_csv(&self) -> Result<String, JsValue> {
        session::marks_csv(self.history.document()).map_err(|refusal| refused(&refusal))
    }

    /// Every measure as CSV (RFC 4180).
    ///
    /// # Errors
    /// Throws a trouble when a clip's clock cannot be made.
    pub fn measures_csv(&self) -> Result<String, JsValue> {
        session::measures_csv(self.history.document()).map_err(|refusal| refused(&refusal))
    }
}

impl Sitting {
    fn start(document: Document) -> Result<Self, JsValue> {
        Ok(Self {
            base_json: written_base(&document)?,
            history: History::new(document),
            lines_kept: 0,
            notices: Vec::new(),
            analyses: RefCell::default(),
            told: RefCell::default(),
        })
    }

    fn changed(&mut self, applied: Result<Applied, Refusal>) -> Result<JsValue, JsValue> {
        let applied = applied.map_err(|refusal| refused(&refusal))?;
        let mut analyses = self.analyses.borrow_mut();
        for clip in &applied.clips_touched {
            analyses.remove(clip);
        }
        to_plain(&applied)
    }

    pub(crate) fn document(&self) -> &Document {
        self.history.document()
    }

    pub(crate) fn clip(&self, clip: u32) -> Result<&ClipRecord, JsValue> {
        let found = self.history.document().clip(ClipId(clip));
        found.ok_or_else(|| broken_promise("unknown_clip", &format!("the session has no clip {clip}")))
    }

    /// A clip's analysis, made once until the clip changes.
    pub(crate) fn analysis(&self, clip: &ClipRecord) -> Result<Rc<Analysis>, JsValue> {
        if let Some(kept) = self.analyses.borrow().get(&clip.id) {
            return Ok(Rc::clone(kept));
        }
        let made = Rc::new(clip.analyse().map_err(|fault| refused(&fault.into()))?);
        self.analyses.borrow_mut().insert(clip.id, Rc::clone(&made));
        Ok(made)
    }
}

/// The clock that a clip's measures are made with.
pub(crate) fn clock_of(clip: &ClipRecord) -> Result<time::Clock, JsValue> {
    clip.clock()
        .map_err(|error| broken_promise("clip_without_clock", &error.to_string()))
}

/// What a kept session is called in messages; its label is in what cannot be read.
const KEPT: &str = "the session kept on this device";

fn read_base(base_json: &str) -> Result<Opened, JsValue> {
    session::read_kept(base_json).map_err(|unreadable| unreadable_file(&unreadable, KEPT))
}

pub(crate) fn written_base(document: &Document) -> Result<String, JsValue> {
    session::write_kept(document, WRITTEN_BY).map_err(|refusal| refused(&refusal))
}

pub(crate) fn refused(refusal: &Refusal) -> JsValue {
    thrown(&refusal.trouble())
}

pub(crate) fn unreadable_file(unreadable: &Unreadable, file_name: &str) -> JsValue {
    unreadable.trouble(file_name).map_or_else(
        || broken_promise("file_unreadable", "it refused a file without a reason"),
        |trouble| thrown(&trouble),
    )
}
