//! Decay below the crossover, evaluated as a measured one would be: from the response in which the wave field
//! is joined to images and rays.

use super::late::{EvaluatedBand, metric_inputs, whole};
use super::result::{PairDecay, PairSimulation, Simulation};
use crate::medium::bands::{BAND_COUNT, edges_hz};
use crate::medium::directivity::Directivity;
use crate::metrics::decay::MetricInputs;
use crate::response::{LowFrequencyResponse, NoiseSeed, octave_energy};
use crate::scene::Scene;
use rayon::prelude::*;

/// Channels of noise that stand for the late sound of rays, where a band holds some of it: independent draws,
/// the first that of the energy-time curve.
const DRAWS: [u8; 4] = [0, 5, 6, 7];

/// Number of octaves, from the lowest on, that lie below a crossover in hertz, at least in part.
pub(super) fn bands_below(crossover_hz: f64) -> usize {
    (0..BAND_COUNT).take_while(|&band| edges_hz(band)[0] < crossover_hz).count()
}

/// Puts the decay of the joined response in place of the rays' in every band below the crossover. `low` is the
/// wave field of the pairs in their order, and `seed` that of the rays.
pub(super) fn join(
    scene: &Scene,
    simulation: &mut Simulation,
    low: &LowFrequencyResponse,
    seed: u64,
) {
    let speed_m_s = simulation.speed_of_sound_m_s;
    let Simulation { pairs, decay: Some(decay), .. } = simulation else { return };
    let bands = bands_below(low.crossover_hz);
    decay.pairs.par_iter_mut().zip(&*pairs).enumerate().for_each(|(place, (decay, pair))| {
        let direct_s = pair.direct.distance_m / speed_m_s;
        let joined = JoinedResponse { low, place, pair, seed, direct_s };
        let omnidirectional = scene[pair.speaker].directivity == Directivity::Omni;
        for (band, draws) in joined.energy(decay, bands).iter().enumerate() {
            replace(decay, band, draws, &metric_inputs(pair, band, omnidirectional));
        }
        decay.joined_bands = bands;
    });
}

/// The response of one pair, wave field and geometrical acoustics as one.
struct JoinedResponse<'a> {
    low: &'a LowFrequencyResponse,
    place: usize,
    pair: &'a PairSimulation,
    seed: u64,
    direct_s: f64,
}

impl JoinedResponse<'_> {
    /// Energy of the lowest so many bands from the direct sound on: once, where all of a band is the wave field's, or
    /// for each draw of the noise.
    fn energy(&self, decay: &PairDecay, bands: usize) -> Vec<Vec<Vec<f64>>> {
        let Some(response) = &self.pair.response else { return Vec::new() };
        let alone_hz = self.low.wave_field_alone_hz();
        let duration_s = self.low.duration_s();
        let bins = whole((duration_s - self.direct_s).max(0.0) / decay.bin_s);
        let mut energy = vec![Vec::new(); bands];
        for (draw, &channel) in DRAWS.iter().enumerate() {
            let draws_on = |band: usize| draw == 0 || alone_hz < edges_hz(band)[1];
            if !(0..bands).any(draws_on) {
                break;
            }
            let pair = (decay.speaker, decay.listener);
            let noise = NoiseSeed::of_pair(self.seed, pair, channel);
            let whole = response.early.with_late(&decay.late, duration_s, noise);
            let whole = self.low.splice(self.place, &whole);
            for (band, energy) in energy.iter_mut().enumerate().filter(|(band, _)| draws_on(*band))
            {
                energy.push(octave_energy(&whole, band, self.direct_s, decay.bin_s, bins));
            }
        }
        energy
    }
}

/// Metrics and curve of a band from its energy, with the error that several draws of it tell; a single one has
/// nothing random.
fn replace(decay: &mut PairDecay, band: usize, draws: &[Vec<f64>], inputs: &MetricInputs) {
    let batches: Vec<&[f64]> = draws.iter().map(Vec::as_slice).collect();
    let (deterministic, batches) = match &batches[..] {
        [] => return,
        [only] => (*only, &[][..]),
        several => (&[][..], several),
    };
    let evaluated = EvaluatedBand::new(decay.bin_s, deterministic, batches, inputs);
    decay.metrics[band] = evaluated.metrics;
    decay.curve_db[band] = evaluated.curve_db;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn octaves_lie_below_a_crossover_from_their_lower_edge_on() {
        // IEC 61260: the octaves of 63, 125 and 250 Hz begin at 44.7, 89.1 and 177.8 Hz.
        assert_eq!([44.0, 45.0, 89.2, 177.0, 178.0].map(bands_below), [0, 1, 2, 2, 3]);
    }
}
