//! The words of the terminal without its lines and colours, for a page: a paragraph each.

use super::{TraceReport, bass_room, check, decay};
use crate::content::wave_field::Sounded;
use earline_engine::analysis::room_summary::RoomSummary;
use earline_engine::metrics::criteria::EarlyLimit;
use earline_engine::metrics::diffuse_field::DiffuseField;
use earline_engine::scene::Scene;

/// Wider than any paragraph.
const WIDE: usize = 1 << 20;

/// What room it is.
pub(crate) fn about(scene: &Scene, survey: &RoomSummary, statistics: &Statistics) -> Vec<String> {
    check::about(scene, survey, statistics, WIDE)
}

/// The limit, with how our copy of it was come by.
pub(crate) fn limit(limit: &EarlyLimit) -> Vec<String> {
    super::limit(limit, WIDE)
}

/// How our copy of the recommendation for the decay was come by.
pub(crate) fn criterion(told: &TraceReport<'_>) -> Vec<String> {
    decay::criterion(told, WIDE)
}

/// How the modes are spaced, and how far down panels reach: headings with what stands under them.
pub(crate) fn bass_room(sounded: &Sounded<'_>) -> Vec<(String, Vec<String>)> {
    let parts = [bass_room::spacing(sounded, WIDE), bass_room::reach(sounded, WIDE)];
    let parts = parts.into_iter().filter(|lines| !lines.is_empty());
    parts
        .map(|lines| {
            let mut texts = lines.iter().map(|line| plain(line)).filter(|line| !line.is_empty());
            (texts.next().unwrap_or_default(), texts.collect())
        })
        .collect()
}

/// Where the traced decay and Eyring's formula part, and what is likely behind it.
pub(crate) fn parted(told: &TraceReport<'_>) -> Vec<String> {
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
