//! The trace document, `earline.trace/1`.

use super::decay::{Decay, RayBalance};
use super::parts::{Head, listener_name, point, speaker_name, surfaces};
use super::round::{
    Decibels, Degrees, Metres, Milliseconds, Rounded, decibels, degrees, metres, milliseconds,
};
use super::statistics::Statistics;
use super::zones::Zones;
use crate::content::numbering::{self, Numbered};
use crate::content::trace::TraceReport;
use earline_engine::image_source::Direct;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::response::{CurveError, EnergyTime};
use earline_engine::scene::Scene;
use earline_engine::simulate::PairDecay;
use earline_engine::simulate::PairSimulation;
use schemars::JsonSchema;
use serde::Serialize;

const NO_SOUND: &str = "no sound arrives";
const NO_DECAY: &str = "no rays were followed (--rays 0), and the list alone holds no late sound";

/// Direct sound, early reflections and decay of every speaker at every listener.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TraceDocument {
    #[serde(flatten)]
    head: Head,
    /// Octave bands of every list of eight.
    bands_hz: PerBand<f64>,
    air: AirRow,
    /// Every speaker at every listener.
    pairs: Vec<PairRow>,
    /// Balance of each speaker's rays; empty without rays.
    rays: Vec<RayBalance>,
    /// Frequency below which energy-time curves are those of the wave field; null where they are those
    /// of images and rays throughout.
    crossover_hz: Option<Rounded<1>>,
    zones: Zones,
    statistics: Statistics,
}

