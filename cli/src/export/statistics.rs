//! Statistical figures of a room, in the documents of `trace` and `check`.

use super::parts::{MissingFigure, missing_figures};
use super::round::{Hertz, Metres, Ratio, Seconds, hertz, metres, ratio, seconds};
use earline_engine::medium::bands::PerBand;
use earline_engine::metrics::diffuse_field;
use schemars::JsonSchema;
use serde::Serialize;

const NO_ABSORPTION: &str = "nothing absorbs, so sound would never die away";
const A_PAIR_HARD: &str = "a pair of opposite surfaces absorbs nothing, nor does the air";
const BEYOND: &str = "the mean absorption is beyond what this correction holds for";
const NO_REVERBERATION: &str = "there is no reverberation time to work it out from";

/// Figures that follow from volume and absorption alone, per octave band; what is null has a reason
/// under `missing`.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Statistics {
    /// Reverberation time by Sabine's formula.
    sabine_s: PerBand<Option<Seconds>>,
    /// Reverberation time by Eyring's formula.
    eyring_s: PerBand<Option<Seconds>>,
    /// Reverberation time by Millington's formula.
    millington_s: PerBand<Option<Seconds>>,
    /// Reverberation time by Fitzroy's formula.
    fitzroy_s: PerBand<Option<Seconds>>,
    /// Reverberation time by the formula of Arau-Puchades.
    arau_puchades_s: PerBand<Option<Seconds>>,
    /// Reverberation time by Kuttruff's correction of Eyring's formula.
    kuttruff_s: PerBand<Option<Seconds>>,
    /// Distance at which direct and reverberant sound are equally strong.
    critical_distance_m: PerBand<Option<Metres>>,
    /// Equivalent absorption area of everything that lines the room.
    absorption_area_m2: PerBand<Ratio>,
    /// Equivalent absorption area of the air.
    air_absorption_area_m2: PerBand<Ratio>,
    /// Mean free path of sound between two surfaces, 4V/S.
    mean_free_path_m: Metres,
    /// Schroeder frequency; null without a reverberation time.
    schroeder_hz: Option<Hertz>,
    /// Reason why no formula gives a time.
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
    /// Reasons of missing values; absent where none is missing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    missing: Vec<MissingFigure>,
}

impl Statistics {
    /// The figures that the engine gives.
    pub(crate) fn new(found: &diffuse_field::DiffuseField) -> Self {
        let times = |times: PerBand<Option<f64>>| times.map(|time| time.map(seconds));
        let endless = found.sabine_s.contains(&None) || found.eyring_s.contains(&None);
        Self {
            sabine_s: times(found.sabine_s),
            eyring_s: times(found.eyring_s),
            millington_s: times(found.millington_s),
            fitzroy_s: times(found.fitzroy_s),
            arau_puchades_s: times(found.arau_puchades_s),
            kuttruff_s: times(found.kuttruff_s),
            critical_distance_m: found.critical_distance_m.map(|m| m.map(metres)),
            absorption_area_m2: found.absorption_area_m2.map(ratio),
            air_absorption_area_m2: found.air_absorption_area_m2.map(ratio),
            mean_free_path_m: metres(found.mean_free_path_m),
            schroeder_hz: found.schroeder_hz.map(hertz),
            reason: endless.then_some(NO_ABSORPTION),
            missing: missing(found),
        }
    }
}

fn missing(found: &diffuse_field::DiffuseField) -> Vec<MissingFigure> {
    let figures = [
        ("sabine_s", &found.sabine_s, NO_ABSORPTION),
        ("eyring_s", &found.eyring_s, NO_ABSORPTION),
        ("millington_s", &found.millington_s, NO_ABSORPTION),
        ("fitzroy_s", &found.fitzroy_s, A_PAIR_HARD),
        ("arau_puchades_s", &found.arau_puchades_s, A_PAIR_HARD),
        ("kuttruff_s", &found.kuttruff_s, BEYOND),
        ("critical_distance_m", &found.critical_distance_m, NO_REVERBERATION),
    ];
    let missing = figures.into_iter().flat_map(|(figure, values, own_reason)| {
        let bands = (0..values.len()).filter(|&band| values[band].is_none());
        bands.map(move |band| {
            let endless = found.sabine_s[band].is_none();
            (figure, band, if endless { NO_ABSORPTION } else { own_reason }.to_owned())
        })
    });
    missing_figures(missing)
}
