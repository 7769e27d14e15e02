//! Level of a response over frequency, and single figures of it.

use super::grid::log_spaced_hz;
use crate::scene::{Scene, SpeakerId};
use num_complex::Complex64;

/// Frequency band of the unevenness of speakers that play all of it, hertz.
pub const UNEVENNESS_BAND_HZ: [f64; 2] = [30.0, 200.0];

/// Level of a pressure, decibels re 1.
pub(super) fn level_db(pressure: Complex64) -> f64 {
    10.0 * pressure.norm_sqr().log10()
}

/// Range of the unevenness of speakers that play one signal, hertz: the part of [`UNEVENNESS_BAND_HZ`] in which one of
/// them at least plays, by its lower limit and filters. What lies beyond is the speaker's and not the room's doing.
pub fn unevenness_range_hz(scene: &Scene, speakers: &[SpeakerId]) -> [f64; 2] {
    let [low_hz, high_hz] = UNEVENNESS_BAND_HZ;
    let plays = |hz: f64| speakers.iter().any(|&id| scene[id].chain.plays(hz));
    let steps = log_spaced_hz(low_hz, high_hz);
    let first = steps.iter().find(|hz| plays(**hz)).copied();
    let last = steps.iter().rfind(|hz| plays(**hz)).copied();
    let (Some(first), Some(last)) = (first, last) else { return UNEVENNESS_BAND_HZ };
    [if plays(low_hz) { low_hz } else { first }, if plays(high_hz) { high_hz } else { last }]
}

/// Standard deviation of the level over a range in hertz ([`unevenness_range_hz`]), decibels, with equal weight for
/// every frequency: on a grid of 1/24 octave, for every part of an octave. `None` for fewer than three frequencies
/// there.
pub fn unevenness_db(hz: &[f64], level_db: &[f64], range_hz: [f64; 2]) -> Option<f64> {
    let [low_hz, high_hz] = range_hz;
    let band = hz.iter().zip(level_db).filter(|(hz, _)| (low_hz..=high_hz).contains(*hz));
    let levels: Vec<f64> = band.map(|(_, db)| *db).collect();
    if levels.len() < 3 {
        return None;
    }
    let count = levels.len() as f64;
    let mean = levels.iter().sum::<f64>() / count;
    Some((levels.iter().map(|db| (db - mean).powi(2)).sum::<f64>() / count).sqrt())
}

/// Level of the mean energy over an octave centred on the frequency of an index, decibels; for one within
/// [`UNEVENNESS_BAND_HZ`] over what of that octave lies there too, so that it is the same whatever is solved beyond.
pub(super) fn octave_mean_db(hz: &[f64], level_db: &[f64], index: usize) -> f64 {
    let in_band = |hz: f64| (UNEVENNESS_BAND_HZ[0]..=UNEVENNESS_BAND_HZ[1]).contains(&hz);
    let is_within = |other: f64| {
        (other / hz[index]).log2().abs() <= 0.5 && (in_band(other) || !in_band(hz[index]))
    };
    let energies: Vec<f64> = hz
        .iter()
        .zip(level_db)
        .filter(|(other, _)| is_within(**other))
        .map(|(_, db)| 10f64.powf(0.1 * db))
        .collect();
    10.0 * (energies.iter().sum::<f64>() / energies.len() as f64).log10()
}

/// Frequency of the deepest dip as of [`deepest_dip`], hertz.
pub fn deepest_dip_hz(hz: &[f64], level_db: &[f64], range_hz: [f64; 2]) -> Option<f64> {
    deepest_dip(hz, level_db, range_hz).map(|(hz, _)| hz)
}

/// Frequency in hertz and level in decibels of the local minimum within a range in hertz that
/// lies lowest against the mean of the octave about it, to which its level is relative; `None` where
/// the level only rises or only falls.
pub fn deepest_dip(hz: &[f64], level_db: &[f64], range_hz: [f64; 2]) -> Option<(f64, f64)> {
    let [low_hz, high_hz] = range_hz;
    let is_dip = |&i: &usize| level_db[i] < level_db[i - 1] && level_db[i] <= level_db[i + 1];
    let last = hz.len().min(level_db.len()).saturating_sub(1);
    (1..last)
        .filter(is_dip)
        .filter(|&i| (low_hz..=high_hz).contains(&hz[i]))
        .map(|i| (hz[i], level_db[i] - octave_mean_db(hz, level_db, i)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Least and greatest level over several points, frequency by frequency.
pub(super) fn spread_db(points: &[Vec<Complex64>]) -> Vec<[f64; 2]> {
    let count = points.first().map_or(0, Vec::len);
    let range = |frequency: usize| {
        let levels = || points.iter().map(|point| level_db(point[frequency]));
        [levels().fold(f64::INFINITY, f64::min), levels().fold(f64::NEG_INFINITY, f64::max)]
    };
    (0..count).map(range).collect()
}

#[cfg(test)]
mod tests {
    use super::{UNEVENNESS_BAND_HZ, deepest_dip_hz};

    #[test]
    fn the_deepest_against_its_neighbours_is_found() {
        let hz = [40.0, 50.0, 60.0, 80.0, 100.0, 120.0, 160.0];
        // 60 Hz is lower in level, 120 Hz lower against what is about it.
        assert_eq!(
            deepest_dip_hz(&hz, &[-10.0, -12.0, -14.0, -9.0, 6.0, -8.0, 6.0], UNEVENNESS_BAND_HZ),
            Some(120.0)
        );
        assert_eq!(
            deepest_dip_hz(&hz, &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0], UNEVENNESS_BAND_HZ),
            None
        );
        assert_eq!(deepest_dip_hz(&[], &[], UNEVENNESS_BAND_HZ), None);
    }
}
