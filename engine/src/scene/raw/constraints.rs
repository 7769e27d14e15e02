//! Keep-out and keep-clear rectangles and absorbers as written.

use super::items::open;
use super::value_reader::{TomlValue, ValueReader};
use super::{RawAbsorber, RawKeepClear, RawKeepOut, Spanned};
use crate::scene::model::Surface;
use crate::scene::problem::Problems;
use toml::de::DeTable;

/// One `[[keep_out]]`.
pub(super) fn keep_out<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawKeepOut {
    let fields = open(table, place, "keep-out", &["name", "corner", "size"], problems);
    RawKeepOut {
        name: fields.require_text("name", "\"door swing\""),
        corner: fields.require_lengths(
            "corner",
            "[from front wall, from left wall]",
            "[\"4.90 m\", \"0 m\"]",
        ),
        size: fields.require_lengths("size", "[along x, along y]", "[\"0.90 m\", \"0.90 m\"]"),
    }
}

/// One `[[keep_clear]]`.
pub(super) fn keep_clear<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawKeepClear {
    let known = ["name", "on", "centre", "size"];
    let fields = open(table, place, "keep-clear", &known, problems);
    let surfaces = Surface::ALL.map(|surface| (surface.name(), surface));
    let shape = "[along, up]; on floor and ceiling [front to back, left to right]";
    RawKeepClear {
        name: fields.require_text("name", "\"window\""),
        on: fields.require_word("on", "\"left\"", &surfaces),
        centre: fields.require_lengths("centre", shape, "[\"1.10 m\", \"1.45 m\"]"),
        size: fields.require_lengths("size", shape, "[\"1.20 m\", \"1.10 m\"]"),
    }
}

/// One `[[absorber]]`.
pub(super) fn absorber<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawAbsorber {
    let known =
        ["name", "size", "material", "cost", "count", "weight_kg", "on", "may_turn", "hang"];
    let fields = open(table, place, "absorber", &known, problems);
    let shape = "[along, up]; on the ceiling [front to back, left to right]";
    RawAbsorber {
        name: fields.require_text("name", "\"wool board\""),
        size: fields.require_lengths("size", shape, "[\"0.60 m\", \"1.20 m\"]"),
        material: fields.require_text("material", "\"100 mm wool, 50 mm gap\""),
        cost: fields.number("cost"),
        count: fields.number("count"),
        weight_kg: fields.number("weight_kg"),
        on: fields.read("on", surfaces),
        may_turn: fields.boolean("may_turn"),
        hang: fields.length("hang"),
    }
}

fn surfaces(reader: ValueReader<'_>, value: &TomlValue<'_>) -> Option<Spanned<Vec<Surface>>> {
    let words = Surface::ALL.map(|surface| (surface.name(), surface));
    let items = reader.array(value, "[\"left\", \"right\", …]")?;
    let read: Option<Vec<Surface>> =
        items.iter().map(|item| Some(reader.word(item, &words)?.value)).collect();
    Some(Spanned::new(read?, value.span()))
}
