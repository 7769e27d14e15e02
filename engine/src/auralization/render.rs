//! A recording heard at a listener.

use super::Stereo;
use super::convolve::convolve;
use super::impulse_responses::ImpulseResponseSet;

/// Something to play: by which speaker, by its index in the scene, and the samples at 48 kHz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceSignal<'a> {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// What it plays.
    pub dry: &'a [f64],
}

impl ImpulseResponseSet {
    /// What a listener, by its index in the scene, hears of voices at both ears. Voices whose speakers
    /// were not traced to that listener are silent.
    pub fn render(&self, listener: usize, signals: &[SourceSignal<'_>]) -> Stereo {
        let mut heard: Stereo = [Vec::new(), Vec::new()];
        for signal in signals {
            let of_signal = |pair: &&super::PairResponses| {
                pair.speaker == signal.speaker && pair.listener == listener
            };
            let Some(pair) = self.pairs.iter().find(of_signal) else { continue };
            let ears = pair.ears.each_ref().map(|ear| ear.samples.as_slice());
            for (sum, ear) in heard.iter_mut().zip(convolve(signal.dry, ears)) {
                if sum.len() < ear.len() {
                    sum.resize(ear.len(), 0.0);
                }
                for (sum, sample) in sum.iter_mut().zip(ear) {
                    *sum += sample;
                }
            }
        }
        heard
    }
}
