//! How much arrives over a course: what a trace would say of a listener at its end.

use super::specular_path::SpecularPath;
use crate::image_source::{Path, Propagation};
use crate::medium::bands::{EARLY_BANDS, PerBand, energy_db};

/// Energy per band at the end of a course, relative to the speaker's own at 1 m on axis in a free
/// field: directivity, mirror reflections, spreading and air.
pub(super) fn energy_at_end(
    ear: &Propagation<'_>,
    path: SpecularPath,
    length_m: f64,
) -> PerBand<f64> {
    // Seen from the end, the image stands straight back along the last leg.
    let end = path.end;
    let path = Path { image: end - path.way * length_m, vertices: path.vertices };
    Propagation { listener: end, ..*ear }.arrival(&path).band_energy
}

/// Level over 1–8 kHz of energy per band, decibels, for a source with equal energy in every octave.
pub fn early_level_db(band_energy: &PerBand<f64>) -> f64 {
    let bands = &band_energy[EARLY_BANDS];
    energy_db(bands.iter().sum::<f64>() / bands.len() as f64)
}
