//! A number of a scene text, found by its name, that can be turned.

use super::length::parse_length;
use super::messages::{list, nearest, quoted};
use crate::medium::bands::NOMINAL_HZ;
use std::ops::Range;
use thiserror::Error;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A number written somewhere in a scene text.
///
/// It is named by the way to it with points between: `room.length`, `speaker.main left.at.x`,
/// `panel.cloud.size.2`, `material.wool.absorption.500`. Of several things of one kind the name says
/// which; the numbers of a place are `x`, `y` and `z`, those of a row in eight octave bands go by their
/// bands, and those of any row by their place in it, from 1 on.
#[derive(Debug, Clone, PartialEq)]
pub struct SceneParameter {
    /// Where it stands in the text.
    span: Range<usize>,
    /// What is written there: metres where it is a length with its unit.
    value: f64,
}

/// What a dial is turned to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Override {
    /// A bare number.
    Number(f64),
    /// A length in metres, written with its unit.
    Metres(f64),
}

/// Why there is no such dial.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{message}")]
pub struct ParameterError {
    /// What is wrong.
    pub message: String,
    /// A remedy.
    pub help: String,
}

/// A value of the text with its place.
type SpannedValue<'v, 'i> = &'v Spanned<DeValue<'i>>;

impl SceneParameter {
    /// The number of this name in a text that is a scene.
    ///
    /// ```
    /// use earline_engine::scene::{SceneParameter, Override, with_overrides};
    /// let text = "[room]\nlength = \"5.8 m\"\n";
    /// let length = SceneParameter::find(text, "room.length")?;
    /// assert_eq!(length.value(), 5.8);
    /// assert_eq!(with_overrides(text, &[(&length, Override::Number(6.0))]), "[room]\nlength = 6\n");
    /// # Ok::<(), earline_engine::scene::ParameterError>(())
    /// ```
    ///
    /// # Errors
    /// The text has no such value, or it is no number.
    pub fn find(text: &str, name: &str) -> Result<Self, ParameterError> {
        let (document, _) = DeTable::parse_recoverable(text);
        let (first, rest) = split_name(name);
        let top = document.get_ref();
        let Some(section) = top.get(first) else {
            return Err(unknown("the scene", first, top.keys().map(|key| key.get_ref().as_ref())));
        };
        let value = match section.get_ref() {
            DeValue::Array(items) if items.iter().any(|item| item_name(item).is_some()) => {
                let (item, rest) = find_item(items, first, rest)?;
                descend(item, &format!("{first}.{}", item_name(item).unwrap_or_default()), rest)?
            }
            _ => descend(section, first, rest)?,
        };
        let number = number(value.get_ref()).ok_or_else(|| ParameterError {
            message: format!("`{}` is no number", quoted(name)),
            help: "numbers and lengths can be varied; name one of them".to_owned(),
        })?;
        Ok(Self { span: value.span(), value: number })
    }

    /// What is written there: metres where it is a length with its unit.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Whether both are the same number of the text.
    pub fn is_same_as(&self, other: &Self) -> bool {
        self.span == other.span
    }

    /// Its place in the text.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }
}

/// The text with some of its dials turned. All of them are dials of this text, and no two the same.
pub fn with_overrides(text: &str, overrides: &[(&SceneParameter, Override)]) -> String {
    let mut overrides: Vec<_> = overrides.to_vec();
    overrides.sort_by_key(|(parameter, _)| parameter.span.start);
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for (parameter, value) in overrides {
        out.push_str(text.get(done..parameter.span.start).unwrap_or_default());
        let written = match value {
            Override::Number(number) => number.to_string(),
            Override::Metres(metres) => format!("\"{metres} m\""),
        };
        out.push_str(&written);
        done = parameter.span.end;
    }
    out.push_str(text.get(done..).unwrap_or_default());
    out
}

/// The first part of a name and the rest of it.
fn split_name(name: &str) -> (&str, &str) {
    name.split_once('.').unwrap_or((name, ""))
}

fn item_name<'v>(item: &'v Spanned<DeValue<'_>>) -> Option<&'v str> {
    match item.get_ref() {
        DeValue::Table(table) => match table.get("name")?.get_ref() {
            DeValue::String(name) => Some(name.as_ref()),
            _ => None,
        },
        _ => None,
    }
}

