//! Walks the whole TOML document into a [`RawScene`].

use super::constraints::{absorber, keep_clear, keep_out};
use super::items::{furniture, listener, panel, screen, variant};
use super::material::material;
use super::sections::{KEYS, example, header};
use super::spanned::Span;
use super::speaker::speaker;
use super::table_reader::TableReader;
use super::value_reader::{TomlValue, kind};
use super::{RawAir, RawModel, RawRoom, RawScene};
use crate::medium::materials::ReflectionLaw;
use crate::scene::model::Units;
use crate::scene::problem::{Problem, Problems};
use crate::scene::room::Surface;
use toml::de::{DeTable, DeValue};

/// Reads a parsed TOML document. Everything that cannot be read is reported; `end` is where the text
/// ends, for what is missing there.
pub(in crate::scene) fn read(document: &DeTable<'_>, end: usize, problems: &Problems) -> RawScene {
    let fields = TableReader::of_scene(document, end..end, problems);
    RawScene {
        title: fields.text("title"),
        units: fields.word("units", &[("metric", Units::Metric), ("imperial", Units::Imperial)]),
        room: room(&fields),
        air: air(&fields),
        surfaces: surfaces(&fields),
        materials: tables(&fields, "material", material),
        speakers: required_tables(&fields, "speaker", speaker),
        listeners: required_tables(&fields, "listener", listener),
        panels: tables(&fields, "panel", panel),
        screens: tables(&fields, "screen", screen),
        furniture: tables(&fields, "furniture", furniture),
        variants: tables(&fields, "variant", variant),
        keep_outs: tables(&fields, "keep_out", keep_out),
        keep_clears: tables(&fields, "keep_clear", keep_clear),
        absorbers: tables(&fields, "absorber", absorber),
        model: model(&fields),
    }
}

fn room(scene: &TableReader<'_, '_>) -> Option<RawRoom> {
    let room = required_table(scene, "room", "the room", &["length", "width", "height"])?;
    Some(RawRoom {
        size: [
            room.require_length("length", "\"5.80 m\""),
            room.require_length("width", "\"4.10 m\""),
            room.require_length("height", "\"2.45 m\""),
        ],
    })
}

fn air(scene: &TableReader<'_, '_>) -> RawAir {
    let known = ["temperature_c", "humidity_percent", "pressure_kpa", "absorption"];
    let Some(air) = table(scene, "air", "the air", &known) else { return RawAir::default() };
    RawAir {
        temperature_c: air.number("temperature_c"),
        humidity_percent: air.number("humidity_percent"),
        pressure_kpa: air.number("pressure_kpa"),
        absorption: air.boolean("absorption"),
    }
}

fn surfaces(scene: &TableReader<'_, '_>) -> [Option<super::Spanned<String>>; 6] {
    let known = Surface::ALL.map(Surface::name);
    let found = required_table(scene, "surfaces", "the list of surfaces", &known);
    let Some(found) = found else { return Default::default() };
    known.map(|name| found.require_text(name, "\"gypsum board on studs\""))
}

fn model(scene: &TableReader<'_, '_>) -> RawModel {
    let Some(model) = table(scene, "model", "the model", &["reflection", "edges"]) else {
        return RawModel::default();
    };
    let laws = [("angle", ReflectionLaw::Angle), ("constant", ReflectionLaw::Constant)];
    RawModel { reflection: model.word("reflection", &laws), edges: model.boolean("edges") }
}

/// A section that comes once, when it is there.
fn table<'t, 'i>(
    scene: &TableReader<'t, 'i>,
    key: &str,
    what: &str,
    known: &[&'static str],
) -> Option<TableReader<'t, 'i>> {
    let value = scene.get(key)?;
    if let DeValue::Table(table) = value.get_ref() {
        return Some(TableReader::new(table, what, value.span(), known, scene.problems()));
    }
    let found = kind(value.get_ref());
    let help = if found == "a list" {
        format!("there is only one of it: write [{key}] with single brackets, once")
    } else {
        format!("write [{key}] on a line of its own and the values below it")
    };
    scene.problems().add(
        Problem::error(
            "scene::wrong-type",
            value.span(),
            format!("`{key}` should be a section, but {found} is written"),
        )
        .label(format!("found {found}"))
        .help(help),
    );
    None
}

/// A section that must be there.
fn required_table<'t, 'i>(
    scene: &TableReader<'t, 'i>,
    key: &str,
    what: &str,
    known: &[&'static str],
) -> Option<TableReader<'t, 'i>> {
    if scene.get(key).is_none() {
        report_missing_section(scene, key);
    }
    table(scene, key, what, known)
}

/// A section that may come several times.
fn tables<'t, 'i, T>(
    scene: &TableReader<'t, 'i>,
    key: &str,
    each: impl Fn(&'t DeTable<'i>, &'t TomlValue<'i>, &'t Problems) -> T,
) -> Vec<T> {
    let Some(value) = scene.get(key) else { return Vec::new() };
    let items: &'t [TomlValue<'i>] = match value.get_ref() {
        DeValue::Array(items) => items,
        other => {
            report_not_repeated(scene, key, value, kind(other));
            // With single brackets its content is still worth reading.
            std::slice::from_ref(value)
        }
    };
    items
        .iter()
        .filter_map(|item| match item.get_ref() {
            DeValue::Table(table) => Some(each(table, item, scene.problems())),
            other => {
                if matches!(value.get_ref(), DeValue::Array(_)) {
                    report_not_repeated(scene, key, item, kind(other));
                }
                None
            }
        })
        .collect()
}

/// A section that must come at least once.
fn required_tables<'t, 'i, T>(
    scene: &TableReader<'t, 'i>,
    key: &str,
    each: impl Fn(&'t DeTable<'i>, &'t TomlValue<'i>, &'t Problems) -> T,
) -> Vec<T> {
    let empty = |value: &TomlValue<'_>| matches!(value.get_ref(), DeValue::Array(items) if items.is_empty());
    if scene.get(key).is_none_or(empty) {
        report_missing_section(scene, key);
    }
    tables(scene, key, each)
}

fn report_missing_section(scene: &TableReader<'_, '_>, key: &str) {
    if scene.stands_misspelt(key) {
        return;
    }
    let header = header(key);
    let next = section_after(scene, key);
    let words = if next.is_some() { "belongs before this" } else { "belongs here, at the end" };
    scene.problems().add(
        Problem::error(
            "scene::missing-section",
            next.unwrap_or_else(|| scene.span()),
            format!("the scene has no {header}"),
        )
        .label(format!("{header} {words}"))
        .help(format!("add it on lines of its own, such as\n{}", example(key))),
    );
}

/// The place of the first section in the text that usually comes after this one.
fn section_after(scene: &TableReader<'_, '_>, key: &str) -> Option<Span> {
    let later = KEYS.iter().skip_while(|known| **known != key).skip(1);
    let places = later.filter_map(|later| {
        let value = scene.get(later)?;
        match value.get_ref() {
            DeValue::Array(items) => items.first().map(toml::Spanned::span),
            DeValue::Table(_) => Some(value.span()),
            _ => None,
        }
    });
    places.filter(|place| !place.is_empty()).min_by_key(|place| place.start)
}

fn report_not_repeated(scene: &TableReader<'_, '_>, key: &str, value: &TomlValue<'_>, found: &str) {
    scene.problems().add(
        Problem::error(
            "scene::wrong-type",
            value.span(),
            format!("`{key}` should be one or more sections, but {found} is written"),
        )
        .label(format!("found {found}"))
        .help(format!("write [[{key}]] with double brackets: there can be several")),
    );
}
