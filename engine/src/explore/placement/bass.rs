//! Bass of a pair at a seat: unevenness and deepest interference dip.
//!
//! Unevenness comes from the wave field of the room with all its resonances. The dip comes from direct
//! sound and first reflections with their phases: what one boundary does, which moving cures.

use crate::geometry::FaceId;
use crate::image_source::Arrival;
use crate::medium::bands::{FrequencyGrid, energy_db};
use crate::scene::SpeakerId;
use crate::simulate::PairSimulation;
use crate::wave_field::{FactorizedSolver, SpeakerSources, UNEVENNESS_BAND_HZ, log_spaced_hz};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Range of the bass unevenness, hertz: that of [`crate::wave_field::UNEVENNESS_BAND_HZ`].
pub const BASS_HZ: [f64; 2] = UNEVENNESS_BAND_HZ;
/// Range in which a dip is searched, hertz.
pub const DIP_HZ: [f64; 2] = [45.0, 300.0];
/// Frequencies per octave of the search for a dip.
const DIP_STEPS: f64 = 48.0;

/// A dip that floor, ceiling and walls leave in what one speaker brings to a seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dip {
    /// The speaker.
    pub speaker: SpeakerId,
    /// Frequency of its minimum, hertz; to about 1 %.
    pub hz: f64,
    /// Level relative to the direct sound alone, decibels.
    pub level_db: f64,
}

/// Frequencies of the bass unevenness, hertz.
pub(super) fn bass_hz() -> Vec<f64> {
    // Every second of 24 in an octave.
    log_spaced_hz(BASS_HZ[0], BASS_HZ[1]).into_iter().step_by(2).collect()
}

/// Standard deviation over a range in hertz, a part of [`BASS_HZ`], of the level of speakers sounding together at a seat, about its
/// straight line over log frequency, decibels.
pub(super) fn unevenness_db(
    room: &FactorizedSolver<'_>,
    speakers: &SpeakerSources<'_>,
    seat: DVec3,
    [low_hz, high_hz]: [f64; 2],
) -> f64 {
    let level =
        |tone: Vec<Vec<Complex64>>| energy_db(tone.iter().flatten().sum::<Complex64>().norm_sqr());
    let tones = room.pressure(speakers.points(), &[seat]);
    let curve: Vec<[f64; 3]> = bass_hz()
        .iter()
        .zip(&tones)
        .filter(|(hz, _)| (low_hz..=high_hz).contains(*hz))
        .map(|(&hz, tone)| [hz.ln(), level(speakers.combined(hz, tone)), 1.0])
        .collect();
    deviation(&curve)
}

/// The deepest dip over [`DIP_HZ`] that any one speaker has at a seat from the first reflections of the
/// room's six surfaces, as far as they are listed; `None` where the level has no dip below that of the
/// direct sound.
pub(super) fn deepest_dip(seat: &[PairSimulation], speed_m_s: f64) -> Option<Dip> {
    let dips = seat.iter().filter_map(|one| dip(one, speed_m_s));
    dips.min_by(|a, b| a.level_db.total_cmp(&b.level_db))
}

fn dip(one: &PairSimulation, speed_m_s: f64) -> Option<Dip> {
    let is_surface = |arrival: &&Arrival| match arrival.bounces.as_slice() {
        [only] => matches!(only.face, FaceId::Surface(_)),
        _ => false,
    };
    let first: Vec<&Arrival> =
        one.reflections.iter().map(|found| &found.arrival).filter(is_surface).collect();
    let grid = FrequencyGrid::new();
    let level_db = |hz: f64| {
        let place = GridInterpolation::of(grid.hz(), hz);
        let part = |arrival: &Arrival| {
            place.pressure(&arrival.pressure) * travelled(arrival, hz, speed_m_s)
        };
        let direct = part(&one.unobstructed);
        let all = direct + first.iter().map(|arrival| part(arrival)).sum::<Complex64>();
        energy_db(all.norm_sqr() / direct.norm_sqr())
    };
    let octaves = (DIP_HZ[1] / DIP_HZ[0]).log2();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let count = (octaves * DIP_STEPS) as u32;
    let curve: Vec<(f64, f64)> = (0..=count)
        .map(|step| DIP_HZ[0] * (f64::from(step) / DIP_STEPS).exp2())
        .map(|hz| (hz, level_db(hz)))
        .collect();
    let lows = curve.windows(3).filter(|three| three[1].1 < three[0].1 && three[1].1 <= three[2].1);
    let deepest = lows.map(|three| three[1]).min_by(|a, b| a.1.total_cmp(&b.1))?;
    let (hz, level_db) = deepest;
    (level_db < 0.0).then_some(Dip { speaker: one.speaker, hz, level_db })
}

/// Phase factor of an arrival's propagation delay.
fn travelled(arrival: &Arrival, hz: f64, speed_m_s: f64) -> Complex64 {
    Complex64::from_polar(1.0, -TAU * hz * arrival.distance_m / speed_m_s)
}

/// A frequency between two of the inner grid.
struct GridInterpolation {
    lower: usize,
    share: f64,
}

impl GridInterpolation {
    fn of(grid_hz: &[f64], hz: f64) -> Self {
        let above = grid_hz.partition_point(|&known| known < hz).clamp(1, grid_hz.len() - 1);
        let [low, high] = [grid_hz[above - 1], grid_hz[above]];
        Self { lower: above - 1, share: ((hz - low) / (high - low)).clamp(0.0, 1.0) }
    }

    /// Spreading, directivity and reflection change slowly, so a straight line between two is enough.
    fn pressure(&self, grid: &[Complex64]) -> Complex64 {
        grid[self.lower] * (1.0 - self.share) + grid[self.lower + 1] * self.share
    }
}

/// Standard deviation of weighted points about their straight line.
fn deviation(points: &[[f64; 3]]) -> f64 {
    let sum = |of: &dyn Fn(&[f64; 3]) -> f64| points.iter().map(|p| p[2] * of(p)).sum::<f64>();
    let all = sum(&|_| 1.0);
    let (x, y) = (sum(&|p| p[0]) / all, sum(&|p| p[1]) / all);
    let slope = sum(&|p| (p[0] - x) * (p[1] - y)) / sum(&|p| (p[0] - x).powi(2));
    (sum(&|p| (p[1] - y - slope * (p[0] - x)).powi(2)) / all).sqrt()
}
