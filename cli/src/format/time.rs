//! Times as people read them, from seconds.

use super::number::fixed;

/// A delay: `0.71 ms`.
pub(crate) fn delay(seconds: f64) -> String {
    milliseconds(seconds, 2)
}

/// A time in milliseconds with so many decimals: `15 ms`, `2.1 ms`.
pub(crate) fn milliseconds(seconds: f64, decimals: usize) -> String {
    format!("{} ms", fixed(1e3 * seconds, decimals))
}

/// A time in whole microseconds: `12 µs`.
pub(crate) fn microseconds(seconds: f64) -> String {
    format!("{} µs", fixed(1e6 * seconds, 0))
}

/// A decay time in seconds, without its unit: `0.37`.
pub(crate) fn decay(seconds: f64) -> String {
    fixed(seconds, 2)
}

/// A standard error in seconds, rounded up and without its unit: `0.01`, or `?` if it is unknown.
pub(crate) fn error(error_s: Option<f64>) -> String {
    error_s.map_or_else(|| "?".to_owned(), |error_s| decay((error_s * 100.0).ceil() / 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn delays_and_short_times() {
        assert_eq!(delay(0.000_714), "0.71 ms");
        assert_eq!(milliseconds(0.015, 0), "15 ms");
        assert_eq!(microseconds(0.000_012_2), "12 µs");
    }

    /// An error is rounded up: it must not look smaller than it is.
    #[test]
    fn decay_times_with_their_errors() {}
}
