//! Statistical figures, in the documents of trace and check.

use super::round;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::metrics::diffuse_field;
use serde::Serialize;

const NO_ABSORPTION: &str = "nothing absorbs, so sound would never die away";
const A_PAIR_HARD: &str = "a pair of opposite surfaces absorbs nothing, nor does the air";
const BEYOND: &str = "the mean absorption is beyond what this correction holds for";
const NO_REVERBERATION: &str = "there is no reverberation time to work it out from";

/// Statistical figures of a room.
#[derive(Debug, Serialize)]
pub(crate) struct Statistics {
    sabine_s: PerBand<Option<f64>>,
    eyring_s: PerBand<Option<f64>>,
    millington_s: PerBand<Option<f64>>,
    fitzroy_s: PerBand<Option<f64>>,
    arau_puchades_s: PerBand<Option<f64>>,
    kuttruff_s: PerBand<Option<f64>>,
    critical_distance_m: PerBand<Option<f64>>,
    absorption_area_m2: PerBand<f64>,
    air_absorption_area_m2: PerBand<f64>,
    mean_free_path_m: f64,
    schroeder_hz: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
    /// Why a figure is missing, figure by figure; those that are all there are left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Missing {
    figure: &'static str,
    bands_hz: Vec<f64>,
    reason: &'static str,
}

impl Statistics {
    /// The document's form of what the engine found.
    pub(crate) fn new(found: &diffuse_field::DiffuseField) -> Self {
        let seconds = |times: PerBand<Option<f64>>| times.map(|t| t.map(round::seconds));
        let endless = found.sabine_s.contains(&None) || found.eyring_s.contains(&None);
        Self {
            sabine_s: seconds(found.sabine_s),
            eyring_s: seconds(found.eyring_s),
            millington_s: seconds(found.millington_s),
            fitzroy_s: seconds(found.fitzroy_s),
            arau_puchades_s: seconds(found.arau_puchades_s),
            kuttruff_s: seconds(found.kuttruff_s),
            critical_distance_m: found.critical_distance_m.map(|m| m.map(round::metres)),
            absorption_area_m2: found.absorption_area_m2.map(|area| round::to(area, 4)),
            air_absorption_area_m2: found.air_absorption_area_m2.map(|area| round::to(area, 4)),
            mean_free_path_m: round::metres(found.mean_free_path_m),
            schroeder_hz: found.schroeder_hz.map(round::hertz),
            reason: endless.then_some(NO_ABSORPTION),
            missing: missing(found),
        }
    }
}

/// Each figure that is missing somewhere, with the bands and the reason.
fn missing(found: &diffuse_field::DiffuseField) -> Vec<Missing> {
    let rows = [
        ("sabine_s", &found.sabine_s, NO_ABSORPTION),
        ("eyring_s", &found.eyring_s, NO_ABSORPTION),
        ("millington_s", &found.millington_s, NO_ABSORPTION),
        ("fitzroy_s", &found.fitzroy_s, A_PAIR_HARD),
        ("arau_puchades_s", &found.arau_puchades_s, A_PAIR_HARD),
        ("kuttruff_s", &found.kuttruff_s, BEYOND),
        ("critical_distance_m", &found.critical_distance_m, NO_REVERBERATION),
    ];
    let mut all: Vec<Missing> = Vec::new();
    for (figure, values, own_reason) in rows {
        for (band, hz) in NOMINAL_HZ.into_iter().enumerate() {
            if values[band].is_some() {
                continue;
            }
            let reason = if found.sabine_s[band].is_none() { NO_ABSORPTION } else { own_reason };
            match all.last_mut() {
                Some(last) if last.figure == figure && last.reason == reason => {
                    last.bands_hz.push(hz);
                }
                _ => all.push(Missing { figure, bands_hz: vec![hz], reason }),
            }
        }
    }
    all
}
