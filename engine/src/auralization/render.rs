//! Rendering of recordings at a listener.

use super::Stereo;
use super::convolve::convolve;
use super::impulse_responses::ImpulseResponseSet;
use crate::scene::{ListenerId, SpeakerId};

/// A dry signal and the speaker that plays it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceSignal<'a> {
    /// The speaker.
    pub speaker: SpeakerId,
    /// Its samples at 48 kHz.
    pub dry: &'a [f64],
}

impl ImpulseResponseSet {
    /// Binaural signal at a listener. Signals whose speakers were not traced to that listener are
    /// silent.
    pub fn render(&self, listener: ListenerId, signals: &[SourceSignal<'_>]) -> Stereo {
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
