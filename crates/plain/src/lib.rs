//! Plain data across the boundary, both ways, and failures as objects.
//!
//! All of it crosses as one JSON text: the browser's own parser makes objects about twice as fast as calls
//! across the boundary, one for each field, would.

use serde::Serialize;
use serde::de::DeserializeOwned;
use session::{Place, Severity, Trouble};
use stroke::Side;
use wasm_bindgen::JsValue;

/// A value as plain JavaScript data: objects, arrays and numbers; what is absent is `null`, as in the session
/// file.
///
/// # Errors
/// A thrown trouble when the value has no plain form.
pub fn to_plain(value: &impl Serialize) -> Result<JsValue, JsValue> {
    let text = serde_json::to_string(value)
        .map_err(|error| broken_promise("value_not_plain", &error.to_string()))?;
    js_sys::JSON::parse(&text)
}

/// An object from the page as the JSON text that the crates read, so that a command is read in one way only,
/// from the page and from the journal.
///
/// # Errors
/// A thrown trouble when the value has no JSON form.
pub fn to_json(value: &JsValue) -> Result<String, JsValue> {
    js_sys::JSON::stringify(value)
        .ok()
        .and_then(|text| text.as_string())
        .ok_or_else(|| broken_promise("value_not_json", "the page sent something that has no JSON form"))
}

/// Plain JavaScript data as a value; `what` names it in the trouble.
///
/// # Errors
/// A thrown trouble when the data has another form.
pub fn from_plain<T: DeserializeOwned>(value: &JsValue, what: &str) -> Result<T, JsValue> {
    serde_json::from_str(&to_json(value)?)
        .map_err(|error| broken_promise("argument_unreadable", &format!("{what} cannot be read ({error})")))
}

/// The arm that a view names, `"left"` or `"right"`.
///
/// # Errors
/// A thrown trouble for any other name.
pub fn arm_named(side: &str) -> Result<Side, JsValue> {
    match side {
        "left" => Ok(Side::Left),
        "right" => Ok(Side::Right),
        other => Err(broken_promise(
            "unknown_side",
            &format!("a swimmer has no arm {other}"),
        )),
    }
}

/// A trouble as the object that is thrown.
#[must_use]
pub fn thrown(trouble: &Trouble) -> JsValue {
    serde_json::to_string(trouble)
        .ok()
        .and_then(|text| js_sys::JSON::parse(&text).ok())
        .unwrap_or_else(|| JsValue::from_str(&trouble.message))
}

/// A mistake of the page or of this crate, not of the coach.
#[must_use]
pub fn broken_promise(kind: &str, what: &str) -> JsValue {
    thrown(&Trouble {
        kind: kind.to_owned(),
        message: format!("wetframe made a mistake: {what}."),
        hint: "Nothing marked is lost. Save the session to a file and load the page again.".to_owned(),
        severity: Severity::Error,
        place: Place::default(),
    })
}
