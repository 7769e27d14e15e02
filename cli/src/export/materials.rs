//! The materials document, `earline.materials/1`.

use super::round::{Ratio, ratio};
use earline_engine::medium::air::Air;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::medium::materials::catalogue::{self, Entry};
use earline_engine::medium::materials::{Build, BuildLayer, Material};
use earline_engine::scene::{Scene, Units, show_length};
use schemars::JsonSchema;
use serde::Serialize;

/// Materials of a scene and of the catalogue.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct MaterialsDocument {
    /// Name and version of the document.
    schema: &'static str,
    /// Octave bands of every list of eight.
    bands_hz: PerBand<f64>,
    materials: Vec<MaterialRow>,
}

/// A material as machines and the terminal list it.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct MaterialRow {
    /// Its name.
    pub(crate) name: String,
    /// Random-incidence absorption coefficient per band.
    pub(crate) absorption: PerBand<Ratio>,
    /// Absorption coefficient per band at normal incidence.
    absorption_normal: PerBand<Ratio>,
    /// Scattering coefficient per band.
    scattering: PerBand<Ratio>,
    /// Source of the figures.
    pub(crate) source: String,
    /// Standing of the source.
    #[schemars(extend("enum" = ["read", "memory", "computed", "definition", "scene"]))]
    pub(crate) provenance: &'static str,
    /// Bands that repeat their neighbour because the source has none.
    pub(crate) filled: PerBand<bool>,
    /// Anything a careful user should know.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub(crate) note: &'static str,
    /// Layers of a porous build, from the room side to the wall.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    layers: Vec<LayerRow>,
    /// The layers in words, for a build of the scene's own.
    #[serde(skip)]
    pub(crate) build: String,
}

#[derive(Debug, Serialize, JsonSchema)]
struct LayerRow {
    #[schemars(extend("enum" = ["porous", "air"]))]
    kind: &'static str,
    thickness_m: f64,
    /// Airflow resistivity of a porous layer, Pa·s/m².
    #[serde(skip_serializing_if = "Option::is_none")]
    flow_resistivity: Option<f64>,
}
impl MaterialsDocument {
    /// The document of a list.
    pub(crate) fn new(materials: Vec<MaterialRow>) -> Self {
        Self { schema: "earline.materials/1", bands_hz: NOMINAL_HZ, materials }
    }
}

/// Materials the scene defines itself, in its order.
pub(crate) fn own(scene: &Scene) -> Vec<MaterialRow> {
    let foreign = |m: &&Material| catalogue::find(&m.name).as_ref() != Some(m);
    let row = |m: &Material| MaterialRow {
        build: in_words(layers_of(m), scene.units()),
        ..MaterialRow::new(m, scene.air(), "scene", [false; 8], m.source.clone(), "")
    };
    scene.materials().iter().filter(foreign).map(row).collect()
}

/// The whole catalogue, computed in this air.
pub(crate) fn built_in(air: &Air) -> Vec<MaterialRow> {
    let row = |entry: &Entry| {
        MaterialRow::new(
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

impl MaterialRow {
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
            absorption: material.random_incidence(air).map(ratio),
            absorption_normal: material.normal_incidence(air).map(ratio),
            scattering: material.scattering.map(ratio),
            source,
            provenance,
            filled,
            note,
            layers: layers_of(material).iter().map(LayerRow::new).collect(),
            build: String::new(),
        }
    }
}

impl LayerRow {
    fn new(layer: &BuildLayer) -> Self {
        let thickness_m = layer.thickness_m();
        match *layer {
            BuildLayer::Porous { flow_resistivity, .. } => {
                Self { kind: "porous", thickness_m, flow_resistivity: Some(flow_resistivity) }
            }
            BuildLayer::Air { .. } => Self { kind: "air", thickness_m, flow_resistivity: None },
        }
    }
}

fn layers_of(material: &Material) -> &[BuildLayer] {
    if let Build::Porous(build) = &material.build { build.layers() } else { &[] }
}

/// `from the room side: 50 mm porous (8000 Pa·s/m²), 50 mm air`; empty without layers.
fn in_words(layers: &[BuildLayer], units: Units) -> String {
    let word = |layer: &BuildLayer| {
        let thickness = show_length(layer.thickness_m(), units);
        match *layer {
            BuildLayer::Porous { flow_resistivity, .. } => {
                format!("{thickness} porous ({flow_resistivity} Pa·s/m²)")
            }
            BuildLayer::Air { .. } => format!("{thickness} air"),
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
