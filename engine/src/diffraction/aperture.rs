//! How much of a point source's field passes through an opening, or is returned by a piece.

use super::node::{Edge, SeenEdge};
use crate::bands::{BAND_COUNT, FrequencyGrid};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// A rim between a source and a receiver.
///
/// Its [`Aperture::fraction`] K(f) is the field that passes the opening over the field that would
/// arrive with nothing in the way: near 1 where the ray passes well inside, ½ through an edge, ¼
/// through a corner, falling smoothly outside. For a piece that reflects, the source is the mirror
/// image and K is what the piece returns of a whole plane's reflection; past a screen 1 − K arrives.
///
/// K = χ + Σ over the rim of (±1/4π)∫(1 + cos β) e^{−jkδ} dφ, with δ the detour over a point of the
/// rim, β the bend of the path there, φ the azimuth around the ray; χ is 1 where the ray passes
/// through the opening and 0 beside it. Exact for any polygon in physical optics.
#[derive(Debug, Clone)]
pub struct Aperture {
    through: f64,
    bands: [Vec<[f64; 2]>; BAND_COUNT],
    least_detour_m: f64,
}

/// Beside the opening, edges farther than this many wavelengths of detour are left out of a band:
/// what they would add is below 0.04 of the field, turns its phase many times within the band and
/// moves a band level by less than 0.01 dB.
const NEGLIGIBLE_WAVELENGTHS: f64 = 8.0;

impl Aperture {
    /// An opening given by its rim (see [`Edge`] for its sense), between a source and a receiver.
    ///
    /// `between` says whether the opening lies between the two; a rim that only surrounds the
    /// line beyond them lets nothing through.
    pub fn new(
        source: DVec3,
        receiver: DVec3,
        rim: &[Edge],
        between: bool,
        speed_of_sound_m_s: f64,
    ) -> Self {
        let edges: Vec<SeenEdge> = rim
            .iter()
            .map(|&edge| SeenEdge::new(edge, source, receiver))
            .filter(SeenEdge::counts)
            .collect();
        let turns: f64 = edges.iter().map(SeenEdge::turns).sum();
        let through = if between { turns } else { 0.0 };
        let least_detour_m =
            edges.iter().map(SeenEdge::least_detour_m).fold(f64::INFINITY, f64::min);
        let bands = std::array::from_fn(|band| {
            let (low_hz, step_hz) = FrequencyGrid::band_steps_hz(band);
            let high_hz = low_hz + step_hz * FrequencyGrid::POINTS_PER_BAND as f64;
            let beside = through.abs() < 0.25;
            let negligible_m = NEGLIGIBLE_WAVELENGTHS * speed_of_sound_m_s / low_hz;
            let mut impulses = Vec::new();
            if !(beside && least_detour_m > negligible_m) {
                let wavenumber = TAU * high_hz / speed_of_sound_m_s;
                for edge in &edges {
                    edge.add_impulses(wavenumber, &mut impulses);
                }
            }
            impulses
        });
        Self { through, bands, least_detour_m }
    }

    /// 1 where the ray passes through the opening, 0 beside it, between on its rim.
    pub fn through(&self) -> f64 {
        self.through
    }

    /// Smallest detour over the rim, metres.
    pub fn least_detour_m(&self) -> f64 {
        self.least_detour_m
    }

    /// K at one frequency of a band, by the sum as it stands; `wavenumber` in radians a metre.
    pub fn fraction_at(&self, band: usize, wavenumber: f64) -> Complex64 {
        let sum: Complex64 = self.bands[band]
            .iter()
            .map(|&[amplitude, detour_m]| Complex64::cis(-wavenumber * detour_m) * amplitude)
            .sum();
        sum + self.through
    }

    /// Writes K at every frequency of the grid.
    pub fn fraction(&self, speed_of_sound_m_s: f64, out: &mut [Complex64]) {
        for (band, points) in out.chunks_mut(FrequencyGrid::POINTS_PER_BAND).enumerate() {
            points.fill(self.through.into());
            let (low_hz, step_hz) = FrequencyGrid::band_steps_hz(band);
            let [first, step] =
                [low_hz + 0.5 * step_hz, step_hz].map(|hz| TAU * hz / speed_of_sound_m_s);
            for &[amplitude, detour_m] in &self.bands[band] {
                let mut phasor = Complex64::cis(-first * detour_m) * amplitude;
                let turn = Complex64::cis(-step * detour_m);
                for value in &mut *points {
                    *value += phasor;
                    phasor *= turn;
                }
            }
        }
    }
}
