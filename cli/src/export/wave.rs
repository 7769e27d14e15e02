//! Sound spreading as a document, `earline.wave/1`.

use super::{round, wire_surfaces};
use crate::content::wavefront::{RATE, Shot, WavefrontView, file_name};
use crate::format::labels;
use earline_engine::analysis::wavefront::{Cut, Front, Happening, Moment, What, Which};
use earline_engine::geometry::FaceId;
use earline_engine::image_source::Bounce;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::scene::Scene;
use glam::DVec3;
use rayon::prelude::*;
use serde::Serialize;

const SCHEMA: &str = "earline.wave/1";

#[derive(Debug, Serialize)]
pub(crate) struct WaveDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    speaker: String,
    speaker_at_m: [f64; 3],
    speed_of_sound_m_s: Option<f64>,
    slow: u32,
    pictures_per_second: u32,
    pictures: usize,
    until_ms: f64,
    /// The octave band of the colours; null for the mean of 1–8 kHz.
    band_hz: Option<f64>,
    /// What is not in it.
    left_out: [&'static str; 2],
    cuts: Vec<CutRow>,
    happenings: Vec<HappeningRow>,
}

#[derive(Debug, Serialize)]
struct CutRow {
    cut: &'static str,
    file: String,
    /// Where it lies: of a plan above the floor, of a section from the left wall.
    above_floor_m: Option<f64>,
    from_left_m: Option<f64>,
    moments: Vec<MomentRow>,
}

/// What stands in the cut at a whole millisecond.
#[derive(Debug, Serialize)]
struct MomentRow {
    time_ms: f64,
    distance_m: f64,
    fronts: usize,
    length_m: f64,
    loudest_db: Option<f64>,
}

#[derive(Debug, Serialize)]
struct HappeningRow {
    time_ms: f64,
    distance_m: f64,
    film_s: f64,
    what: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    listener: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shadowed: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    surfaces: Option<Vec<String>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_db: Option<f64>,
}

impl WaveDocument {
    /// The document of a film.
    pub(crate) fn new(filmed: &WavefrontView<'_>) -> Self {
        let film = &filmed.film;
        let first = filmed.shots.first();
        Self {
            schema: SCHEMA,
            scene: filmed.scene.title().to_owned(),
            variant: filmed.state.name.map(str::to_owned),
            speaker: filmed.speaker_name().to_owned(),
            speaker_at_m: filmed.scene.speakers()[filmed.speaker].at.to_array().map(round::metres),
            speed_of_sound_m_s: first.map(|shot| round::to(shot.wave.speed_of_sound_m_s(), 3)),
            slow: film.slow,
            pictures_per_second: RATE,
            pictures: film.pictures(),
            until_ms: round::to(film.moment_ms(film.pictures()), 4),
            band_hz: film.band.map(|band| NOMINAL_HZ[band]),
            left_out: ["bending round edges", "scattering"],
            cuts: filmed.shots.iter().map(|shot| CutRow::new(filmed, shot)).collect(),
            happenings: filmed.happenings.iter().map(|h| HappeningRow::new(filmed, h)).collect(),
        }
    }
}

impl CutRow {
    fn new(filmed: &WavefrontView<'_>, shot: &Shot<'_>) -> Self {
        let wave = &shot.wave;
        let offset_m = Some(round::metres(wave.offset_m()));
        let (cut, above_floor_m, from_left_m) = match wave.cut() {
            Cut::Plan => ("plan", offset_m, None),
            Cut::Section => ("section", None, offset_m),
        };
        // Every whole millisecond; --until goes to 200.
        let last_ms = filmed.film.moment_ms(filmed.film.pictures()) + 1e-9;
        let all: Vec<u32> = (1..=1000).take_while(|ms| f64::from(*ms) <= last_ms).collect();
        let moment = |ms: u32| MomentRow::new(filmed, &wave.at(f64::from(ms) / 1e3));
        Self {
            cut,
            file: format!("{}.gif", file_name(wave.cut())),
            above_floor_m,
            from_left_m,
            moments: all.into_par_iter().map(moment).collect(),
        }
    }
}

impl MomentRow {
    fn new(filmed: &WavefrontView<'_>, moment: &Moment) -> Self {
        let points = moment.fronts.iter().flat_map(|front| &front.points);
        let levels = points.map(|point| filmed.film.level_db(&point.band_energy));
        Self {
            time_ms: round::milliseconds(moment.time_s),
            distance_m: round::metres(moment.distance_m),
            fronts: moment.fronts.len(),
            length_m: round::to(moment.fronts.iter().map(Front::length_m).sum(), 2),
            loudest_db: round::decibels(levels.fold(f64::NEG_INFINITY, f64::max)),
        }
    }
}

impl HappeningRow {
    fn new(filmed: &WavefrontView<'_>, happening: &Happening) -> Self {
        let scene = filmed.scene;
        let seat = |listener: usize| Some(scene.listeners()[listener].name.clone());
        let bare = Self {
            time_ms: round::milliseconds(happening.time_s),
            distance_m: round::metres(happening.distance_m),
            film_s: round::to(filmed.film.second(1e3 * happening.time_s), 3),
            what: "meets",
            of: None,
            listener: None,
            shadowed: None,
            surfaces: None,
            level_db: None,
        };
        match &happening.what {
            What::Meets(face) => Self { of: Some(met(scene, *face)), ..bare },
            What::Passes { listener, shadowed } => Self {
                what: "passes",
                listener: seat(*listener),
                shadowed: Some(*shadowed),
                ..bare
            },
            What::Reflects { listener, which, arrival, level_db } => Self {
                what: match which {
                    Which::First => "first reflection",
                    Which::Loudest => "loudest reflection",
                    Which::FirstAndLoudest => "first and loudest reflection",
                },
                listener: seat(*listener),
                surfaces: Some(wire_surfaces(scene, &arrival.bounces)),
                level_db: round::decibels(*level_db),
                ..bare
            },
        }
    }
}

/// What is met, by the names of machine output.
fn met(scene: &Scene, face: FaceId) -> String {
    let touch = Bounce { face, panel: None, point: DVec3::ZERO, cos_incidence: 1.0, beside_m: 0.0 };
    labels::wire(scene, &touch)
}
