//! The built-in catalogue: building surfaces, furniture and treatments of mixing rooms.
//!
//! Rows with absorption coefficients are reverberation-room figures from published tables. Labs
//! differ by 0.05 and often by 0.1 on the same material, so read them as a starting point.
//! Published tables run from 125 Hz to 4 kHz; 63 Hz and 8 kHz repeat the neighbouring band, which
//! is common practice, and are marked as filled. No published table of scattering coefficients
//! could be opened: the scattering here is a modest estimate from memory, for every row.

mod everyday;
mod table;

pub use everyday::everyday;

use super::{Material, PorousAbsorber, SurfaceModel};
use crate::medium::air::Air;
use crate::medium::bands::PerBand;

/// One row of the catalogue.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The name scenes use: lower case, unique.
    pub name: &'static str,
    /// Absorption coefficients, or a porous build whose absorption is computed.
    pub surface_model: SurfaceModel,
    /// Bands that repeat their neighbour because the source has no figure for them.
    pub filled: PerBand<bool>,
    /// Scattering coefficient per band: an estimate, in every row.
    pub scattering: PerBand<f64>,
    /// The published table, or what the row was computed from.
    pub source: &'static str,
    /// Quality of the source.
    pub provenance: Provenance,
    /// A caveat for users; empty for most rows.
    pub note: &'static str,
}

/// Quality of the source of a catalogue row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Provenance {
    /// The published table was opened and read.
    Read,
    /// From memory of the named source, which was not opened.
    Memory,
    /// Estimated, for want of any source.
    Estimate,
    /// Computed from the physics of the build.
    Computed,
    /// True by definition.
    Definition,
}

impl Provenance {
    /// One word for lists.
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Memory => "memory",
            Self::Estimate => "estimate",
            Self::Computed => "computed",
            Self::Definition => "definition",
        }
    }
}

/// All rows: surfaces of a building, cloth, furniture, treatments.
pub fn entries() -> &'static [Entry] {
    &table::ENTRIES
}

/// All names, in the catalogue's order.
pub fn names() -> impl Iterator<Item = &'static str> {
    entries().iter().map(|entry| entry.name)
}

/// The material of that name, spelled exactly as the catalogue has it.
pub fn find(name: &str) -> Option<Material> {
    entries().iter().find(|entry| entry.name == name).map(Entry::material)
}

impl Entry {
    /// The row as a material of a scene.
    pub fn material(&self) -> Material {
        Material {
            name: self.name.to_owned(),
            surface_model: self.surface_model.clone(),
            scattering: self.scattering,
            source: format!("{} ({})", self.source, self.provenance.word()),
        }
    }

    /// Random-incidence absorption coefficient per band.
    pub fn absorption(&self, air: &Air) -> PerBand<f64> {
        self.material().random_incidence(air)
    }

    /// A row from a published table, 125 Hz to 4 kHz.
    const fn published(
        name: &'static str,
        alpha: [f64; 6],
        source: Citation,
        scattering: f64,
    ) -> Self {
        let [a, b, c, d, e, f] = alpha;
        Self {
            name,
            surface_model: SurfaceModel::Absorption([a, a, b, c, d, e, f, f]),
            filled: [true, false, false, false, false, false, false, true],
            scattering: scattering_spectrum(scattering),
            source: source.0,
            provenance: source.1,
            note: "",
        }
    }

    /// The row of something with its figures divided by the faces of the box that it is in a scene,
    /// counted in what the figures are printed for: floor areas, or square metres for one person.
    const fn spread(mut self, faces: f64) -> Self {
        if let SurfaceModel::Absorption(absorption) = &mut self.surface_model {
            let mut band = 0;
            while band < 8 {
                absorption[band] /= faces;
                band += 1;
            }
        }
        self
    }

    /// The row with a published figure for 8 kHz as well.
    const fn and_8k(mut self, alpha: f64) -> Self {
        if let SurfaceModel::Absorption(absorption) = &mut self.surface_model {
            absorption[7] = alpha;
        }
        self.filled[7] = false;
        self
    }

    /// The row with a note.
    const fn noted(mut self, note: &'static str) -> Self {
        self.note = note;
        self
    }

    /// A row computed from a porous build: millimetres and Pa·s/m².
    const fn porous(
        name: &'static str,
        thickness_mm: f64,
        flow_resistivity: f64,
        gap_mm: f64,
    ) -> Self {
        Self {
            name,
            surface_model: SurfaceModel::Porous(PorousAbsorber::single(
                thickness_mm / 1000.0,
                flow_resistivity,
                gap_mm / 1000.0,
            )),
            filled: [false; 8],
            scattering: scattering_spectrum(table::SOFT),
            source: "Miki's model (1990) of a porous layer before a rigid wall",
            provenance: Provenance::Computed,
            note: "the flow resistivity is typical of the kind, not of a product",
        }
    }

    /// A row that is true by definition: one coefficient in every band, and nothing scattered.
    const fn defined(name: &'static str, alpha: f64, note: &'static str) -> Self {
        Self {
            name,
            surface_model: SurfaceModel::Absorption([alpha; 8]),
            filled: [false; 8],
            scattering: [0.0; 8],
            source: "an ideal surface",
            provenance: Provenance::Definition,
            note,
        }
    }
}

/// A source in words, and its quality.
#[derive(Clone, Copy)]
struct Citation(&'static str, Provenance);

/// A scattering estimate given for the middle of the range, spread over the bands: smooth surfaces
/// the same everywhere, rough ones less where the wavelength is long and more where it is short.
const fn scattering_spectrum(middle: f64) -> PerBand<f64> {
    if middle <= table::FLAT {
        return [middle; 8];
    }
    let shape = [0.3, 0.4, 0.55, 0.8, 1.0, 1.2, 1.3, 1.4];
    let mut scattering = [0.0; 8];
    let mut band = 0;
    while band < 8 {
        scattering[band] = middle * shape[band];
        band += 1;
    }
    scattering
}
