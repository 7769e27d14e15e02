//! A porous build as written: one layer in short, or a list of layers.

use super::table_reader::TableReader;
use super::value_reader::ValueReader;
use super::{Span, Spanned};
use crate::scene::messages::list;
use crate::scene::problem::Problem;
use toml::de::DeValue;

/// `porous`.
#[derive(Debug)]
pub(in crate::scene) enum RawPorous {
    /// `{ thickness, flow_resistivity, gap }`.
    Single {
        thickness: Option<Spanned<f64>>,
        flow_resistivity: Option<Spanned<f64>>,
        gap: Option<Spanned<f64>>,
    },
    /// `{ layers = [ … ] }`, from the room side to the wall.
    Layers(Spanned<Vec<RawLayer>>),
}

/// One of the layers.
#[derive(Debug)]
pub(in crate::scene) struct RawLayer {
    pub(in crate::scene) span: Span,
    /// `None` when it could not be read.
    pub(in crate::scene) kind: Option<RawLayerKind>,
}

/// What a layer is.
#[derive(Debug)]
pub(in crate::scene) enum RawLayerKind {
    Porous { thickness: Spanned<f64>, flow_resistivity: Spanned<f64> },
    Air(Spanned<f64>),
}

const SINGLE: [&str; 3] = ["thickness", "flow_resistivity", "gap"];
const SHAPE: &str = "[{ thickness = \"50 mm\", flow_resistivity = 8000 }, { air = \"50 mm\" }, …]";

/// The `porous` of a material.
pub(super) fn porous(material: &TableReader<'_, '_>) -> Option<RawPorous> {
    let known = ["thickness", "flow_resistivity", "gap", "layers"];
    let example = "{ thickness = \"100 mm\", flow_resistivity = 12000, gap = \"50 mm\" }";
    let fields = material.inner("porous", &known, example)?;
    if fields.get("layers").is_none() && !fields.stands_misspelt("layers") {
        return Some(RawPorous::Single {
            thickness: fields.require_length("thickness", "\"100 mm\""),
            flow_resistivity: fields.require_number("flow_resistivity", "12000"),
            gap: fields.length("gap"),
        });
    }
    let layers = fields.read("layers", |reader, value| {
        let items = reader.array(value, SHAPE)?;
        let layers = items.iter().enumerate().map(|(index, item)| {
            let what = format!("layer {} of {}", index + 1, material.name_of("porous"));
            RawLayer { span: item.span(), kind: layer(reader, what, item) }
        });
        Some(Spanned::new(layers.collect(), value.span()))
    });
    let beside: Vec<&str> = SINGLE.into_iter().filter(|key| fields.get(key).is_some()).collect();
    if let Some(first) = beside.first().and_then(|key| fields.get(key)) {
        let message =
            format!("{} stands beside {}", fields.name_of("layers"), list(beside.iter().copied()));
        fields.problems().add(
            Problem::error("scene::material-build", first.span(), message)
                .label("outside the list of layers")
                .help("with `layers` every thickness, flow resistivity and gap belongs in the list, from the room side to the wall; a gap is written { air = \"50 mm\" }"),
        );
        return None;
    }
    layers.map(RawPorous::Layers)
}

fn layer(
    reader: ValueReader<'_>,
    what: String,
    value: &super::value_reader::TomlValue<'_>,
) -> Option<RawLayerKind> {
    let DeValue::Table(table) = value.get_ref() else {
        return ValueReader { what: &what, ..reader }.wrong(
            value,
            "a table in braces",
            &format!("write layers = {SHAPE}"),
        );
    };
    let known = ["thickness", "flow_resistivity", "air"];
    let fields = TableReader::new(table, what, value.span(), &known, reader.problems);
    let Some(air) = fields.get("air") else {
        if fields.get("thickness").is_none() && fields.get("flow_resistivity").is_none() {
            return fields.missing_any(&["thickness", "air"], "{ air = \"50 mm\" }");
        }
        let thickness = fields.require_length("thickness", "\"50 mm\"");
        let flow_resistivity = fields.require_number("flow_resistivity", "8000");
        return Some(RawLayerKind::Porous {
            thickness: thickness?,
            flow_resistivity: flow_resistivity?,
        });
    };
    let porous = ["thickness", "flow_resistivity"].into_iter().find_map(|key| fields.get(key));
    if let Some(porous) = porous {
        reader.problems.add(
            Problem::error(
                "scene::material-build",
                porous.span(),
                format!("{} is given although the layer is porous", fields.name_of("air")),
            )
            .label("a porous layer")
            .related(air.span(), "a layer of air")
            .help("write two layers, one after the other: { thickness = …, flow_resistivity = … }, { air = … }"),
        );
        return None;
    }
    fields.length("air").map(RawLayerKind::Air)
}
