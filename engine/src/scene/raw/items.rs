//! Listeners, panels, screens, furniture and variants as written.

use super::table_reader::TableReader;
use super::value_reader::{TomlValue, ValueReader};
use super::{RawFurniture, RawListener, RawPanel, RawScreen, RawVariant, Spanned};
use crate::scene::messages::quoted;
use crate::scene::problem::Problems;
use crate::scene::room::Surface;
use toml::de::{DeTable, DeValue};

/// Words of a screen's `facing`.
const FACINGS: [(&str, [f64; 3]); 6] = [
    ("down", [0.0, 0.0, -1.0]),
    ("up", [0.0, 0.0, 1.0]),
    ("front", [-1.0, 0.0, 0.0]),
    ("back", [1.0, 0.0, 0.0]),
    ("left", [0.0, -1.0, 0.0]),
    ("right", [0.0, 1.0, 0.0]),
];

/// Opens the table of one item and names it for messages.
pub(super) fn open<'t, 'i>(
    table: &'t DeTable<'i>,
    place: &TomlValue<'_>,
    kind: &str,
    known: &[&'static str],
    problems: &'t Problems,
) -> TableReader<'t, 'i> {
    let what = match table.get("name").map(toml::Spanned::get_ref) {
        Some(DeValue::String(name)) if !name.trim().is_empty() => {
            format!("the {kind} `{}`", quoted(name))
        }
        _ => format!("this {kind}"),
    };
    TableReader::new(table, what, place.span(), known, problems)
}

/// One `[[listener]]`.
pub(super) fn listener<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawListener {
    let fields = open(table, place, "listener", &["name", "at", "faces"], problems);
    RawListener {
        name: fields.require_text("name", "\"seated\""),
        at: fields.require_point("at", "[\"2.20 m\", \"2.05 m\", \"1.20 m\"]"),
        faces: fields.point("faces"),
    }
}

/// One `[[panel]]`.
pub(super) fn panel<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawPanel {
    let known = ["name", "set", "on", "centre", "size", "material", "cost"];
    let fields = open(table, place, "panel", &known, problems);
    let surfaces = Surface::ALL.map(|surface| (surface.name(), surface));
    let shape = "[along, up]; on floor and ceiling [front to back, left to right]";
    RawPanel {
        name: fields.require_text("name", "\"left side panel\""),
        set: fields.text("set"),
        on: fields.require_word("on", "\"left\"", &surfaces),
        centre: fields.require_lengths("centre", shape, "[\"1.34 m\", \"1.20 m\"]"),
        size: fields.require_lengths("size", shape, "[\"1.20 m\", \"0.60 m\"]"),
        material: fields.require_text("material", "\"100 mm wool, 50 mm gap\""),
        cost: fields.number("cost"),
    }
}

/// One `[[screen]]`.
pub(super) fn screen<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawScreen {
    let known = ["name", "set", "centre", "size", "facing", "material", "cost"];
    let fields = open(table, place, "screen", &known, problems);
    RawScreen {
        name: fields.require_text("name", "\"cloud\""),
        set: fields.text("set"),
        centre: fields.require_point("centre", "[\"1.50 m\", \"2.05 m\", \"2.20 m\"]"),
        size: fields.require_lengths(
            "size",
            "[first side, second side]",
            "[\"1.80 m\", \"1.20 m\"]",
        ),
        facing: fields.require("facing", "\"down\"", facing),
        material: fields.require_text("material", "\"100 mm wool, 50 mm gap\""),
        cost: fields.number("cost"),
    }
}

/// One `[[furniture]]`.
pub(super) fn furniture<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawFurniture {
    let known = ["name", "set", "corner", "size", "turn_deg", "material"];
    let fields = open(table, place, "piece of furniture", &known, problems);
    RawFurniture {
        name: fields.require_text("name", "\"desk\""),
        set: fields.text("set"),
        corner: fields.require_point("corner", "[\"1.20 m\", \"1.25 m\", \"0.70 m\"]"),
        size: fields.require_lengths(
            "size",
            "[along x, along y, along z]",
            "[\"0.75 m\", \"1.60 m\", \"0.04 m\"]",
        ),
        turn_deg: fields.number("turn_deg"),
        material: fields.require_text("material", "\"wood, solid\""),
    }
}

/// One `[[variant]]`.
pub(super) fn variant<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawVariant {
    let fields = open(table, place, "variant", &["name", "with", "now"], problems);
    RawVariant {
        name: fields.require_text("name", "\"treated\""),
        with: fields.require("with", "[\"side panels\"]", |reader, value| {
            let items = reader.array(value, "[\"set name\", …]")?;
            let names: Vec<Option<Spanned<String>>> =
                items.iter().map(|item| reader.text(item)).collect();
            names.into_iter().collect()
        }),
        now: fields.boolean("now"),
    }
}

fn facing(reader: ValueReader<'_>, value: &TomlValue<'_>) -> Option<Spanned<[f64; 3]>> {
    if let DeValue::Array(_) = value.get_ref() {
        let vector =
            reader.exactly::<_, 3>(value, "[x, y, z], three plain numbers", ValueReader::number)?;
        return Some(Spanned::new(vector.value.map(|number| number.value), vector.span));
    }
    reader.word(value, &FACINGS)
}
