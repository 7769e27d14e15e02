//! The wait for work whose time one processor would take is predicted.

use std::time::Duration;

/// Time on the clock of what takes one processor so many seconds.
pub(super) fn clock(predicted_s: f64) -> Duration {
    let seconds = predicted_s / rayon::current_num_threads() as f64;
    Duration::try_from_secs_f64(seconds).unwrap_or(Duration::MAX)
}

/// `about 3 minutes`: the wait for what takes one processor so many seconds.
pub(super) fn wait(predicted_s: f64) -> String {
    let seconds = clock(predicted_s).as_secs();
    match (seconds, seconds.div_ceil(60)) {
        (..=90, _) => format!("about {seconds} seconds"),
        (_, minutes @ ..=120) => format!("about {minutes} minutes"),
        (_, minutes) => format!("about {} hours", minutes.div_ceil(60)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waits_are_told_in_plain_times() {
        let threads = rayon::current_num_threads() as f64;
        assert_eq!(wait(40.0 * threads), "about 40 seconds");
        assert_eq!(wait(150.0 * threads), "about 3 minutes");
        assert_eq!(wait(1e5 * threads), "about 28 hours");
    }
}
