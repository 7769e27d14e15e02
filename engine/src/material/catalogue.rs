//! STAND-IN for the catalogue, a few rows to develop against; the real one replaces this file.

use super::{Build, Material};
use crate::bands::PerBand;

const ROWS: &[(&str, PerBand<f64>)] = &[
    ("painted brick", [0.01, 0.01, 0.01, 0.02, 0.02, 0.02, 0.03, 0.03]),
    ("gypsum board on studs", [0.29, 0.29, 0.10, 0.05, 0.04, 0.07, 0.09, 0.09]),
    ("wood floor on joists", [0.15, 0.15, 0.11, 0.10, 0.07, 0.06, 0.07, 0.07]),
    ("wood, solid", [0.10, 0.10, 0.07, 0.05, 0.04, 0.04, 0.04, 0.04]),
];

/// The material of this name.
pub fn find(name: &str) -> Option<Material> {
    ROWS.iter().find(|row| row.0 == name).map(|&(name, absorption)| Material {
        name: name.to_owned(),
        build: Build::Absorption(absorption),
        scattering: [0.0; 8],
        source: "stand-in".to_owned(),
    })
}

/// All names.
pub fn names() -> impl Iterator<Item = &'static str> {
    ROWS.iter().map(|row| row.0)
}
