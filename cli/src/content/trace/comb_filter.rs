//! The comb filter of one reflection with the direct sound.

use super::TraceReport;
use crate::content::numbering::Numbered;
use crate::format::{frequency, level};
use earline_engine::metrics::interference::{CombRipple, nulls_hz};

/// Peaks, dips and first null of the comb; nothing where the reflection is silent.
pub(super) fn sentence(report: &TraceReport<'_>, strongest: &Numbered<'_>) -> Option<String> {
    let r = strongest.reflection;
    if !r.level_db.is_finite() {
        return None;
    }
    let farther = r.arrival.distance_m - strongest.pair.direct.distance_m;
    let speed = report.trace.speed_of_sound_m_s;
    let first = nulls_hz(farther, speed).next().filter(|hz| hz.is_finite())?;
    let ripple = CombRipple::from_level_db(r.level_db);
    let dip = if ripple.dip_db.is_finite() {
        format!("dips of {}", level::with_unit(ripple.dip_db))
    } else {
        "complete dips".to_owned()
    };
    Some(format!(
        "Alone it would comb-filter {}: peaks of +{:.1} dB and {dip}, the first near {} and then every {}. \
         That holds for a hard surface and no other reflection.",
        report.speaker(strongest.pair.speaker),
        ripple.peak_db,
        frequency::frequency(first),
        frequency::frequency(2.0 * first),
    ))
}