#[derive(Debug, Serialize, JsonSchema)]
struct AirRow {
    speed_of_sound_m_s: Rounded<3>,
    /// Attenuation per band.
    attenuation_db_per_m: PerBand<Rounded<6>>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct PairRow {
    speaker: String,
    listener: String,
    direct: DirectSound,
    /// Reflections in the order of time.
    reflections: Vec<ReflectionRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    energy_time: Option<EnergyTimeCurve>,
    /// Decay of the whole response; null without rays.
    decay: Option<Decay>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decay_reason: Option<&'static str>,
}

/// Direct sound; azimuth is positive to the left, elevation upward, as the listener faces.
#[derive(Debug, Serialize, JsonSchema)]
struct DirectSound {
    distance_m: Metres,
    /// Time of travel.
    time_ms: Milliseconds,
    azimuth_deg: Degrees,
    elevation_deg: Degrees,
    /// Whether something stands in the way.
    shadowed: bool,
    /// Level per band against the same speaker at 1 m on its axis in a free field; null where no sound
    /// arrives.
    band_level_db: PerBand<Decibels>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_reason: Option<&'static str>,
}

/// Reflection; azimuth is positive to the left, elevation upward, as the listener faces.
#[derive(Debug, Serialize, JsonSchema)]
struct ReflectionRow {
    /// Its number at the seat, as in every list and picture.
    number: usize,
    /// Number of surfaces it meets.
    order: usize,
    /// Those surfaces, from speaker to listener.
    surfaces: Vec<String>,
    /// Points where it meets them, from front wall, left wall and floor.
    points_m: Vec<[Metres; 3]>,
    /// Length of the whole path.
    distance_m: Metres,
    /// Delay against the direct sound.
    after_direct_ms: Milliseconds,
    /// Level over 1-8 kHz against the unobstructed direct sound; null where no sound arrives.
    level_db: Decibels,
    /// Level per band against the unobstructed direct sound; null where no sound arrives.
    band_level_db: PerBand<Decibels>,
    azimuth_deg: Degrees,
    elevation_deg: Degrees,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_reason: Option<&'static str>,
}

/// Energy-time curve from emission on: levels against the unobstructed direct sound in the same band,
/// down to -120 dB.
#[derive(Debug, Serialize, JsonSchema)]
struct EnergyTimeCurve {
    step_ms: Milliseconds,
    start_ms: Milliseconds,
    /// Time up to which no sound is missing.
    complete_until_ms: Milliseconds,
    /// Levels over 1-8 kHz.
    level_db: Vec<Rounded<2>>,
    /// Levels in each band.
    band_level_db: Vec<Vec<Rounded<2>>>,
    /// Absent where no rays are part of the curve.
    #[serde(skip_serializing_if = "Option::is_none")]
    uncertainty: Option<CurveUncertainty>,
}

/// One standard error of the energy behind a curve, in decibels; null where nothing arrives.
#[derive(Debug, Serialize, JsonSchema)]
struct CurveUncertainty {
    step_ms: Milliseconds,
    start_ms: Milliseconds,
    level_db: Vec<Option<Rounded<2>>>,
    band_level_db: Vec<Vec<Option<Rounded<2>>>>,
}

impl TraceDocument {
    /// The document of a trace.
    pub(crate) fn new(report: &TraceReport<'_>) -> Self {
        let TraceReport { scene, state, trace, decay, .. } = *report;
        let of_pair = |index: usize| decay.and_then(|decay| decay.pairs.get(index));
        let pairs = trace.pairs.iter().enumerate();
        let speakers = decay.map_or(&[][..], |decay| decay.speakers.as_slice());
        Self {
            head: Head::new("earline.trace/1", scene, state.name),
            bands_hz: NOMINAL_HZ,
            air: AirRow {
                speed_of_sound_m_s: trace.speed_of_sound_m_s.into(),
                attenuation_db_per_m: trace.attenuation_db_per_m.map(Rounded::from),
            },
            pairs: pairs.map(|(index, pair)| PairRow::new(report, pair, of_pair(index))).collect(),
            rays: speakers.iter().map(|found| RayBalance::new(scene, found)).collect(),
            crossover_hz: report.crossover_hz.map(Rounded::from),
            zones: Zones::new(scene, report.zone_plan, report.zones),
            statistics: Statistics::new(&report.formula_comparison.statistics),
        }
    }
}

impl PairRow {
    fn new(report: &TraceReport<'_>, pair: &PairSimulation, decay: Option<&PairDecay>) -> Self {
        let scene = report.scene;
        Self {
            speaker: speaker_name(scene, pair.speaker),
            listener: listener_name(scene, pair.listener),
            direct: DirectSound::new(&pair.direct),
            reflections: numbering::of_pair(report.trace, pair)
                .into_iter()
                .map(|n| ReflectionRow::new(scene, &n))
                .collect(),
            energy_time: pair.energy_time().map(EnergyTimeCurve::new),
            decay_reason: decay.is_none().then_some(NO_DECAY),
            decay: decay
                .map(|decay| Decay::new(scene, report.formula_comparison, report.criterion, decay)),
        }
    }
}

impl DirectSound {
    fn new(direct: &Direct) -> Self {
        let band_level_db = direct.band_level_db.map(decibels);
        Self {
            distance_m: metres(direct.distance_m),
            time_ms: milliseconds(direct.time_s),
            azimuth_deg: degrees(direct.azimuth_deg),
            elevation_deg: degrees(direct.elevation_deg),
            shadowed: direct.occluded,
            level_reason: level_reason(&band_level_db),
            band_level_db,
        }
    }
}

impl ReflectionRow {
    fn new(scene: &Scene, numbered: &Numbered<'_>) -> Self {
        let reflection = numbered.reflection;
        let bounces = &reflection.arrival.bounces;
        let band_level_db = reflection.band_level_db.map(decibels);
        Self {
            number: numbered.number,
            order: bounces.len(),
            surfaces: surfaces(scene, bounces),
            points_m: bounces.iter().map(|bounce| point(bounce.point)).collect(),
            distance_m: metres(reflection.arrival.distance_m),
            after_direct_ms: milliseconds(reflection.delay_s),
            level_db: decibels(reflection.level_db),
            azimuth_deg: degrees(reflection.azimuth_deg),
            elevation_deg: degrees(reflection.elevation_deg),
            level_reason: level_reason(&band_level_db),
            band_level_db,
        }
    }
}

/// Reason of the nulls among levels, where there are any.
fn level_reason(band_level_db: &PerBand<Decibels>) -> Option<&'static str> {
    band_level_db.iter().any(|level| level.is_silent()).then_some(NO_SOUND)
}

impl EnergyTimeCurve {
    fn new(curve: &EnergyTime) -> Self {
        let levels = |levels: &Vec<f64>| levels.iter().copied().map(Rounded::from).collect();
        Self {
            step_ms: milliseconds(curve.step_s),
            start_ms: milliseconds(curve.start_s),
            complete_until_ms: milliseconds(curve.complete_s),
            level_db: levels(&curve.level_db),
            band_level_db: curve.band_level_db.iter().map(levels).collect(),
            uncertainty: curve.error.as_ref().map(CurveUncertainty::new),
        }
    }
}

impl CurveUncertainty {
    fn new(error: &CurveError) -> Self {
        let errors = |errors: &Vec<Option<f64>>| {
            errors.iter().map(|error| error.map(Rounded::from)).collect()
        };
        Self {
            step_ms: milliseconds(error.step_s),
            start_ms: milliseconds(error.start_s),
            level_db: errors(&error.level_db),
            band_level_db: error.band_level_db.iter().map(errors).collect(),
        }
    }
}
