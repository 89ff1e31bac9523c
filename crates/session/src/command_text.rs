//! A command as JSON: one object whose field `command` names it.
//!
//! serde's own inner tag reads the whole object into a buffer and then every field out of that: a second reader
//! of each type, about a twelfth of what the browser downloads. Here the name is taken out of the text, and
//! serde's outer tag, which needs no buffer, reads the rest.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde::{de, ser};
use serde_json::value::RawValue;
use serde_json::{Map, Value};

use crate::Command;

/// The field that names a command.
const NAME: &str = "command";

/// A command with serde's outer tag: `{"add_mark":{"clip":1, …}}`.
struct OuterTagged<C>(C);

impl Serialize for OuterTagged<&Command> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Command::serialize(self.0, serializer)
    }
}

impl<'de> Deserialize<'de> for OuterTagged<Command> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Command::deserialize(deserializer).map(OuterTagged)
    }
}

/// Reads `{"command":"add_mark","clip":1, …}`.
pub(crate) fn read(text: &str) -> Result<Command, serde_json::Error> {
    let mut fields: Map<String, Value> = serde_json::from_str(text)?;
    let name = match fields.remove(NAME) {
        Some(Value::String(name)) => name,
        Some(_) => {
            return Err(<serde_json::Error as de::Error>::custom(
                "the field `command` is no text",
            ));
        }
        None => {
            return Err(<serde_json::Error as de::Error>::custom(
                "missing field `command`",
            ));
        }
    };
    let outer = Map::from_iter([(name, Value::Object(fields))]);
    let command: OuterTagged<Command> = serde_json::from_str(&Value::Object(outer).to_string())?;
    Ok(command.0)
}

/// Writes it so; the fields come in the order of the command's definition, its name first.
fn written(command: &Command) -> Result<String, serde_json::Error> {
    let outer = serde_json::to_string(&OuterTagged(command))?;
    // Every command has fields: serde writes `{"add_mark":{"clip":1, …}}` without a space.
    let parts = outer
        .strip_prefix("{\"")
        .and_then(|rest| rest.split_once("\":{"))
        .and_then(|(name, fields)| Some((name, fields.strip_suffix('}')?)));
    let (name, fields) = parts
        .ok_or_else(|| <serde_json::Error as de::Error>::custom("a command is written in an unknown form"))?;
    Ok(format!("{{\"{NAME}\":\"{name}\",{fields}"))
}

impl Serialize for Command {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let text = written(self).map_err(<S::Error as ser::Error>::custom)?;
        RawValue::from_string(text)
            .map_err(<S::Error as ser::Error>::custom)?
            .serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Command {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Box::<RawValue>::deserialize(deserializer)?;
        read(text.get()).map_err(<D::Error as de::Error>::custom)
    }
}
