//! Octave bands, and the finer inner grid on which everything with a phase is evaluated.

use num_complex::Complex64;
use std::sync::LazyLock;

/// Number of octave bands, 63 Hz to 8 kHz.
pub const BAND_COUNT: usize = 8;

/// One value for each octave band, in the order of [`NOMINAL_HZ`].
pub type PerBand<T> = [T; BAND_COUNT];

/// Nominal octave mid-band frequencies in hertz (IEC 61260-1).
pub const NOMINAL_HZ: PerBand<f64> = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];

/// The bands that the published early-reflection limits speak of: 1 kHz to 8 kHz.
pub const EARLY_BANDS: std::ops::Range<usize> = 4..8;

/// Exact octave mid-band frequency in hertz, 1000·10^(3(b − 4)/10) (IEC 61260-1, base ten).
pub fn exact_hz(band: usize) -> f64 {
    1000.0 * 10f64.powf(0.3 * (band as f64 - 4.0))
}

/// Lower and upper edge of an octave band, hertz (IEC 61260: half an octave of 10^0.3 either way, from memory).
pub fn edges_hz(band: usize) -> [f64; 2] {
    let half_octave = 10f64.powf(0.15);
    [exact_hz(band) / half_octave, exact_hz(band) * half_octave]
}

/// The inner frequency grid: [`FrequencyGrid::POINTS_PER_BAND`] frequencies in every octave,
/// evenly spaced in hertz within it, each in the middle of its share.
///
/// Band levels are energy means over a band's points, so no figure hangs on one frequency. A point
/// counts by the part of the octave, in log frequency, that it stands for: the mean is that of a
/// source with equal energy in equal parts of an octave. Even steps in hertz let a phase be turned
/// from point to point by one product.
#[derive(Debug, Clone, PartialEq)]
pub struct FrequencyGrid {
    hz: Vec<f64>,
}

impl FrequencyGrid {
    /// Inner frequencies per octave band. `docs/theory.md` states the error this count leaves.
    pub const POINTS_PER_BAND: usize = 12;

    /// The grid over all eight bands, in rising frequency.
    pub fn new() -> Self {
        let hz = (0..BAND_COUNT * Self::POINTS_PER_BAND)
            .map(|i| {
                let (low, step) = Self::band_steps_hz(i / Self::POINTS_PER_BAND);
                low + ((i % Self::POINTS_PER_BAND) as f64 + 0.5) * step
            })
            .collect();
        Self { hz }
    }

    /// Lower edge of a band and the step between its points, hertz.
    pub fn band_steps_hz(band: usize) -> (f64, f64) {
        static STEPS_HZ: LazyLock<PerBand<(f64, f64)>> = LazyLock::new(|| {
            std::array::from_fn(|band| {
                let [low, high] = edges_hz(band);
                (low, (high - low) / FrequencyGrid::POINTS_PER_BAND as f64)
            })
        });
        STEPS_HZ[band]
    }

    /// The part of a band that each of its points stands for; they add up to one.
    pub fn weights() -> [f64; Self::POINTS_PER_BAND] {
        static WEIGHTS: LazyLock<[f64; FrequencyGrid::POINTS_PER_BAND]> = LazyLock::new(|| {
            // The same in every band, whose edges stand in the same proportion.
            let (low, step) = FrequencyGrid::band_steps_hz(0);
            let edge = |i: usize| low + i as f64 * step;
            let octave = 10f64.powf(0.3).ln();
            std::array::from_fn(|i| (edge(i + 1) / edge(i)).ln() / octave)
        });
        *WEIGHTS
    }

    /// All frequencies in hertz, rising.
    pub fn hz(&self) -> &[f64] {
        &self.hz
    }

    /// Number of frequencies.
    pub fn len(&self) -> usize {
        self.hz.len()
    }

    /// Never true; here because `len` is.
    pub fn is_empty(&self) -> bool {
        self.hz.is_empty()
    }

    /// The octave band a grid index lies in.
    pub fn band_of(index: usize) -> usize {
        index / Self::POINTS_PER_BAND
    }

    /// Mean energy |p|² in every band.
    pub fn band_energy(pressure: &[Complex64]) -> PerBand<f64> {
        Self::band_mean(|index| pressure[index].norm_sqr())
    }

    /// Mean over every band of a value at each grid index.
    pub fn band_mean(value: impl Fn(usize) -> f64) -> PerBand<f64> {
        let weights = Self::weights();
        std::array::from_fn(|band| {
            let first = band * Self::POINTS_PER_BAND;
            weights.iter().enumerate().map(|(i, weight)| weight * value(first + i)).sum()
        })
    }
}

impl Default for FrequencyGrid {
    fn default() -> Self {
        Self::new()
    }
}

/// Energy ratio to decibels; zero energy gives negative infinity.
pub fn energy_db(ratio: f64) -> f64 {
    10.0 * ratio.log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_mid_bands_are_those_of_iec_61260() {
        // IEC 61260-1 base-ten octave ratio 10^0.3; values printed in ISO 9613-1, read second-hand.
        let printed = [63.10, 125.89, 251.19, 501.19, 1000.0, 1995.3, 3981.1, 7943.3];
        for (band, hz) in printed.into_iter().enumerate() {
            assert!((exact_hz(band) / hz - 1.0).abs() < 1e-4);
        }
    }

    #[test]
    fn grid_fills_every_octave_evenly() {
        let grid = FrequencyGrid::new();
        let half = 10f64.powf(0.15);
        for (i, &hz) in grid.hz().iter().enumerate() {
            let mid = exact_hz(FrequencyGrid::band_of(i));
            assert!(mid / half < hz && hz < mid * half);
        }
        assert!(grid.hz().windows(2).all(|pair| pair[0] < pair[1]));
    }

    /// The mean of 1/f over an octave in log frequency is (1/f₁ − 1/f₂)/ln(f₂/f₁).
    #[test]
    fn weights_are_those_of_log_frequency() {
        assert!((FrequencyGrid::weights().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let grid = FrequencyGrid::new();
        let mean = FrequencyGrid::band_mean(|i| 1.0 / grid.hz()[i]);
        let half = 10f64.powf(0.15);
        for (band, mean) in mean.into_iter().enumerate() {
            let exact = (half - 1.0 / half) / exact_hz(band) / 10f64.powf(0.3).ln();
            assert!((mean / exact - 1.0).abs() < 2e-3);
        }
    }
}
