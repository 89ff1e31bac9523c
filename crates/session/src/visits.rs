//! An athlete's sessions side by side: from documents to the history of a measure over dates.
//!
//! A [`Visit`] keeps of a document what a history needs: the means of each clip and what was stated about it,
//! so that hundreds fit into a browser's memory. The means are derived by [`stroke::analyse`] each time; the
//! snapshot in a session file is not used.
//!
//! Not for: changing a session, or comparing two sets of cycles (that is [`SideBySide`], which needs the
//! documents).

mod across;
mod conditions;
mod history;
mod swimmer;
mod visit;

use std::collections::BTreeMap;

use stroke::MeasureKind;

use crate::{Date, Place, Severity, Trouble};

pub use across::{ClipOfVisit, SideBySide};
pub use conditions::ConditionWords;
pub use history::{HistoryEntry, HistoryValue, MeasureHistory};
pub use swimmer::{another_swimmer, same_swimmer};
pub use visit::{Visit, VisitClip};

/// Sessions side by side, each once.
#[derive(Clone, Debug, Default)]
pub struct Visits {
    by_session: BTreeMap<String, Visit>,
}

/// A session that is here already.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("“{file_name}” is the session of {date} that is here already, so it was not added a second time")]
pub struct AlreadyHere {
    /// The file that brought it.
    pub file_name: String,
    /// The day of the session that is here.
    pub date: Date,
}

impl AlreadyHere {
    /// In the shape that the page shows.
    #[must_use]
    pub fn trouble(&self) -> Trouble {
        Trouble {
            kind: "visit_already_here".into(),
            message: format!("{self}."),
            hint: "A session is known by its id, whatever its file is called. To see this copy instead, close the other first.".into(),
            severity: Severity::Warning,
            place: Place {
                file: Some(self.file_name.clone()),
                ..Place::default()
            },
        }
    }
}

impl Visits {
    /// Adds the session of a file.
    ///
    /// # Errors
    /// [`AlreadyHere`] where a session of the same id is here; that one stays as it is.
    pub fn add(&mut self, visit: Visit, file_name: &str) -> Result<(), AlreadyHere> {
        if let Some(here) = self.by_session.get(&visit.session) {
            return Err(AlreadyHere {
                file_name: file_name.to_owned(),
                date: here.date,
            });
        }
        self.put(visit);
        Ok(())
    }

    /// Adds a session, in the place of the one of the same id where there is one.
    pub fn put(&mut self, visit: Visit) {
        self.by_session.insert(visit.session.clone(), visit);
    }

    /// Takes a session out; whether it was there.
    pub fn remove(&mut self, session: &str) -> bool {
        self.by_session.remove(session).is_some()
    }

    /// The sessions by date, those of one day by id.
    #[must_use]
    pub fn in_order(&self) -> Vec<&Visit> {
        let mut visits: Vec<&Visit> = self.by_session.values().collect();
        tiny_sort::stable::sort_by_key(&mut visits, |visit| visit.date);
        visits
    }

    /// The kinds that any clip has a mean of, in their usual order.
    #[must_use]
    pub fn measured_kinds(&self) -> Vec<MeasureKind> {
        let measured = |kind: &MeasureKind| {
            let mut clips = self.by_session.values().flat_map(|visit| &visit.clips);
            clips.any(|clip| clip.measures(*kind))
        };
        MeasureKind::ALL.into_iter().filter(measured).collect()
    }
}
