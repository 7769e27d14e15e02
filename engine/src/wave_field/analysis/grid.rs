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
