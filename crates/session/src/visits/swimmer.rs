//! Whether two labels mean one swimmer.

use crate::{Document, Place, Severity, Trouble};

/// Whether two labels mean the same swimmer: letter case and white space do not count (`" mara  k"` is
/// `"Mara K"`), everything else does. An empty label names nobody, so it is not even the same as another empty one.
#[must_use]
pub fn same_swimmer(one: &str, other: &str) -> bool {
    let key = key(one);
    !key.is_empty() && key == self::key(other)
}

fn key(label: &str) -> String {
    let words: Vec<&str> = label.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// What to tell when a session is opened beside that of another swimmer, or of nobody known; `None` where the labels
/// mean one swimmer.
#[must_use]
pub fn another_swimmer(file_name: &str, visit: &Document, open_label: &str) -> Option<Trouble> {
    let label = &visit.athlete.label;
    (!same_swimmer(label, open_label)).then(|| Trouble {
        kind: "visit_of_another_swimmer".into(),
        message: format!(
            "“{file_name}” is a session of {}; the open session is of {}.",
            named(label),
            named(open_label)
        ),
        hint: "It was opened beside all the same. A difference between two people is not a change; if they are one, give both sessions the same label."
            .into(),
        severity: Severity::Warning,
        place: Place {
            file: Some(file_name.to_owned()),
            ..Place::default()
        },
    })
}

fn named(label: &str) -> String {
    match label.trim() {
        "" => "a swimmer without a label".to_owned(),
        label => format!("“{label}”"),
    }
}

#[cfg(test)]
mod tests {
    use super::same_swimmer;

    #[test]
    fn case_and_white_space_do_not_make_another_swimmer() {
        for (one, other) in [
            ("Mara K", " mara  k "),
            ("LANE 4", "Lane\u{a0}4"),
            ("Ängström", "ängström"),
        ] {
            assert!(same_swimmer(one, other), "{one} {other}");
        }
        for (one, other) in [
            ("Mara K", "Mara L"),
            ("Mara", ""),
            ("", ""),
            (" ", "\t"),
            ("Lane 4", "Lane4"),
        ] {
            assert!(!same_swimmer(one, other), "{one} {other}");
        }
    }
}