/// The thing that a name begins with, which may have points of its own, and the rest of the name.
fn find_item<'v, 'i, 'n>(
    items: &'v [Spanned<DeValue<'i>>],
    kind: &str,
    rest: &'n str,
) -> Result<(SpannedValue<'v, 'i>, &'n str), ParameterError> {
    let after = |name: &str| {
        let after = rest.strip_prefix(name)?;
        if after.is_empty() { Some(after) } else { after.strip_prefix('.') }
    };
    let found = items
        .iter()
        .filter_map(|item| item_name(item).and_then(|name| Some((name.len(), item, after(name)?))))
        .max_by_key(|(length, ..)| *length);
    match found {
        Some((_, item, rest)) => Ok((item, rest)),
        None => Err(unknown(
            &format!("`{kind}`"),
            split_name(rest).0,
            items.iter().filter_map(item_name),
        )),
    }
}

/// The value that the rest of a name leads to; `way` is the name so far.
fn descend<'v, 'i>(
    value: SpannedValue<'v, 'i>,
    way: &str,
    rest: &str,
) -> Result<SpannedValue<'v, 'i>, ParameterError> {
    let (first, after) = split_name(rest);
    match value.get_ref() {
        DeValue::Table(table) => {
            let keys = || table.keys().map(|key| key.get_ref().as_ref()).filter(|k| *k != "name");
            let next = table.get(first).filter(|_| !first.is_empty());
            let next = next.ok_or_else(|| unknown(&format!("`{way}`"), first, keys()))?;
            descend(next, &format!("{way}.{first}"), after)
        }
        DeValue::Array(items) => {
            let next = row_index(items.len(), first).and_then(|place| items.get(place));
            let next = next.ok_or_else(|| unknown_index(way, first, items.len()))?;
            descend(next, &format!("{way}.{first}"), after)
        }
        _ if rest.is_empty() => Ok(value),
        _ => Err(ParameterError {
            message: format!("`{way}` has nothing within it, but `{}` follows", quoted(rest)),
            help: format!("name it as `{way}`"),
        }),
    }
}

/// Where in a row of so many a part of a name points, counted from nought.
fn row_index(count: usize, part: &str) -> Option<usize> {
    if count == 3
        && let Some(axis) = AXES.iter().position(|axis| *axis == part)
    {
        return Some(axis);
    }
    let number: usize = part.parse().ok()?;
    if count == NOMINAL_HZ.len()
        && let Some(band) = NOMINAL_HZ.iter().position(|hz| hz.to_string() == part)
    {
        return Some(band);
    }
    number.checked_sub(1).filter(|place| *place < count)
}

const AXES: [&str; 3] = ["x", "y", "z"];

fn unknown_index(way: &str, part: &str, count: usize) -> ParameterError {
    let allowed = match count {
        3 => "`x`, `y` and `z`".to_owned(),
        8 => "its octave bands, `63` to `8000`".to_owned(),
        0 => "nothing".to_owned(),
        many => format!("numbers from 1 to {many}"),
    };
    let message = if part.is_empty() {
        format!("`{way}` is a row of {count} numbers")
    } else {
        format!("`{way}` has no `{}`", quoted(part))
    };
    ParameterError { message, help: format!("after it come a point and one of {allowed}") }
}

fn unknown<'a>(of: &str, part: &str, has: impl Iterator<Item = &'a str>) -> ParameterError {
    let has: Vec<&str> = has.collect();
    let message = if part.is_empty() {
        format!("{of} is not a number but holds several")
    } else {
        format!("{of} has no `{}` written in the scene", quoted(part))
    };
    let there = format!("it has {}", list(has.iter().copied()));
    let help = match nearest(part, has.iter().copied()) {
        _ if part.is_empty() => format!("{there}; after a point name one of them"),
        Some(near) => format!("did you mean `{near}`? {there}"),
        None => format!("{there}; what shall be varied must be written there first"),
    };
    ParameterError { message, help }
}

