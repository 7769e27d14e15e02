//! The materials document, `earline.materials/1`.

use super::round;
use earline_engine::medium::air::Air;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::medium::materials::catalogue::{self, Entry};
use earline_engine::medium::materials::{AbsorberLayer, Material, SurfaceModel};
use earline_engine::scene::{Scene, Units, format_length};
use serde::Serialize;

const SCHEMA: &str = "earline.materials/1";

#[derive(Debug, Serialize)]
pub(crate) struct MaterialsDocument {
    schema: &'static str,
    bands_hz: PerBand<f64>,
    materials: Vec<Row>,
}

/// A material as machines and the terminal list it.
#[derive(Debug, Serialize)]
pub(crate) struct Row {
    /// Its name.
    pub(crate) name: String,
    /// Random-incidence absorption coefficient per band.
    pub(crate) absorption: PerBand<f64>,
    /// Absorption coefficient per band straight on.
    absorption_normal: PerBand<f64>,
    /// Scattering coefficient per band.
    scattering: PerBand<f64>,
    /// Where the figures come from.
    pub(crate) source: String,
    /// How the source is known: a word of the catalogue, or `scene`.
    pub(crate) provenance: &'static str,
    /// Which bands repeat their neighbour because the source has none.
    pub(crate) filled: PerBand<bool>,
    /// Anything a careful user should know.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub(crate) note: &'static str,
    /// The layers of a porous build, from the room side to the wall.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    layers: Vec<Layer>,
    /// The same in words, for a build of the scene's own.
    #[serde(skip)]
    pub(crate) build: String,
}

/// A layer of a porous build.
#[derive(Debug, Serialize)]
struct Layer {
    kind: &'static str,
    thickness_m: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    flow_resistivity: Option<f64>,
}

impl MaterialsDocument {
    /// The document of a list.
    pub(crate) fn new(materials: Vec<Row>) -> Self {
        Self { schema: SCHEMA, bands_hz: NOMINAL_HZ, materials }
    }
}

/// Materials the scene defines itself, in its order.
pub(crate) fn own(scene: &Scene) -> Vec<Row> {
    let foreign = |m: &&Material| catalogue::find(&m.name).as_ref() != Some(m);
    let row = |m: &Material| Row {
        build: in_words(layers_of(m), scene.units()),
        ..Row::new(m, scene.air(), "scene", [false; 8], m.source.clone(), "")
    };
    scene.materials().iter().filter(foreign).map(row).collect()
}

/// The whole catalogue, computed in this air.
pub(crate) fn built_in(air: &Air) -> Vec<Row> {
    let row = |entry: &Entry| {
        Row::new(
            &entry.material(),
            air,
            entry.provenance.word(),
            entry.filled,
            entry.source.to_owned(),
            entry.note,
        )
    };
    catalogue::entries().iter().map(row).collect()
}

impl Row {
    fn new(
        material: &Material,
        air: &Air,
        provenance: &'static str,
        filled: PerBand<bool>,
        source: String,
        note: &'static str,
    ) -> Self {
        Self {
            name: material.name.clone(),
            absorption: material.random_incidence(air).map(round::ratio),
            absorption_normal: material.normal_incidence(air).map(round::ratio),
            scattering: material.scattering.map(round::ratio),
            source,
            provenance,
            filled,
            note,
            layers: layers_of(material).iter().map(Layer::new).collect(),
            build: String::new(),
        }
    }
}

impl Layer {
    fn new(layer: &AbsorberLayer) -> Self {
        let thickness_m = layer.thickness_m();
        match *layer {
            AbsorberLayer::Porous { flow_resistivity, .. } => {
                Self { kind: "porous", thickness_m, flow_resistivity: Some(flow_resistivity) }
            }
            AbsorberLayer::Air { .. } => Self { kind: "air", thickness_m, flow_resistivity: None },
        }
    }
}

fn layers_of(material: &Material) -> &[AbsorberLayer] {
    if let SurfaceModel::Porous(build) = &material.surface_model { build.layers() } else { &[] }
}

/// `from the room side: 50 mm porous (8000 Pa·s/m²), 50 mm air`; empty without layers.
fn in_words(layers: &[AbsorberLayer], units: Units) -> String {
    let word = |layer: &AbsorberLayer| {
        let thickness = format_length(layer.thickness_m(), units);
        match *layer {
            AbsorberLayer::Porous { flow_resistivity, .. } => {
                format!("{thickness} porous ({flow_resistivity} Pa·s/m²)")
            }
            AbsorberLayer::Air { .. } => format!("{thickness} air"),
        }
    };
    match layers {
        [] => String::new(),
        _ => format!(
            "from the room side: {}",
            layers.iter().map(word).collect::<Vec<_>>().join(", ")
        ),
    }
}
