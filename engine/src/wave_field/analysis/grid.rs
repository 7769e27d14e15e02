//! Grids of frequencies and positions.

/// Frequencies in steps of 1/24 octave from one frequency up to another, hertz; none for an invalid
/// range.
pub fn log_spaced_hz(from_hz: f64, to_hz: f64) -> Vec<f64> {
    if !(0.0 < from_hz && from_hz <= to_hz && to_hz.is_finite()) {
        return Vec::new();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let steps = (24.0 * (to_hz / from_hz).log2() + 1e-9) as u32;
    (0..=steps).map(|step| from_hz * 2f64.powf(f64::from(step) / 24.0)).collect()
}

/// Step of a curve that is to look smooth, hertz: a third of the bandwidth 2.2/T60 of modes that ring for
/// 0.5 s.
const SMOOTH_STEP_HZ: f64 = 1.5;
/// Parts of each step of a grid that is refined, at the least and at the most: where modes overlap, far up, every
/// frequency is dear and more of them tell nothing.
const PARTS: [f64; 2] = [2.0, 6.0];

/// The rising frequencies of a grid, unchanged, and up to a frequency as many between them as a smooth curve
/// wants, hertz.
pub(super) fn refined_hz(hz: &[f64], to_hz: f64) -> Vec<f64> {
    let mut refined = Vec::new();
    for pair in hz.windows(2) {
        let [low_hz, high_hz] = [pair[0], pair[1]];
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few")]
        let parts = ((high_hz - low_hz) / SMOOTH_STEP_HZ).ceil().clamp(PARTS[0], PARTS[1]) as u32;
        let parts = if low_hz < to_hz { parts } else { 1 };
        let ratio = high_hz / low_hz;
        let part = |i: u32| low_hz * ratio.powf(f64::from(i) / f64::from(parts));
        refined.push(low_hz);
        refined.extend((1..parts).map(part).filter(|hz| (low_hz..high_hz).contains(hz)));
    }
    refined.extend(hz.last());
    refined.dedup();
    refined
}

/// Equally spaced frequencies from one frequency up to another, hertz.
pub(super) fn linearly_spaced_hz(from_hz: f64, to_hz: f64, step_hz: f64) -> Vec<f64> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred")]
    let last = ((to_hz - from_hz) / step_hz + 1e-9) as u32;
    (0..=last).map(|i| from_hz + step_hz * f64::from(i)).collect()
}

/// Equally spaced coordinates from one end to another, both included, with a spacing of at most
/// `step_m`; the middle alone for an empty interval.
pub(super) fn evenly_spaced_m(from_m: f64, to_m: f64, step_m: f64) -> Vec<f64> {
    let length_m = to_m - from_m;
    if !(0.0 < length_m && 0.0 < step_m) {
        return vec![0.5 * (from_m + to_m)];
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let steps = (length_m / step_m).ceil().max(1.0) as u32;
    (0..=steps).map(|i| from_m + length_m * f64::from(i) / f64::from(steps)).collect()
}
