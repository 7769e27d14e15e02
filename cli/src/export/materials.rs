//! The materials document, `earline.materials/1`.

use super::round::{Ratio, ratio};
use crate::content::material_list::{ListedMaterial, layers};
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::medium::materials::AbsorberLayer;
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

#[derive(Debug, Serialize, JsonSchema)]
struct MaterialRow {
    name: String,
    /// Random-incidence absorption coefficient per band.
    absorption: PerBand<Ratio>,
    /// Absorption coefficient per band at normal incidence.
    absorption_normal: PerBand<Ratio>,
    /// Scattering coefficient per band.
    scattering: PerBand<Ratio>,
    /// Source of the figures.
    source: String,
    /// Standing of the source.
    #[schemars(extend("enum" = ["read", "memory", "estimate", "computed", "definition", "scene"]))]
    provenance: &'static str,
    /// Bands that repeat their neighbour because the source has none.
    filled: PerBand<bool>,
    /// Anything a careful user should know; absent where there is nothing.
    #[serde(skip_serializing_if = "str::is_empty")]
    note: &'static str,
    /// Layers of a porous build, from the room side to the wall; absent for any other.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    layers: Vec<LayerRow>,
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
    pub(crate) fn new<'a>(materials: impl IntoIterator<Item = &'a ListedMaterial>) -> Self {
        Self {
            schema: "earline.materials/1",
            bands_hz: NOMINAL_HZ,
            materials: materials.into_iter().map(MaterialRow::new).collect(),
        }
    }
}

impl MaterialRow {
    fn new(listed: &ListedMaterial) -> Self {
        let layer = |layer: &AbsorberLayer| {
            let (kind, flow_resistivity) = match *layer {
                AbsorberLayer::Porous { flow_resistivity, .. } => {
                    ("porous", Some(flow_resistivity))
                }
                AbsorberLayer::Air { .. } => ("air", None),
            };
            LayerRow { kind, thickness_m: layer.thickness_m(), flow_resistivity }
        };
        Self {
            name: listed.material.name.clone(),
            absorption: listed.absorption.map(ratio),
            absorption_normal: listed.absorption_normal.map(ratio),
            scattering: listed.material.scattering.map(ratio),
            source: listed.source.clone(),
            provenance: listed.provenance,
            filled: listed.filled,
            note: listed.note,
            layers: layers(&listed.material).iter().map(layer).collect(),
        }
    }
}