/// A finite number, or a length with its unit in metres.
fn number(value: &DeValue<'_>) -> Option<f64> {
    let number = match value {
        DeValue::Integer(integer) => {
            #[expect(clippy::cast_precision_loss, reason = "far below 2^53 in a scene")]
            let number = i64::from_str_radix(integer.as_str(), integer.radix()).ok()? as f64;
            number
        }
        DeValue::Float(float) => float.as_str().parse().ok()?,
        DeValue::String(text) => parse_length(text).ok()?,
        _ => return None,
    };
    number.is_finite().then_some(number)
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a dial that is not found fails the test")]

    use super::*;
    use crate::scene::{NoAttachments, Scene};

    const ATTIC: &str = include_str!("../../../scenes/attic.toml");

    #[test]
    fn every_kind_of_number_is_found() {
        for (name, value) in [
            ("room.length", 5.8),
            ("air.temperature_c", 20.0),
            ("speaker.main left.at.x", 0.81),
            ("speaker.main right.at.2", 2.85),
            ("speaker.main left.directivity.crossover_hz", 2200.0),
            ("speaker.main left.directivity.cabinet.3", 0.27),
            ("listener.standing.at.z", 1.6),
            ("panel.back panel, left half.centre.1", 1.7),
            ("screen.cloud.size.2", 1.2),
            ("furniture.desk.corner.z", 0.7),
            ("material.sofa, cloth.absorption.500", 0.5),
            ("material.sofa, cloth.absorption.3", 0.35),
            ("material.100 mm wool, 50 mm gap.porous.flow_resistivity", 12000.0),
        ] {
            assert_eq!(
                SceneParameter::find(ATTIC, name).map(|parameter| parameter.value()),
                Ok(value),
                "{name}"
            );
        }
    }

    /// A name may have points of its own, and may begin like another.
    #[test]
    fn names_with_points_are_told_apart() {
        let text = "[[panel]]\nname = \"a\"\nb.c = 1\n[[panel]]\nname = \"a.b\"\nc = 2\n";
        assert_eq!(
            SceneParameter::find(text, "panel.a.b.c").map(|parameter| parameter.value()),
            Ok(2.0)
        );
    }

    #[test]
    fn what_is_not_there_is_said_with_what_is() {
        for (name, message, help) in [
            ("rom.length", "the scene has no `rom`", "did you mean `room`?"),
            ("room.lenght", "`room` has no `lenght`", "did you mean `length`?"),
            ("room", "`room` is not a number", "`height`, `length` and `width`"),
            ("speaker.main lfet.at.x", "`speaker` has no `main lfet`", "did you mean `main left`?"),
            ("speaker.main left.at", "a row of 3 numbers", "`x`, `y` and `z`"),
            ("speaker.main left.at.w", "has no `w`", "`x`, `y` and `z`"),
            ("speaker.main left.aim", "is no number", "lengths can be varied"),
            ("room.length.x", "nothing within it", "`room.length`"),
            ("furniture.desk.turn_deg", "has no `turn_deg`", "must be written there first"),
            ("surfaces.left", "is no number", "lengths"),
            ("", "holds several", ""),
        ] {
            let wrong = SceneParameter::find(ATTIC, name).unwrap_err();
            assert!(wrong.message.contains(message), "{name}: {}", wrong.message);
            assert!(wrong.help.contains(help), "{name}: {}", wrong.help);
        }
    }

    /// A turned text is the scene with those numbers and nothing else changed.
    #[test]
    fn a_turned_text_is_the_scene_with_other_numbers() {
        let find = |name| SceneParameter::find(ATTIC, name).unwrap();
        let (z, x) = (find("listener.seated.at.z"), find("listener.seated.at.x"));
        let text =
            with_overrides(ATTIC, &[(&z, Override::Metres(1.25)), (&x, Override::Number(2.0))]);
        let before = Scene::parse(ATTIC, &NoAttachments).unwrap().scene;
        let after = Scene::parse(&text, &NoAttachments).unwrap().scene;
        let mut edit = before.edit();
        edit.listeners_mut()[0].at.x = 2.0;
        edit.listeners_mut()[0].at.z = 1.25;
        assert_eq!(edit.validate(&NoAttachments).unwrap().scene, after);
        assert_eq!(text.lines().count(), ATTIC.lines().count());
    }

    /// A length with its unit where no length belongs is refused by the rules of scene files.
    #[test]
    fn a_length_turns_no_temperature() {
        let warmth = SceneParameter::find(ATTIC, "air.temperature_c").unwrap();
        let text = with_overrides(ATTIC, &[(&warmth, Override::Metres(21.0))]);
        let problems = Scene::parse(&text, &NoAttachments).unwrap_err();
        assert!(problems.iter().any(|problem| problem.code == "scene::wrong-type"));
    }
}
