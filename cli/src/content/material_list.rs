//! Materials of a scene and of the catalogue, with the absorption of each in an air.

use earline_engine::medium::air::Air;
use earline_engine::medium::bands::PerBand;
use earline_engine::medium::materials::catalogue::{self, Entry};
use earline_engine::medium::materials::{AbsorberLayer, Material, SurfaceModel};
use earline_engine::scene::{Scene, Units, format_length};

/// A material of the list.
#[derive(Debug, Clone)]
pub(crate) struct ListedMaterial {
    /// The material.
    pub(crate) material: Material,
    /// Random-incidence absorption coefficient per band.
    pub(crate) absorption: PerBand<f64>,
    /// Absorption coefficient per band at normal incidence.
    pub(crate) absorption_normal: PerBand<f64>,
    /// Source of the figures.
    pub(crate) source: String,
    /// Standing of the source: a word of the catalogue, or `scene`.
    pub(crate) provenance: &'static str,
    /// Bands that repeat their neighbour because the source has none.
    pub(crate) filled: PerBand<bool>,
    /// Anything a careful user should know.
    pub(crate) note: &'static str,
    /// Layers in words, for a build of the scene's own.
    pub(crate) build: String,
}

/// Materials the scene defines itself, in its order.
pub(crate) fn of_scene(scene: &Scene) -> Vec<ListedMaterial> {
    let is_own = |m: &&Material| catalogue::find(&m.name).as_ref() != Some(m);
    let listed = |m: &Material| ListedMaterial {
        material: m.clone(),
        absorption: m.random_incidence(scene.air()),
        absorption_normal: m.normal_incidence(scene.air()),
        source: m.source.clone(),
        provenance: "scene",
        filled: [false; 8],
        note: "",
        build: in_words(layers(m), scene.units()),
    };
    scene.materials().iter().filter(is_own).map(listed).collect()
}

/// The whole catalogue, computed in this air.
pub(crate) fn of_catalogue(air: &Air) -> Vec<ListedMaterial> {
    let listed = |entry: &Entry| {
        let material = entry.material();
        ListedMaterial {
            absorption: material.random_incidence(air),
            absorption_normal: material.normal_incidence(air),
            material,
            source: entry.source.to_owned(),
            provenance: entry.provenance.word(),
            filled: entry.filled,
            note: entry.note,
            build: String::new(),
        }
    };
    catalogue::entries().iter().map(listed).collect()
}

/// Layers of a porous build, from the room side to the wall; none of any other.
pub(crate) fn layers(material: &Material) -> &[AbsorberLayer] {
    if let SurfaceModel::Porous(build) = &material.surface_model { build.layers() } else { &[] }
}

/// `from the room side: 50 mm porous (8000 Pa·s/m²), 50 mm air`; empty without layers.
fn in_words(layers: &[AbsorberLayer], units: Units) -> String {
    if layers.is_empty() {
        return String::new();
    }
    let words = layers.iter().map(|layer| {
        let thickness = format_length(layer.thickness_m(), units);
        match *layer {
            AbsorberLayer::Porous { flow_resistivity, .. } => {
                format!("{thickness} porous ({flow_resistivity} Pa·s/m²)")
            }
            AbsorberLayer::Air { .. } => format!("{thickness} air"),
        }
    });
    format!("from the room side: {}", words.collect::<Vec<_>>().join(", "))
}
