//! Energy against time, with what independent batches say of its error.

use crate::medium::bands::{BAND_COUNT, PerBand};

/// Energy at a listener in even bins of time, from the arrival of the direct sound on, per band,
/// relative to the speaker's own at 1 m on axis in a free field.
#[derive(Debug, Clone, PartialEq)]
pub struct Histogram {
    /// Width of a bin, seconds.
    pub bin_s: f64,
    /// One histogram from each of the batches, every one an estimate of the same energies from rays
    /// of its own.
    pub replicates: Vec<Vec<PerBand<f64>>>,
}

impl Histogram {
    /// Number of bins.
    pub fn bins(&self) -> usize {
        self.replicates.first().map_or(0, Vec::len)
    }

    /// Mean over the batches and its standard error, in one bin.
    pub fn bin(&self, index: usize) -> (PerBand<f64>, PerBand<f64>) {
        self.steps(index..index + 1)
    }

    /// Mean over the batches and its standard error, of the sum over some bands in one bin.
    pub fn bin_over(&self, index: usize, bands: std::ops::Range<usize>) -> (f64, f64) {
        let sums = self.replicates.iter().filter_map(|replicate| {
            replicate.get(index).map(|bin| bin[bands.clone()].iter().sum::<f64>())
        });
        mean_and_error(sums)
    }

    /// Mean over the batches and its standard error, of the sum over a range of bins.
    pub fn steps(&self, bins: std::ops::Range<usize>) -> (PerBand<f64>, PerBand<f64>) {
        let mut mean = [0.0; BAND_COUNT];
        let mut error = [0.0; BAND_COUNT];
        for band in 0..BAND_COUNT {
            let sums = self.replicates.iter().map(|replicate| {
                replicate.iter().take(bins.end).skip(bins.start).map(|bin| bin[band]).sum::<f64>()
            });
            (mean[band], error[band]) = mean_and_error(sums);
        }
        (mean, error)
    }

    /// How far off the curve is, as a share of itself: the root mean square, over steps of ten bins
    /// that lie within 30 dB of the strongest step of their band, of the relative standard error; of
    /// all bands the largest. `None` where rays bring nothing.
    pub fn relative_error(&self) -> Option<f64> {
        const STEP: usize = 10;
        let steps: Vec<_> =
            (0..self.bins()).step_by(STEP).map(|first| self.steps(first..first + STEP)).collect();
        let of_band = |band: usize| {
            let most = steps.iter().map(|(mean, _)| mean[band]).fold(0.0, f64::max);
            let heard: Vec<f64> = steps
                .iter()
                .filter(|(mean, _)| mean[band] > 1e-3 * most)
                .map(|(mean, error)| (error[band] / mean[band]).powi(2))
                .collect();
            (!heard.is_empty()).then(|| (heard.iter().sum::<f64>() / heard.len() as f64).sqrt())
        };
        (0..BAND_COUNT).filter_map(of_band).reduce(f64::max)
    }
}

/// Mean of independent estimates, and its standard error.
fn mean_and_error(estimates: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = estimates.clone().count() as f64;
    let mean = estimates.clone().sum::<f64>() / count;
    let spread: f64 = estimates.map(|estimate| (estimate - mean).powi(2)).sum();
    (mean, (spread / (count * (count - 1.0))).sqrt())
}
