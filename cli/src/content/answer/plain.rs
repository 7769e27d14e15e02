//! The words of the terminal without its lines and colours, for a page: a paragraph each.

use super::{Told, check, decay};
use earline_engine::analysis::room_summary::Survey;
use earline_engine::metrics::criteria::EarlyLimit;
use earline_engine::metrics::diffuse_field::Statistics;
use earline_engine::scene::Scene;

/// Wider than any paragraph.
const WIDE: usize = 1 << 20;

/// What room it is.
pub(crate) fn about(scene: &Scene, survey: &Survey, statistics: &Statistics) -> Vec<String> {
    check::about(scene, survey, statistics, WIDE)
}

/// The limit, with how our copy of it was come by.
pub(crate) fn limit(limit: &EarlyLimit) -> Vec<String> {
    super::limit(limit, WIDE)
}

/// How our copy of the recommendation for the decay was come by.
pub(crate) fn criterion(told: &Told<'_>) -> Vec<String> {
    decay::criterion(told, WIDE)
}

/// Where the traced decay and Eyring's formula part, and what is likely behind it.
pub(crate) fn parted(told: &Told<'_>) -> Vec<String> {
    // The first two lines are an empty one and the heading.
    let lines = decay::parted(told, WIDE).into_iter().skip(2);
    lines.map(|line| plain(&line)).filter(|line| !line.is_empty()).collect()
}

/// A line without its colours, its indent and its dash or dot.
fn plain(line: &str) -> String {
    let text = anstream::adapter::strip_str(line).to_string();
    let text = text.trim();
    text.strip_prefix("- ").or(text.strip_prefix("· ")).unwrap_or(text).to_owned()
}
