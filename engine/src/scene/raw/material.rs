//! Own materials as written.

use super::items::open;
use super::porous::{RawPorous, porous};
use super::table_reader::TableReader;
use super::value_reader::{TomlValue, ValueReader};
use super::{Span, Spanned};
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::scene::problem::{Problem, Problems};
use num_complex::Complex64;
use toml::de::{DeTable, DeValue};

/// Eight values, each with its place; one number for all stands eight times at one place.
pub(in crate::scene) type RawPerBand = Spanned<PerBand<Spanned<f64>>>;

/// Eight complex values, each with its place.
pub(in crate::scene) type RawImpedance = Spanned<PerBand<Spanned<Complex64>>>;

/// `[[material]]`.
#[derive(Debug)]
pub(in crate::scene) struct RawMaterial {
    pub(in crate::scene) name: Option<Spanned<String>>,
    pub(in crate::scene) build: Option<RawSurfaceModel>,
    pub(in crate::scene) scattering: Option<RawPerBand>,
    pub(in crate::scene) source: Option<Spanned<String>>,
}

/// What a material is known by.
#[derive(Debug)]
pub(in crate::scene) enum RawSurfaceModel {
    Absorption(RawPerBand),
    Impedance(RawImpedance),
    Porous(RawPorous),
}

const EIGHT: &str = "one number, or eight: 63, 125, 250, 500 Hz, 1, 2, 4, 8 kHz";
const IMPEDANCE: &str =
    "one number, [real, imaginary], or eight of either: 63, 125, 250, 500 Hz, 1, 2, 4, 8 kHz";

/// One `[[material]]`.
pub(super) fn material<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawMaterial {
    let known = ["name", "absorption", "impedance", "porous", "scattering", "source"];
    let fields = open(table, place, "material", &known, problems);
    RawMaterial {
        name: fields.require_text("name", "\"bookshelf, full\""),
        build: build(&fields),
        scattering: fields.read("scattering", per_band),
        source: fields.text("source"),
    }
}

fn build(fields: &TableReader<'_, '_>) -> Option<RawSurfaceModel> {
    let given: Vec<(&str, Span)> = ["absorption", "impedance", "porous"]
        .into_iter()
        .filter_map(|key| fields.get(key).map(|value| (key, value.span())))
        .collect();
    match given.as_slice() {
        [] => {
            return fields.missing_any(
                &["absorption", "impedance", "porous"],
                "absorption = [0.15, 0.2, 0.3, 0.4, 0.5, 0.5, 0.5, 0.5]",
            );
        }
        [_] => {}
        [(first, first_span), others @ ..] => {
            for (other, span) in others {
                let message = format!(
                    "{} is given although `{first}` describes it already",
                    fields.name_of(other)
                );
                fields.problems().add(
                    Problem::error("scene::material-build", span.clone(), message)
                        .label("second description")
                        .related(first_span.clone(), "first description")
                        .help("keep exactly one of `absorption`, `impedance` and `porous`"),
                );
            }
        }
    }
    match given.first()?.0 {
        "absorption" => fields.read("absorption", per_band).map(RawSurfaceModel::Absorption),
        "impedance" => fields.read("impedance", impedance).map(RawSurfaceModel::Impedance),
        _ => porous(fields).map(RawSurfaceModel::Porous),
    }
}

/// One number for all bands, or one for each.
fn per_band(reader: ValueReader<'_>, value: &TomlValue<'_>) -> Option<RawPerBand> {
    if let DeValue::Array(_) = value.get_ref() {
        return reader.exactly(value, EIGHT, ValueReader::number);
    }
    let one = reader.number(value)?;
    Some(Spanned::new(std::array::from_fn(|_| one.clone()), value.span()))
}

/// One complex number for all bands, or one for each.
fn impedance(reader: ValueReader<'_>, value: &TomlValue<'_>) -> Option<RawImpedance> {
    match value.get_ref() {
        DeValue::Array(items) if items.len() == BAND_COUNT => {
            reader.exactly(value, IMPEDANCE, complex)
        }
        DeValue::Array(items) if items.len() != 2 => {
            reader.wrong_count(value.span(), items.len(), IMPEDANCE);
            None
        }
        _ => {
            let one = complex(reader, value)?;
            Some(Spanned::new(std::array::from_fn(|_| one.clone()), value.span()))
        }
    }
}

fn complex(reader: ValueReader<'_>, value: &TomlValue<'_>) -> Option<Spanned<Complex64>> {
    if let DeValue::Array(_) = value.get_ref() {
        let pair = reader.exactly::<_, 2>(value, "[real, imaginary]", ValueReader::number)?;
        let [re, im] = pair.value;
        return Some(Spanned::new(Complex64::new(re.value, im.value), pair.span));
    }
    let re = reader.number(value)?;
    Some(Spanned::new(Complex64::new(re.value, 0.0), re.span))
}
