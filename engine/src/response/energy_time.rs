//! The energy-time curve, processed as a measured one, so that the two can be laid over each other.

use super::early::{EarlyResponse, EtcArrival, ReferenceLevel};
use super::filters::{RING_S, curve_filter, octave_filter, smoothing_s};
use super::impulse::{ImpulseResponse, SAMPLE_RATE_HZ};
use super::late::LateEnergy;
use super::spectrum::Spectrum;
use crate::medium::bands::{PerBand, energy_db};

/// Energy against time at a seat, 0 dB at the peak of the unobstructed direct sound.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyTime {
    /// Time of the first value after emission, seconds.
    pub start_s: f64,
    /// Time between values, seconds.
    pub step_s: f64,
    /// Level over 1–8 kHz in decibels, not below [`FLOOR_DB`].
    pub level_db: Vec<f64>,
    /// The same without chance: the images, and the mean over all draws of the noise that stands for the rest.
    /// Mirrored speakers in a mirrored room have this alike, but for the error of the rays.
    pub expected_db: Vec<f64>,
    /// Level in each octave band in decibels, not below [`FLOOR_DB`].
    pub band_level_db: PerBand<Vec<f64>>,
    /// Every single arrival at its own time with its own level.
    pub arrivals: Vec<EtcArrival>,
    /// Nothing is missing from the curve up to this time after emission, seconds, and there it ends.
    pub complete_s: f64,
    /// Standard error of the energy behind the curve; `None` where every part of it is a single
    /// arrival.
    pub error: Option<CurveError>,
}

/// Standard error of the energy behind a curve, as rays leave it. The curve itself swings more: it
/// is that of one draw of noise, as a measured one is that of one room.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveError {
    /// Time of the middle of the first step after emission, seconds.
    pub start_s: f64,
    /// Time between values, seconds.
    pub step_s: f64,
    /// Over 1–8 kHz, decibels; `None` in steps where nothing arrives.
    pub level_db: Vec<Option<f64>>,
    /// In each octave band, decibels.
    pub band_level_db: PerBand<Vec<Option<f64>>>,
}

/// Levels of a curve are not followed below this, decibels.
pub const FLOOR_DB: f64 = -120.0;

/// Time between the values of a curve, seconds.
const STEP_S: f64 = 1e-4;

impl EnergyTime {
    /// The curve of a response up to `complete_s` after emission, with the sticks of its arrivals.
    pub fn new(response: &ImpulseResponse, early: &EarlyResponse, complete_s: f64) -> Self {
        // A ring is a circle: what rings before emission must not meet what rings after the end.
        let spectrum = Spectrum::of(response, complete_s + 2.0 * RING_S);
        let level = |filter: &dyn Fn(f64) -> f64, smoothing_s: f64, peak: f64| {
            sampled_db(&spectrum.envelope_energy(filter, smoothing_s), peak, complete_s)
        };
        let ReferenceLevel { peak, band_peak } = early.reference;
        let level_db = level(&curve_filter, smoothing_s(None), peak);
        Self {
            start_s: 0.0,
            step_s: STEP_S,
            expected_db: level_db.clone(),
            level_db,
            band_level_db: std::array::from_fn(|band| {
                let filter = |hz: f64| octave_filter(band, hz);
                level(&filter, smoothing_s(Some(band)), band_peak[band])
            }),
            arrivals: early.arrivals.clone(),
            complete_s,
            error: None,
        }
    }

    /// The curve with what is expected of images and late energy together, in place of one draw.
    #[must_use]
    pub fn expecting(self, early: &EarlyResponse, late: &LateEnergy) -> Self {
        let spectrum = Spectrum::of(&early.response, self.complete_s + 2.0 * RING_S);
        let images = spectrum.envelope_energy(curve_filter, smoothing_s(None));
        let late = late.mean_envelope_energy(curve_filter, self.step_s, self.level_db.len());
        let peak = early.reference.peak;
        let energy =
            sampled(&images, self.complete_s).zip(late).map(|(images, late)| images + late);
        Self { expected_db: energy.map(|energy| level_db(energy / peak)).collect(), ..self }
    }

    /// Duration of the response behind a curve, seconds: a little longer than the curve.
    pub fn response_s(complete_s: f64) -> f64 {
        complete_s + RING_S
    }
}

/// Reads a 48 kHz energy at every step, in decibels over `peak`.
fn sampled_db(energy: &[f64], peak: f64, complete_s: f64) -> Vec<f64> {
    sampled(energy, complete_s).map(|here| level_db(here / peak)).collect()
}

fn level_db(energy: f64) -> f64 {
    energy_db(energy).max(FLOOR_DB)
}

/// Reads a 48 kHz energy at every step.
fn sampled(energy: &[f64], complete_s: f64) -> impl Iterator<Item = f64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "positive and short"
    )]
    let values = (complete_s / STEP_S).floor() as usize + 1;
    (0..values).map(|i| {
        let at = i as f64 * STEP_S * SAMPLE_RATE_HZ;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "positive and short"
        )]
        let below = at.floor() as usize;
        let share = at - below as f64;
        energy[below] * (1.0 - share) + energy[below + 1] * share
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::medium::bands::BAND_COUNT;
    use crate::response::NoiseSeed;

    /// The mean over draws and time of the noise's own envelope is what is expected of it: 0.45 s of 7 kHz in
    /// 40 draws are some 10^5 independent values, so a hundredth is three standard errors.
    #[test]
    fn what_is_expected_is_the_mean_of_many_draws() {
        let mut bin = [1.0; BAND_COUNT];
        (bin[5], bin[7]) = (4.0, 0.5);
        let late = LateEnergy { start_s: 0.0, bin_s: 1e-3, bins: vec![bin; 600] };
        let count = 4000;
        let expected: f64 =
            late.mean_envelope_energy(curve_filter, STEP_S, count).iter().skip(1000).sum();
        let drawn = |number: u64| -> f64 {
            let noise = late.noise(0.6, NoiseSeed { seed: 1, number });
            let spectrum = Spectrum::of(&noise, 0.7);
            let energy = spectrum.envelope_energy(curve_filter, smoothing_s(None));
            sampled(&energy, 0.45).take(count).skip(1000).sum()
        };
        let mean = (0..40).map(drawn).sum::<f64>() / 40.0;
        assert!((mean / expected - 1.0).abs() < 0.01, "{mean} {expected}");
    }
}
