//! A day of the calendar, as written by people and files: `YYYY-MM-DD` (ISO 8601, RFC 3339 full-date).

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::Fault;

/// A day that exists in the Gregorian calendar, from 1900 to 2999.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// Reads `YYYY-MM-DD`.
    ///
    /// # Errors
    /// [`Fault::NotADate`] for any other form and for days that do not exist.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        Self::read(text).ok_or_else(|| Fault::NotADate {
            text: text.chars().take(40).collect(),
        })
    }

    fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut digits = |count: usize| {
            parts
                .next()
                .filter(|part| part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit()))
        };
        let year: u16 = digits(4)?.parse().ok()?;
        let month: u8 = digits(2)?.parse().ok()?;
        let day: u8 = digits(2)?.parse().ok()?;
        if parts.next().is_some() {
            return None;
        }
        let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let days = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        let exists = (1900..3000).contains(&year) && (1..=days).contains(&day);
        exists.then_some(Self { year, month, day })
    }
}

impl fmt::Display for Date {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl TryFrom<String> for Date {
    type Error = Fault;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text)
    }
}

impl From<Date> for String {
    fn from(date: Date) -> Self {
        date.to_string()
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Date {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Date".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "description": "A day that exists, 1900-01-01 to 2999-12-31.",
            "type": "string",
            "format": "date",
            "pattern": "^(19|2\\d)\\d\\d-\\d\\d-\\d\\d$"
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_exist_read_back_as_written() {
        // Leap years by the Gregorian rule (ISO 8601:2004, 3.2.1): 2000 and 2024 are, 2100 is not.
        for text in ["2026-03-14", "2000-02-29", "2024-02-29", "1999-12-31"] {
            assert_eq!(
                Date::parse(text).map(|date| date.to_string()),
                Ok(text.to_owned())
            );
        }
    }

    #[test]
    fn days_that_do_not_exist_and_other_forms_are_refused() {
        for text in [
            "2026-02-29",
            "2100-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-04-00",
            "26-04-01",
            "2026-4-1",
            "14.03.2026",
            "2026-03-14T10:00",
            "2026-03-14-",
            "+026-03-14",
            "0001-01-01",
            "",
            "２０２６-03-14",
        ] {
            assert!(matches!(Date::parse(text), Err(Fault::NotADate { .. })), "{text}");
        }
    }
}
