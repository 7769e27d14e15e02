//! A response as a speaker's signal chain leaves it.

use crate::medium::signal_chain::SignalChain;
use crate::response::{ImpulseResponse, SAMPLE_RATE_HZ};
use num_complex::Complex64;
use rustfft::FftPlanner;

impl ImpulseResponse {
    /// Filtered, delayed and amplified by a signal chain; what is delayed beyond the end is lost.
    #[must_use]
    pub(super) fn driven(self, chain: &SignalChain) -> Self {
        let kept = self.samples.len();
        if chain.is_plain() || kept == 0 {
            return self;
        }
        // As much silence as there is sound: what rings beyond the end does not come back at the beginning.
        let length = 2 * kept;
        let mut spectrum: Vec<Complex64> = self.samples.iter().map(|&s| s.into()).collect();
        spectrum.resize(length, Complex64::ZERO);
        let mut planner = FftPlanner::new();
        planner.plan_fft_forward(length).process(&mut spectrum);
        let hz = |bin: usize| bin as f64 * SAMPLE_RATE_HZ / length as f64;
        let transfer = |bin: usize| match bin {
            0 => chain.at_rest().into(),
            _ if 2 * bin < length => chain.transfer(hz(bin)),
            _ => chain.transfer(hz(length - bin)).conj(),
        };
        for (bin, value) in spectrum.iter_mut().enumerate() {
            // What half the sampling rate has is a real number.
            let factor = if 2 * bin == length { transfer(bin).re.into() } else { transfer(bin) };
            *value *= factor / length as f64;
        }
        planner.plan_fft_inverse(length).process(&mut spectrum);
        Self { samples: spectrum.into_iter().take(kept).map(|value| value.re).collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::medium::signal_chain::{LinkwitzRiley, LowLimit, Polarity};

    fn click() -> ImpulseResponse {
        let mut samples = vec![0.0; 9600];
        samples[480] = 1.0;
        ImpulseResponse { samples }
    }

    #[test]
    fn a_delay_of_whole_samples_moves_a_click() {
        let chain = SignalChain {
            delay_ms: 2.5,
            level_db: 20.0 * 0.5f64.log10(),
            polarity: Polarity::Inverted,
            ..SignalChain::default()
        };
        let driven = click().driven(&chain);
        assert_eq!(driven.samples.len(), 9600);
        for (index, sample) in driven.samples.iter().enumerate() {
            let expected = if index == 480 + 120 { -0.5 } else { 0.0 };
            assert!((sample - expected).abs() < 1e-9, "{index}: {sample}");
        }
    }

    /// The spectrum of a filtered click is the filter's transfer function, and nothing comes before the click.
    #[test]
    fn a_filter_is_causal_and_has_its_own_spectrum() {
        let chain = SignalChain {
            low_limit: Some(LowLimit { hz: 40.0, order: 2 }),
            low_pass: Some(LinkwitzRiley { hz: 80.0, order: 4 }),
            ..SignalChain::default()
        };
        let driven = click().driven(&chain);
        assert!(driven.samples[..480].iter().all(|sample| sample.abs() < 1e-6));
        for hz in [40.0, 80.0, 160.0] {
            let turned = |(index, sample): (usize, &f64)| {
                let time_s = (index as f64 - 480.0) / SAMPLE_RATE_HZ;
                sample * Complex64::cis(-std::f64::consts::TAU * hz * time_s)
            };
            let sum: Complex64 = driven.samples.iter().enumerate().map(turned).sum();
            assert!((sum - chain.transfer(hz)).norm() < 1e-3, "{hz} Hz: {sum}");
        }
    }
}
