//! One decay below the crossover: what the answer says is what a response says, evaluated as a measured one.

use crate::fixtures::{ATTIC, BEDROOM, parsed};
use earline_engine::auralization::auralize;
use earline_engine::medium::bands::exact_hz;
use earline_engine::metrics::decay::{Estimate, Metric};
use earline_engine::response::{ImpulseResponse, SAMPLE_RATE_HZ};
use earline_engine::scene::Scene;
use earline_engine::simulate::{PairDecay, RayRequest, Request, simulate};
use num_complex::Complex64;
use rustfft::FftPlanner;

/// T20 of a response in an octave, worked out here from the definitions of ISO 3382-1 (from memory): a Butterworth
/// band-pass of the sixth order with its phase, run backward in time so that its ringing does not lengthen the
/// decay, the backward integral, and a line through it from -5 to -25 dB by least squares.
fn t20_s(response: &ImpulseResponse, band: usize) -> f64 {
    let length = (2 * response.samples.len()).next_power_of_two();
    let mut line: Vec<Complex64> = response.samples.iter().map(|&s| s.into()).collect();
    line.resize(length, Complex64::ZERO);
    let mut planner = FftPlanner::new();
    planner.plan_fft_forward(length).process(&mut line);
    let middle_hz = exact_hz(band);
    let quality = 1.0 / (10f64.powf(0.15) - 10f64.powf(-0.15));
    for (bin, value) in line.iter_mut().enumerate() {
        let hz = bin.min(length - bin) as f64 * SAMPLE_RATE_HZ / length as f64;
        let p = Complex64::I * quality * (hz / middle_hz - middle_hz / hz.max(1e-9));
        let forward = 1.0 / ((p + 1.0) * (p * p + p + 1.0));
        *value *= if bin <= length / 2 { forward.conj() } else { forward };
    }
    planner.plan_fft_inverse(length).process(&mut line);
    let mut left = 0.0;
    let mut curve: Vec<f64> = line[..response.samples.len()]
        .iter()
        .rev()
        .map(|value| {
            left += value.re * value.re;
            left
        })
        .collect();
    curve.reverse();
    let all = curve[0];
    let points: Vec<(f64, f64)> = curve
        .iter()
        .enumerate()
        .map(|(sample, left)| (sample as f64 / SAMPLE_RATE_HZ, 10.0 * (left / all).log10()))
        .filter(|(_, db)| (-25.0..=-5.0).contains(db))
        .collect();
    let count = points.len() as f64;
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (time, level) = (mean(&|p| p.0), mean(&|p| p.1));
    let both = mean(&|p| (p.0 - time) * (p.1 - level));
    -60.0 * mean(&|p| (p.0 - time).powi(2)) / both
}

fn traced(scene: &Scene, variant: Option<&str>, seed: u64) -> Vec<PairDecay> {
    let state = scene.variant(variant).unwrap();
    let rays = RayRequest { seed, ..RayRequest::fixed(4096) };
    let request = Request::everything(scene).with_rays(rays);
    simulate(scene, &state, &request, &()).unwrap().decay.unwrap().pairs
}

fn t20(decay: &PairDecay, band: usize) -> Estimate {
    decay.metrics[band][Metric::T20].unwrap()
}

/// In a band that is all the wave field's the figure of the answer is that of the sound file, to 2 or 3 %, and hangs on
/// no seed. One that holds some late sound of rays is the mean over draws of noise, of which the file has one, as it
/// has in the bands above.
#[test]
fn the_answer_is_that_of_the_sound_file() {
    for (text, variant) in [(ATTIC, Some("bare")), (BEDROOM, None)] {
        let scene = parsed(text);
        let state = scene.variant(variant).unwrap();
        let request = Request::everything(&scene).with_rays(RayRequest::fixed(4096));
        let sounds = auralize(&scene, &state, &request, &()).unwrap();
        let answers = traced(&scene, variant, RayRequest::fixed(4096).seed);
        let other_seed = traced(&scene, variant, 77);
        let mut joined = 0;
        for (place, (pair, answer)) in sounds.pairs.iter().zip(&answers).enumerate() {
            for band in 0..6 {
                let Ok(said) = answer.metrics[band][Metric::T20] else { continue };
                let measured_s = t20_s(&pair.omni, band);
                let off = (measured_s / said.value - 1.0).abs();
                let name = format!("{variant:?}, pair {place}, band {band}");
                if said.standard_error == Some(0.0) {
                    // The filter here runs backward, the answer's has no phase: a mode on the edge of an octave, as
                    // the bedroom's at 45 Hz, sets them apart by up to 3 %.
                    let most = if variant.is_none() { 0.035 } else { 0.02 };
                    assert!(off < most, "{name}: {measured_s} s for {}", said.value);
                    let other_s = t20(&other_seed[place], band).value;
                    let seeds_off = (other_s / said.value - 1.0).abs();
                    assert!(seeds_off < 3e-3, "{name}: {other_s} s for {}", said.value);
                    joined += 1;
                } else {
                    // A draw of noise in an octave strays so far; more where the decay is bent.
                    assert!(off < 0.25, "{name}: {measured_s} s for {}", said.value);
                }
            }
        }
        assert!(joined >= 2, "{variant:?}: {joined}");
    }
}

/// Where all of a band is the wave field's nothing in it is random.
#[test]
fn the_wave_field_s_own_bands_are_exact() {
    let scene = parsed(ATTIC);
    for decay in traced(&scene, Some("bare"), 1) {
        assert!(decay.joined_bands >= 1);
        assert_eq!(t20(&decay, 0).standard_error, Some(0.0));
        let rays_own = t20(&decay, decay.joined_bands);
        assert!(rays_own.standard_error.is_some_and(|error| error > 0.0));
    }
}
