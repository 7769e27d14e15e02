//! STAND-IN for the catalogue, a few rows to develop against; the real one replaces this file.

use super::{Build, Material};
use crate::bands::PerBand;

const ROWS: &[(&str, PerBand<f64>)] = &[
    ("concrete, painted", [0.01, 0.01, 0.01, 0.01, 0.02, 0.02, 0.02, 0.02]),
    ("concrete block, painted", [0.1, 0.1, 0.05, 0.06, 0.07, 0.09, 0.08, 0.08]),
    ("painted brick", [0.01, 0.01, 0.01, 0.02, 0.02, 0.02, 0.03, 0.03]),
    ("plaster on brick", [0.013, 0.013, 0.015, 0.02, 0.03, 0.04, 0.05, 0.05]),
    ("gypsum board on studs", [0.29, 0.29, 0.1, 0.05, 0.04, 0.07, 0.09, 0.09]),
    ("wood door, solid", [0.1, 0.1, 0.07, 0.05, 0.04, 0.04, 0.04, 0.04]),
    ("wood, solid", [0.1, 0.1, 0.07, 0.05, 0.04, 0.04, 0.04, 0.04]),
    ("glass, 6 mm window", [0.1, 0.1, 0.08, 0.04, 0.03, 0.02, 0.02, 0.02]),
    ("wood floor on joists", [0.15, 0.15, 0.11, 0.1, 0.07, 0.06, 0.07, 0.07]),
    ("carpet, heavy, on felt or foam", [0.08, 0.08, 0.24, 0.57, 0.69, 0.71, 0.73, 0.73]),
    ("carpet, thin", [0.01, 0.01, 0.05, 0.1, 0.2, 0.45, 0.65, 0.65]),
    ("curtains in folds against wall", [0.05, 0.05, 0.15, 0.35, 0.4, 0.5, 0.5, 0.5]),
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
