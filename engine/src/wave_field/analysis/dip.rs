//! The deepest dip of a response.

use crate::wave_field::analysis::UNEVENNESS_BAND_HZ;
use crate::wave_field::analysis::extrema::mean_about;

/// Frequency of the dip that lies deepest under the mean of an octave about it, within [`UNEVENNESS_BAND_HZ`],
/// hertz; `None` where the level only rises or only falls.
pub fn deepest_dip_hz(hz: &[f64], level_db: &[f64]) -> Option<f64> {
    deepest_dip(hz, level_db).map(|(hz, _)| hz)
}

/// The same dip, with its level against that mean, decibels.
pub fn deepest_dip(hz: &[f64], level_db: &[f64]) -> Option<(f64, f64)> {
    let is_dip = |&i: &usize| level_db[i] < level_db[i - 1] && level_db[i] <= level_db[i + 1];
    let last = hz.len().min(level_db.len()).saturating_sub(1);
    (1..last)
        .filter(is_dip)
        .filter(|&i| (UNEVENNESS_BAND_HZ[0]..=UNEVENNESS_BAND_HZ[1]).contains(&hz[i]))
        .map(|i| (hz[i], level_db[i] - mean_about(hz, level_db, i)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use super::deepest_dip_hz;

    #[test]
    fn the_deepest_against_its_neighbours_is_found() {
        let hz = [40.0, 50.0, 60.0, 80.0, 100.0, 120.0, 160.0];
        // 60 Hz is lower in level, 120 Hz lower against what is about it.
        assert_eq!(deepest_dip_hz(&hz, &[-10.0, -12.0, -14.0, -9.0, 6.0, -8.0, 6.0]), Some(120.0));
        assert_eq!(deepest_dip_hz(&hz, &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]), None);
        assert_eq!(deepest_dip_hz(&[], &[]), None);
    }
}
