//! The trace document, `earline.trace/1`.

use super::decay::{Decay, Rays};
use super::round;
use super::statistics::Statistics;
use super::zones::Zones;
use crate::content::trace::TraceReport;
use crate::format::labels;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::response::{CurveError, EnergyTime};
use earline_engine::scene::Scene;
use earline_engine::trace::{self, PairTrace};
use earline_engine::whole_decay::PairDecay;
use serde::Serialize;

const SCHEMA: &str = "earline.trace/1";
const NO_SOUND: &str = "no sound arrives";
const NO_DECAY: &str = "no rays were followed (--rays 0), and the list alone holds no late sound";

#[derive(Debug, Serialize)]
pub(crate) struct TraceDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    bands_hz: PerBand<f64>,
    air: Air,
    pairs: Vec<Pair>,
    rays: Vec<Rays>,
    /// Energy-time curves are those of the wave field below this frequency.
    crossover_hz: Option<f64>,
    zones: Zones,
    statistics: Statistics,
}

#[derive(Debug, Serialize)]
struct Air {
    speed_of_sound_m_s: f64,
    attenuation_db_per_m: PerBand<f64>,
}

#[derive(Debug, Serialize)]
struct Pair {
    speaker: String,
    listener: String,
    direct: Direct,
    reflections: Vec<Reflection>,
    energy_time: Curve,
    decay: Option<Decay>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decay_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Direct {
    distance_m: f64,
    time_ms: f64,
    azimuth_deg: f64,
    elevation_deg: f64,
    shadowed: bool,
    band_level_db: PerBand<Option<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Reflection {
    order: usize,
    surfaces: Vec<String>,
    points_m: Vec<[f64; 3]>,
    distance_m: f64,
    after_direct_ms: f64,
    level_db: Option<f64>,
    band_level_db: PerBand<Option<f64>>,
    azimuth_deg: f64,
    elevation_deg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Curve {
    step_ms: f64,
    start_ms: f64,
    complete_until_ms: f64,
    level_db: Vec<f64>,
    band_level_db: Vec<Vec<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    uncertainty: Option<CurveUncertainty>,
}

/// One standard error of the energy behind a curve, where rays are part of it; `null` where nothing
/// arrives.
#[derive(Debug, Serialize)]
struct CurveUncertainty {
    step_ms: f64,
    start_ms: f64,
    level_db: Vec<Option<f64>>,
    band_level_db: Vec<Vec<Option<f64>>>,
}

impl TraceDocument {
    /// The document of a trace.
    pub(crate) fn new(report: &TraceReport<'_>) -> Self {
        let TraceReport { scene, state, trace, decay, .. } = *report;
        let of_pair = |index: usize| decay.and_then(|decay| decay.pairs.get(index));
        let pairs = trace
            .pairs
            .iter()
            .enumerate()
            .map(|(index, pair)| Pair::new(report, pair, of_pair(index)))
            .collect();
        Self {
            schema: SCHEMA,
            scene: scene.title().to_owned(),
            variant: state.name.map(str::to_owned),
            bands_hz: NOMINAL_HZ,
            air: Air {
                speed_of_sound_m_s: round::to(trace.speed_of_sound_m_s, 3),
                attenuation_db_per_m: trace.attenuation_db_per_m.map(|a| round::to(a, 6)),
            },
            pairs,
            crossover_hz: report.crossover_hz.map(round::hertz),
            rays: decay.map_or(Vec::new(), |decay| {
                decay.speakers.iter().map(|found| Rays::new(scene, found)).collect()
            }),
            zones: Zones::new(report.scene, report.zone_plan, report.zones),
            statistics: Statistics::new(&report.formula_comparison.statistics),
        }
    }
}

impl Pair {
    fn new(report: &TraceReport<'_>, pair: &PairTrace, decay: Option<&PairDecay>) -> Self {
        let scene = report.scene;
        Self {
            speaker: scene.speakers()[pair.speaker].name.clone(),
            listener: scene.listeners()[pair.listener].name.clone(),
            direct: Direct::new(&pair.direct),
            reflections: pair.reflections.iter().map(|r| Reflection::new(scene, r)).collect(),
            energy_time: Curve::new(&pair.energy_time),
            decay_reason: decay.is_none().then_some(NO_DECAY),
            decay: decay.map(|decay| Decay::new(report, decay)),
        }
    }
}

impl Direct {
    fn new(direct: &trace::Direct) -> Self {
        let band_level_db = direct.band_level_db.map(round::decibels);
        Self {
            distance_m: round::metres(direct.distance_m),
            time_ms: round::milliseconds(direct.time_s),
            azimuth_deg: round::degrees(direct.azimuth_deg),
            elevation_deg: round::degrees(direct.elevation_deg),
            shadowed: direct.shadowed,
            band_level_db,
            level_reason: missing(&band_level_db),
        }
    }
}

impl Reflection {
    fn new(scene: &Scene, reflection: &trace::Reflection) -> Self {
        let bounces = &reflection.arrival.bounces;
        let band_level_db = reflection.band_level_db.map(round::decibels);
        Self {
            order: bounces.len(),
            surfaces: bounces.iter().map(|bounce| labels::wire(scene, bounce)).collect(),
            points_m: bounces.iter().map(|b| b.point.to_array().map(round::metres)).collect(),
            distance_m: round::metres(reflection.arrival.distance_m),
            after_direct_ms: round::milliseconds(reflection.after_direct_s),
            level_db: round::decibels(reflection.level_db),
            band_level_db,
            azimuth_deg: round::degrees(reflection.azimuth_deg),
            elevation_deg: round::degrees(reflection.elevation_deg),
            level_reason: missing(&band_level_db),
        }
    }
}

fn missing(levels: &PerBand<Option<f64>>) -> Option<&'static str> {
    levels.contains(&None).then_some(NO_SOUND)
}

impl Curve {
    fn new(curve: &EnergyTime) -> Self {
        let rounded = |levels: &Vec<f64>| -> Vec<f64> {
            levels.iter().map(|&db| round::curve_decibels(db)).collect()
        };
        Self {
            step_ms: round::milliseconds(curve.step_s),
            start_ms: round::milliseconds(curve.start_s),
            complete_until_ms: round::milliseconds(curve.complete_s),
            level_db: rounded(&curve.level_db),
            band_level_db: curve.band_level_db.iter().map(rounded).collect(),
            uncertainty: curve.error.as_ref().map(CurveUncertainty::new),
        }
    }
}

impl CurveUncertainty {
    fn new(error: &CurveError) -> Self {
        let rounded = |errors: &Vec<Option<f64>>| -> Vec<Option<f64>> {
            errors.iter().map(|error| error.map(round::curve_decibels)).collect()
        };
        Self {
            step_ms: round::milliseconds(error.step_s),
            start_ms: round::milliseconds(error.start_s),
            level_db: rounded(&error.level_db),
            band_level_db: error.band_level_db.iter().map(rounded).collect(),
        }
    }
}
