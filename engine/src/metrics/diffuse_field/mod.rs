//! Diffuse-field estimates: reverberation formulas, mean free path, Schroeder frequency, critical
//! distance.
//!
//! Most of them assume sound that travels evenly in every direction, which a small treated room hardly
//! has: a rough guide beside the traced reflections. [`formula_deviation()`] gives the likely causes
//! where a traced decay deviates from a formula.

mod absorbing_area;
mod deviation;
mod enclosed_air;
mod formula;

pub use absorbing_area::AbsorbingArea;
pub use deviation::{DeviationCause, FORMULA_UNCERTAINTY, FormulaDeviation, formula_deviation};
pub use enclosed_air::EnclosedAir;
pub use formula::{Formula, PATH_VARIANCE};

use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::metrics::criteria::MEAN_BANDS;
use absorbing_area::BandAbsorption;
use formula::kv_m2_s;

/// Diffuse-field estimates of a room.
#[derive(Debug, Clone, PartialEq)]
pub struct DiffuseField {
    /// Reverberation time after Sabine (1900) with air, seconds; `None` where nothing absorbs.
    pub sabine_s: PerBand<Option<f64>>,
    /// Reverberation time after Norris and Eyring (1930) with air, seconds; `None` where
    /// nothing absorbs.
    pub eyring_s: PerBand<Option<f64>>,
    /// Reverberation time after Millington and Sette (1932/33) with air, seconds; `None` where
    /// nothing absorbs.
    pub millington_s: PerBand<Option<f64>>,
    /// Reverberation time after Fitzroy (1959) with air, seconds; `None` where a pair of surfaces
    /// absorbs nothing and no air does.
    pub fitzroy_s: PerBand<Option<f64>>,
    /// Reverberation time after Arau-Puchades (1988) with air, seconds; `None` where a pair of
    /// surfaces absorbs nothing and no air does.
    pub arau_puchades_s: PerBand<Option<f64>>,
    /// Reverberation time after Kuttruff with air and a path variance of [`PATH_VARIANCE`],
    /// seconds; `None` where nothing absorbs or the mean absorption is beyond his correction.
    pub kuttruff_s: PerBand<Option<f64>>,
    /// Critical distance with the Eyring time, metres: where direct and reverberant energy of a
    /// source alike in all directions are equal; `None` where that time is missing or zero.
    pub critical_distance_m: PerBand<Option<f64>>,
    /// Equivalent absorption area Σ S·α of the room, square metres.
    pub absorption_area_m2: PerBand<f64>,
    /// Absorption area 4mV of the air, square metres.
    pub air_absorption_area_m2: PerBand<f64>,
    /// Mean free path 4V/S, metres, of the air and all areas.
    pub mean_free_path_m: f64,
    /// Schroeder frequency 2000·√(T/V) (Schroeder 1996), hertz, with T the mean of the Eyring
    /// times at 125 and 250 Hz, the bands it falls in for rooms of this kind; `None` where one of
    /// the two is missing.
    pub schroeder_hz: Option<f64>,
}

/// Diffuse-field estimates of a room with this air and these absorbing areas; see [`Formula`] for the forms.
pub fn diffuse_field(air: &EnclosedAir, absorbers: &[AbsorbingArea]) -> DiffuseField {
    let EnclosedAir { volume_m3: volume, speed_of_sound_m_s, .. } = *air;
    let kv_m2_s = kv_m2_s(air);
    let absorption: PerBand<BandAbsorption> =
        std::array::from_fn(|band| BandAbsorption::new(air, absorbers, band));
    let times = |formula: Formula| absorption.map(|band| formula.time_s(&band, kv_m2_s));
    let eyring_s = times(Formula::Eyring);
    let schroeder_hz = match (eyring_s[1], eyring_s[2]) {
        (Some(at_125), Some(at_250)) => {
            Some(schroeder_frequency_hz(f64::midpoint(at_125, at_250), volume))
        }
        _ => None,
    };
    let critical = |time: f64| Some(critical_distance_m(time, volume, speed_of_sound_m_s));
    DiffuseField {
        sabine_s: times(Formula::Sabine),
        eyring_s,
        millington_s: times(Formula::Millington),
        fitzroy_s: times(Formula::Fitzroy),
        arau_puchades_s: times(Formula::ArauPuchades),
        kuttruff_s: times(Formula::Kuttruff),
        critical_distance_m: eyring_s.map(|time| time.and_then(critical).filter(|m| m.is_finite())),
        absorption_area_m2: absorption.map(|band| band.absorbed_m2),
        air_absorption_area_m2: absorption.map(|band| band.air_m2),
        mean_free_path_m: mean_free_path_m(volume, absorbers.iter().map(|one| one.area_m2).sum()),
        schroeder_hz,
    }
}

impl DiffuseField {
    /// Absorption area that is missing for a mean reverberation time over 250 Hz to 4 kHz in seconds, square
    /// metres: by Sabine's formula (1900) what it takes, less what surfaces and air have on average there.
    pub fn missing_absorption_m2(&self, air: &EnclosedAir, wanted_s: f64) -> f64 {
        let bands = MEAN_BANDS.len() as f64;
        let present_m2: f64 = MEAN_BANDS
            .map(|band| self.absorption_area_m2[band] + self.air_absorption_area_m2[band])
            .sum();
        kv_m2_s(air) / wanted_s - present_m2 / bands
    }

    /// Reverberation times of one formula, seconds.
    pub fn times_s(&self, formula: Formula) -> &[Option<f64>; BAND_COUNT] {
        match formula {
            Formula::Sabine => &self.sabine_s,
            Formula::Eyring => &self.eyring_s,
            Formula::Millington => &self.millington_s,
            Formula::Fitzroy => &self.fitzroy_s,
            Formula::ArauPuchades => &self.arau_puchades_s,
            Formula::Kuttruff => &self.kuttruff_s,
        }
    }
}

/// Mean free path 4V/S in metres, exact for a diffuse field; of volume in cubic and surface in square metres.
pub fn mean_free_path_m(volume_m3: f64, surface_m2: f64) -> f64 {
    4.0 * volume_m3 / surface_m2
}

/// Schroeder frequency 2000·√(T/V) in hertz, T in seconds and V in cubic metres: three modes
/// within a mode's own width (Schroeder 1996).
pub fn schroeder_frequency_hz(reverberation_s: f64, volume_m3: f64) -> f64 {
    2000.0 * (reverberation_s / volume_m3).sqrt()
}

/// Critical distance √(ln 10⁶·V/(4π·c·T)) in metres, for a source alike in all directions
/// (Schroeder 1996, equations 8a and 8b, read): there direct and reverberant energy are equal. A
/// source of directivity factor Q has it √Q times as far on its axis.
pub fn critical_distance_m(reverberation_s: f64, volume_m3: f64, speed_of_sound_m_s: f64) -> f64 {
    let nepers = 6.0 * std::f64::consts::LN_10;
    (nepers * volume_m3 / (4.0 * std::f64::consts::PI * speed_of_sound_m_s * reverberation_s))
        .sqrt()
}
