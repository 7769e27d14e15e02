//! Octave bands, and the finer inner grid on which everything with a phase is evaluated.

use num_complex::Complex64;

/// Number of octave bands, 63 Hz to 8 kHz.
pub const BAND_COUNT: usize = 8;

/// One value for each octave band, in the order of [`NOMINAL_HZ`].
pub type PerBand<T> = [T; BAND_COUNT];

/// Nominal octave mid-band frequencies in hertz (IEC 61260-1).
pub const NOMINAL_HZ: PerBand<f64> = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];

/// The bands that the published early-reflection limits speak of: 1 kHz to 8 kHz.
pub const LIMIT_BANDS: std::ops::Range<usize> = 4..8;

/// Exact octave mid-band frequency in hertz, 1000·10^(3(b − 4)/10) (IEC 61260-1, base ten).
pub fn exact_hz(band: usize) -> f64 {
    1000.0 * 10f64.powf(0.3 * (band as f64 - 4.0))
}

/// The inner frequency grid: [`FrequencyGrid::POINTS_PER_BAND`] frequencies in every octave,
/// evenly spaced in log frequency, each in the middle of its share of the octave.
///
/// Band levels are energy means over a band's points, so no figure hangs on one frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct FrequencyGrid {
    hz: Vec<f64>,
}

impl FrequencyGrid {
    /// Inner frequencies per octave band. `docs/theory.md` states the error this count leaves.
    pub const POINTS_PER_BAND: usize = 12;

    /// The grid over all eight bands, in rising frequency.
    pub fn new() -> Self {
        let octave = 10f64.powf(0.3);
        let hz = (0..BAND_COUNT * Self::POINTS_PER_BAND)
            .map(|i| {
                let band = i / Self::POINTS_PER_BAND;
                let within = (i % Self::POINTS_PER_BAND) as f64 + 0.5;
                exact_hz(band) * octave.powf(within / Self::POINTS_PER_BAND as f64 - 0.5)
            })
            .collect();
        Self { hz }
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
        std::array::from_fn(|band| {
            let points = &pressure[band * Self::POINTS_PER_BAND..][..Self::POINTS_PER_BAND];
            points.iter().map(Complex64::norm_sqr).sum::<f64>() / points.len() as f64
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
        let ratios: Vec<f64> = grid.hz().windows(2).map(|w| w[1] / w[0]).collect();
        assert!(ratios.iter().all(|r| (r - ratios[0]).abs() < 1e-12));
    }
}
