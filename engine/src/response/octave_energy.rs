//! Energy of a response in one octave, over time.

use super::filters::{RING_S, measuring_octave_filter};
use super::impulse::{ImpulseResponse, SAMPLE_RATE_HZ, samples};
use super::spectrum::Spectrum;

/// The envelope is smoothed over a few samples, far less than an octave rings, seconds.
const SMOOTHING_S: f64 = 1e-4;

/// Energy of a response in an octave band in even bins from a time on, that before it in the first bin, relative
/// to a sound of level one at every frequency: as a measured response is evaluated (ISO 3382-1, from memory), with
/// the filter of a measurement, without its phase.
pub fn octave_energy(
    response: &ImpulseResponse,
    band: usize,
    from_s: f64,
    bin_s: f64,
    bins: usize,
) -> Vec<f64> {
    let duration_s = from_s + bin_s * bins as f64;
    let spectrum = Spectrum::of(response, duration_s + 2.0 * RING_S);
    let filter = |hz: f64| measuring_octave_filter(band, hz);
    let envelope = spectrum.envelope_energy(filter, SMOOTHING_S);
    let unit = ImpulseResponse { samples: vec![1.0] };
    let unit = Spectrum::of(&unit, duration_s + 2.0 * RING_S);
    let reference: f64 = unit.envelope_energy(filter, SMOOTHING_S).iter().sum();
    let mut energy = vec![0.0; bins];
    let ring = envelope.len();
    // What rings before emission stands at the end of the ring.
    let before = samples(RING_S).min(ring);
    let early = envelope[ring - before..].iter().sum::<f64>();
    if let Some(first) = energy.first_mut() {
        *first += early / reference;
    }
    for (sample, value) in envelope[..ring - before].iter().enumerate() {
        let bin = ((sample as f64 / SAMPLE_RATE_HZ - from_s) / bin_s).max(0.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative, and a response lasts seconds"
        )]
        if let Some(sum) = energy.get_mut(bin as usize) {
            *sum += value / reference;
        }
    }
    energy
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A click of half the pressure has a quarter of the energy in every octave, in the bin that it falls in or
    /// within the ringing of the filter about it.
    #[test]
    fn a_click_has_its_own_energy() {
        let mut samples = vec![0.0; 48_000];
        samples[9_600] = 0.5;
        let response = ImpulseResponse { samples };
        for band in 0..8 {
            let energy = octave_energy(&response, band, 0.1, 0.01, 60);
            let all: f64 = energy.iter().sum();
            assert!((all - 0.25).abs() < 1e-6, "{band}: {all}");
            let about: f64 = energy[5..15].iter().sum();
            assert!(about > 0.99 * all, "{band}: {about}");
        }
    }
}
