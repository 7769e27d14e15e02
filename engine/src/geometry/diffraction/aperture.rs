//! How much of a point source's field passes through an opening, or is returned by a piece.

use super::Edge;
use super::edge_geometry::EdgeGeometry;
use super::impulses::Impulses;
use super::line_integral::QuadratureDensity;
use crate::medium::bands::{BAND_COUNT, FrequencyGrid, PerBand};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;
use std::ops::Range;

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
    edges: Vec<EdgeGeometry>,
    min_detour_m: f64,
}

/// Bands that share impulses: the low ones ask for few points and share them, each high one has
/// its own.
const GROUPS: [Range<usize>; 5] = [0..4, 4..5, 5..6, 6..7, 7..8];

/// EdgeCoordinates the opening, what its rim sends into a band fades out while the least detour grows from
/// the first of these to the second, in wavelengths at the foot of the band. There it is 0.08 of the
/// field an edge, turns its phase more than twice within the band and moves the band level by a few
/// hundredths of a decibel.
const FADE_WAVELENGTHS: [f64; 2] = [2.0, 3.0];

impl Aperture {
    /// An opening given by its rim (see [`Edge`] for its sense), between a source and a receiver.
    ///
    /// `between` says whether the opening lies between the two; a rim that only surrounds the
    /// line beyond them lets nothing through.
    pub fn new(source: DVec3, receiver: DVec3, rim: &[Edge], between: bool) -> Self {
        let edges: Vec<EdgeGeometry> = rim
            .iter()
            .map(|&edge| EdgeGeometry::new(edge, source, receiver))
            .filter(EdgeGeometry::counts)
            .collect();
        // A whole number of turns comes out of the sum with a rounding error; it is one or none.
        let turns: f64 = edges.iter().map(EdgeGeometry::turns).sum();
        let whole = (turns - turns.round()).abs() < 1e-9;
        let through = match between {
            false => 0.0,
            true if whole => turns.round(),
            true => turns,
        };
        let min_detour_m = edges.iter().map(|edge| edge.min_detour_m).fold(f64::INFINITY, f64::min);
        Self { through, edges, min_detour_m }
    }

    /// 1 where the ray passes through the opening, 0 beside it, between on its rim.
    pub fn through(&self) -> f64 {
        self.through
    }

    /// Smallest detour over the rim, metres.
    pub fn min_detour_m(&self) -> f64 {
        self.min_detour_m
    }

    /// K at one frequency, to 1e-7 and with nothing left out; `wavenumber` in radians a metre.
    pub fn fraction_at(&self, wavenumber: f64) -> Complex64 {
        let mut impulses = Impulses::default();
        for edge in &self.edges {
            edge.add_impulses(wavenumber, QuadratureDensity::EXACT, &mut impulses);
        }
        let each = impulses.amplitude.iter().zip(&impulses.detour_m);
        let sum: Complex64 =
            each.map(|(&a, detour_m)| Complex64::cis(-wavenumber * detour_m) * a).sum();
        sum + self.through
    }

    /// Writes K at every frequency of the grid, to 5e-3 or better; well beside the opening, what is too
    /// little to be heard is left out.
    pub fn fraction(&self, speed_of_sound_m_s: f64, out: &mut [Complex64]) {
        out.fill(self.through.into());
        let share = self.shares(speed_of_sound_m_s);
        let mut impulses = Impulses::default();
        for bands in GROUPS.iter().filter(|bands| share[bands.start] > 0.0) {
            let (top_hz, step_hz) = FrequencyGrid::band_steps_hz(bands.end - 1);
            let high_hz = top_hz + step_hz * FrequencyGrid::POINTS_PER_BAND as f64;
            impulses.clear();
            for edge in &self.edges {
                let wavenumber = TAU * high_hz / speed_of_sound_m_s;
                edge.add_impulses(wavenumber, QuadratureDensity::LISTED, &mut impulses);
            }
            impulses.pad();
            for band in bands.clone().filter(|&band| share[band] > 0.0) {
                let sum = impulses.sum(band, speed_of_sound_m_s);
                let first = band * FrequencyGrid::POINTS_PER_BAND;
                for (value, sum) in out[first..].iter_mut().zip(sum) {
                    *value += share[band] * sum;
                }
            }
        }
    }

    /// How much of what the rim sends is kept in each band; falls with frequency.
    fn shares(&self, speed_of_sound_m_s: f64) -> PerBand<f64> {
        if self.edges.is_empty() {
            return [0.0; BAND_COUNT];
        }
        if self.through.abs() > 0.25 {
            return [1.0; BAND_COUNT];
        }
        let [near, far] = FADE_WAVELENGTHS;
        std::array::from_fn(|band| {
            let low_hz = FrequencyGrid::band_steps_hz(band).0;
            let wavelengths = self.min_detour_m * low_hz / speed_of_sound_m_s;
            let faded = ((wavelengths - near) / (far - near)).clamp(0.0, 1.0);
            1.0 - faded * faded * (3.0 - 2.0 * faded)
        })
    }
}
