//! How much of a point source's field passes through an opening, or is returned by a piece.

use super::node::{Edge, SeenEdge};
use super::phasor::Impulses;
use crate::bands::FrequencyGrid;
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
    /// Impulses fine enough for each group of bands; none where they are left out.
    groups: Vec<Impulses>,
    least_detour_m: f64,
}

/// Bands that share impulses: the low ones ask for few points and share them, each high one has
/// its own.
const GROUPS: [Range<usize>; 5] = [0..4, 4..5, 5..6, 6..7, 7..8];

/// Beside the opening, edges farther than this many wavelengths of detour are left out of a group
/// of bands: what they would add is some 0.05 of the field, turns its phase several times within
/// a band and moves a band level by a few hundredths of a decibel.
const NEGLIGIBLE_WAVELENGTHS: f64 = 4.0;

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
        // A whole number of turns comes out of the sum with a rounding error; it is one or none.
        let turns: f64 = edges.iter().map(SeenEdge::turns).sum();
        let whole = (turns - turns.round()).abs() < 1e-9;
        let through = match between {
            false => 0.0,
            true if whole => turns.round(),
            true => turns,
        };
        let least_detour_m =
            edges.iter().map(SeenEdge::least_detour_m).fold(f64::INFINITY, f64::min);
        let beside = through.abs() < 0.25;
        let group = |bands: &Range<usize>| {
            let mut impulses = Impulses::default();
            let low_hz = FrequencyGrid::band_steps_hz(bands.start).0;
            if beside && least_detour_m > NEGLIGIBLE_WAVELENGTHS * speed_of_sound_m_s / low_hz {
                return impulses;
            }
            let (top_hz, step_hz) = FrequencyGrid::band_steps_hz(bands.end - 1);
            let high_hz = top_hz + step_hz * FrequencyGrid::POINTS_PER_BAND as f64;
            for edge in &edges {
                edge.add_impulses(TAU * high_hz / speed_of_sound_m_s, &mut impulses);
            }
            impulses
        };
        Self { through, groups: GROUPS.iter().map(group).collect(), least_detour_m }
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
        let sum: Complex64 = GROUPS
            .iter()
            .zip(&self.groups)
            .filter(|(bands, _)| bands.contains(&band))
            .flat_map(|(_, impulses)| impulses.amplitude.iter().zip(&impulses.detour_m))
            .map(|(&amplitude, detour_m)| Complex64::cis(-wavenumber * detour_m) * amplitude)
            .sum();
        sum + self.through
    }

    /// Writes K at every frequency of the grid.
    pub fn fraction(&self, speed_of_sound_m_s: f64, out: &mut [Complex64]) {
        out.fill(self.through.into());
        for (bands, impulses) in GROUPS.iter().zip(&self.groups) {
            for band in bands.clone() {
                let first = band * FrequencyGrid::POINTS_PER_BAND;
                let points = &mut out[first..first + FrequencyGrid::POINTS_PER_BAND];
                impulses.add_to(band, speed_of_sound_m_s, points);
            }
        }
    }
}
