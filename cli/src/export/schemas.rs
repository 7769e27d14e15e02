//! Published JSON Schemas of machine output, `docs/schema/`: the types of the documents, written down.
//!
//! `EARLINE_RENEW_SCHEMAS=1 cargo test -p earline --lib schemas` writes them anew.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use super::bass::BassDocument;
use super::check::CheckDocument;
use super::compare::CompareDocument;
use super::listen::ListenDocument;
use super::materials::MaterialsDocument;
use super::place::PlaceDocument;
use super::start::StartDocument;
use super::sweep::SweepDocument;
use super::tape::TapeDocument;
use super::trace::TraceDocument;
use super::treat::TreatDocument;
use super::wave::WaveDocument;
use crate::report::ReportDocument;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};
use std::path::Path;

/// The schema of a document as it is written.
fn schema_of<T: JsonSchema>(name: &str) -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    let document = format!("earline.{name}/1");
    if let Some(property) = schema.pointer_mut("/properties/schema") {
        property["const"] = json!(document);
    }
    schema.insert("title".to_owned(), json!(document));
    RecursiveTransform(strict).transform(&mut schema);
    RecursiveTransform(joined).transform(&mut schema);
    schema
}

/// No other keys than the published ones, and no notes on how a number is held in memory.
fn strict(schema: &mut Schema) {
    let is_number = schema.get("type").is_some_and(|kind| {
        ["number", "integer"].iter().any(|number| {
            kind == number || kind.as_array().is_some_and(|kinds| kinds.contains(&json!(number)))
        })
    });
    if is_number {
        schema.remove("format");
    }
    let required = schema.get("required").and_then(Value::as_array).cloned().unwrap_or_default();
    if let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) {
        for (key, property) in properties {
            if !required.contains(&json!(key)) {
                not_null(property);
            }
        }
        schema.insert("additionalProperties".to_owned(), json!(false));
    }
}

/// A key that may be absent is not null where it is there.
fn not_null(property: &mut Value) {
    if let Some(any) = property.get_mut("anyOf").and_then(Value::as_array_mut) {
        any.retain(|one| one["type"] != "null");
    }
    if let Some(kinds) = property.get_mut("type") {
        let Some(list) = kinds.as_array_mut() else { return };
        list.retain(|kind| kind != "null");
        if let [only] = list.as_slice() {
            *kinds = only.clone();
        }
    }
}

/// Where an object has keys of its own beside those of one of several kinds, each part knows its own
/// keys only.
fn joined(schema: &mut Schema) {
    if schema.get("properties").is_none() {
        return;
    }
    let Some(kinds) = schema.get_mut("oneOf").and_then(Value::as_array_mut) else { return };
    for kind in kinds.iter_mut().filter_map(Value::as_object_mut) {
        kind.remove("additionalProperties");
    }
    schema.remove("additionalProperties");
    schema.insert("unevaluatedProperties".to_owned(), json!(false));
}

#[test]
fn the_published_schemas_are_those_of_the_documents() {
    let schemas = [
        ("bass", schema_of::<BassDocument>("bass")),
        ("check", schema_of::<CheckDocument>("check")),
        ("compare", schema_of::<CompareDocument>("compare")),
        ("listen", schema_of::<ListenDocument>("listen")),
        ("materials", schema_of::<MaterialsDocument>("materials")),
        ("place", schema_of::<PlaceDocument>("place")),
        ("report", schema_of::<ReportDocument>("report")),
        ("start", schema_of::<StartDocument<'_>>("start")),
        ("sweep", schema_of::<SweepDocument<'_>>("sweep")),
        ("tape", schema_of::<TapeDocument>("tape")),
        ("trace", schema_of::<TraceDocument>("trace")),
        ("treat", schema_of::<TreatDocument>("treat")),
        ("wave", schema_of::<WaveDocument>("wave")),
    ];
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/schema");
    let renew = std::env::var_os("EARLINE_RENEW_SCHEMAS").is_some();
    for (name, schema) in schemas {
        let path = folder.join(format!("{name}.schema.json"));
        let text = String::from_utf8(super::to_json(&schema).unwrap()).unwrap();
        if renew {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &text).unwrap();
        }
        let published = std::fs::read_to_string(&path).unwrap_or_default();
        assert_eq!(published, text, "{name}: see the head of this file");
    }
}
