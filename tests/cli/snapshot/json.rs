//! A document of which long lists are summed up. Keys stay in the order in which they are written.

use super::numbers::summary;
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::Number;
use std::collections::BTreeMap;
use std::fmt::{Formatter, Write as _};

/// So many numbers of a list are kept.
const NUMBERS: usize = 24;
/// So many objects, lists or words of a list are kept.
const OTHERS: usize = 12;

/// A document with every long list of numbers as its summary; a long list of others as its first
/// and last members, and a summary of all numbers in it by their keys.
pub(super) fn shorten(document: &str) -> String {
    let document: Json = serde_json::from_str(document).unwrap();
    let mut text = String::new();
    document.write(0, &mut text);
    text.push('\n');
    text
}

/// A document in the order in which it is written.
enum Json {
    Null,
    Bool(bool),
    Number(Number),
    Text(String),
    List(Vec<Json>),
    Object(Vec<(String, Json)>),
}

impl Json {
    fn write(&self, depth: usize, text: &mut String) {
        match self {
            Self::List(members) if !self.is_plain() => {
                text.push_str("[\n");
                let kept = if members.len() > OTHERS { 4 } else { members.len() };
                for member in &members[..kept] {
                    indent(depth + 1, text);
                    member.write(depth + 1, text);
                    text.push_str(",\n");
                }
                if members.len() > kept {
                    indent(depth + 1, text);
                    writeln!(text, "[… {} members in all, the last:]", members.len()).unwrap();
                    indent(depth + 1, text);
                    members[members.len() - 1].write(depth + 1, text);
                    text.push('\n');
                    let mut columns = BTreeMap::new();
                    self.collect("", &mut columns);
                    for (key, values) in columns {
                        indent(depth + 1, text);
                        writeln!(text, "[{key}: {}]", summary(&values)).unwrap();
                    }
                }
                indent(depth, text);
                text.push(']');
            }
            Self::Object(members) => {
                text.push_str("{\n");
                for (key, member) in members {
                    indent(depth + 1, text);
                    write!(text, "{key:?}: ").unwrap();
                    member.write(depth + 1, text);
                    text.push_str(",\n");
                }
                indent(depth, text);
                text.push('}');
            }
            _ => self.write_plain(text),
        }
    }

    /// Writes what stands on one line.
    fn write_plain(&self, text: &mut String) {
        match self {
            Self::Null => text.push_str("null"),
            Self::Bool(value) => write!(text, "{value}").unwrap(),
            Self::Number(value) => write!(text, "{value}").unwrap(),
            Self::Text(value) => write!(text, "{value:?}").unwrap(),
            Self::List(members) => {
                let numbers: Vec<f64> = members.iter().filter_map(Self::number).collect();
                if numbers.len() > NUMBERS {
                    write!(text, "[{}", summary(&numbers)).unwrap();
                    let others = members.len() - numbers.len();
                    if others > 0 {
                        write!(text, ", and {others} others").unwrap();
                    }
                    text.push(']');
                    return;
                }
                text.push('[');
                for (index, member) in members.iter().enumerate() {
                    if index > 0 {
                        text.push_str(", ");
                    }
                    member.write_plain(text);
                }
                text.push(']');
            }
            Self::Object(_) => unreachable!("an object has lines of its own"),
        }
    }

    fn number(&self) -> Option<f64> {
        if let Self::Number(value) = self { value.as_f64() } else { None }
    }

    /// Whether it is one value, or a list of such that is short or all numbers.
    fn is_plain(&self) -> bool {
        let Self::List(members) = self else { return !matches!(self, Self::Object(_)) };
        let single = |member: &Self| !matches!(member, Self::List(_) | Self::Object(_));
        let numeric = |member: &Self| matches!(member, Self::Number(_) | Self::Null);
        members.iter().all(numeric) || (members.len() <= OTHERS && members.iter().all(single))
    }

    /// Adds all numbers in it to the lists of their keys.
    fn collect(&self, key: &str, columns: &mut BTreeMap<String, Vec<f64>>) {
        match self {
            Self::List(members) => members.iter().for_each(|member| member.collect(key, columns)),
            Self::Object(members) => {
                for (name, member) in members {
                    let key = if key.is_empty() { name.clone() } else { format!("{key}.{name}") };
                    member.collect(&key, columns);
                }
            }
            _ => {
                if let Some(value) = self.number() {
                    let key = if key.is_empty() { "numbers" } else { key };
                    columns.entry(key.to_owned()).or_default().push(value);
                }
            }
        }
    }
}

fn indent(depth: usize, text: &mut String) {
    for _ in 0..depth {
        text.push_str("  ");
    }
}

impl<'de> Deserialize<'de> for Json {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(InOrder)
    }
}

struct InOrder;

impl<'de> Visitor<'de> for InOrder {
    type Value = Json;

    fn expecting(&self, formatter: &mut Formatter) -> std::fmt::Result {
        formatter.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Json, E> {
        Ok(Json::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Json, E> {
        Ok(Json::Bool(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Json, E> {
        Ok(Json::Number(value.into()))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Json, E> {
        Ok(Json::Number(value.into()))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Json, E> {
        Ok(Number::from_f64(value).map_or(Json::Null, Json::Number))
    }

    fn visit_str<E>(self, value: &str) -> Result<Json, E> {
        Ok(Json::Text(value.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut members: A) -> Result<Json, A::Error> {
        let mut list = Vec::new();
        while let Some(member) = members.next_element()? {
            list.push(member);
        }
        Ok(Json::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Json, A::Error> {
        let mut object = Vec::new();
        while let Some(member) = members.next_entry()? {
            object.push(member);
        }
        Ok(Json::Object(object))
    }
}
