//! The impulse response: what a microphone at the seat would record of a click.

/// Sampling rate of all responses, hertz.
pub const SAMPLE_RATE_HZ: f64 = 48_000.0;

/// Pressure at a seat against time from emission on, sampled at [`SAMPLE_RATE_HZ`], relative to the
/// speaker's own at 1 m on axis. A sample of 1 alone is a sound of energy 1 in every band.
///
/// Right from about 40 Hz to 11 kHz, the octave bands; beyond them the nearest band's levels go on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ImpulseResponse {
    /// The samples.
    pub samples: Vec<f64>,
}

impl ImpulseResponse {
    /// The sum of two responses, as long as the longer one.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let (long, short) = if self.samples.len() < other.samples.len() {
            (&other.samples, &self.samples)
        } else {
            (&self.samples, &other.samples)
        };
        let mut samples = long.clone();
        for (sum, sample) in samples.iter_mut().zip(short) {
            *sum += sample;
        }
        Self { samples }
    }

    /// The response delayed by a number of samples.
    #[must_use]
    pub fn later(&self, count: usize) -> Self {
        let mut samples = vec![0.0; count];
        samples.extend_from_slice(&self.samples);
        Self { samples }
    }

    /// Duration, seconds.
    pub fn duration_s(&self) -> f64 {
        self.samples.len() as f64 / SAMPLE_RATE_HZ
    }
}

/// Samples in a time, seconds.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "positive and short")]
pub(crate) fn samples(duration_s: f64) -> usize {
    (duration_s * SAMPLE_RATE_HZ).ceil() as usize
}
