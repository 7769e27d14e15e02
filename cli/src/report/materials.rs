//! The materials document, `earline.materials/1`.

use super::round;
use earline_engine::air::Air;
use earline_engine::bands::{NOMINAL_HZ, PerBand};
use earline_engine::material::Material;
use earline_engine::material::catalogue::{self, Entry};
use earline_engine::scene::Scene;
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
    let row = |m: &Material| Row::new(m, scene.air(), "scene", [false; 8], m.source.clone(), "");
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
        }
    }
}
