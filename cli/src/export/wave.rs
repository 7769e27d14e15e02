//! The document of spreading sound, `earline.wave/1`.

use super::parts::{Head, listener_name, point, surfaces};
use super::round::{Decibels, Metres, Milliseconds, Rounded, decibels, metres, milliseconds};
use crate::content::wavefront::{RATE, Shot, WavefrontView, file_name};
use crate::format::labels;
use earline_engine::analysis::wavefront::{
    CutPlane, Event, EventKind, Frame, ReflectionRank, Wavefront,
};
use earline_engine::geometry::FaceId;
use earline_engine::image_source::Bounce;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::scene::Scene;
use glam::DVec3;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

/// Wavefronts of one speaker's sound as it spreads.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct WaveDocument {
    #[serde(flatten)]
    head: Head,
    speaker: String,
    speaker_at_m: [Metres; 3],
    /// Null without a cut.
    speed_of_sound_m_s: Option<Rounded<3>>,
    /// Times slower than life.
    slow: u32,
    pictures_per_second: u32,
    pictures: usize,
    /// Time since emission of the last picture.
    until_ms: Rounded<4>,
    /// Octave band of the colours; null for the mean of 1-8 kHz.
    band_hz: Option<f64>,
    /// Effects that the pictures leave out.
    left_out: [&'static str; 2],
    cuts: Vec<CutRow>,
    /// Events in the order of time.
    happenings: Vec<WaveEvent>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct CutRow {
    #[schemars(extend("enum" = ["plan", "section"]))]
    cut: &'static str,
    file: String,
    /// Height of a plan; null for a section.
    above_floor_m: Option<Metres>,
    /// Distance of a section from the left wall; null for a plan.
    from_left_m: Option<Metres>,
    /// State at every whole millisecond.
    moments: Vec<MomentRow>,
}

/// Wavefronts in a cut at a time since emission.
#[derive(Debug, Serialize, JsonSchema)]
struct MomentRow {
    time_ms: Milliseconds,
    /// Way of the sound since emission.
    distance_m: Metres,
    /// Number of wavefronts.
    fronts: usize,
    /// Length of all of them in the cut.
    length_m: Rounded<2>,
    /// Level of the loudest point against the speaker at 1 m on its axis; null where no sound is.
    loudest_db: Decibels,
}

#[derive(Debug, Serialize, JsonSchema)]
struct WaveEvent {
    /// Time since emission.
    time_ms: Milliseconds,
    /// Way of the sound since emission.
    distance_m: Metres,
    /// Second of the animation.
    film_s: Rounded<3>,
    #[schemars(extend("enum" = ["meets", "passes", "first reflection", "loudest reflection",
        "first and loudest reflection"]))]
    what: &'static str,
    /// Surface that the sound meets.
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    listener: Option<String>,
    /// Whether something stands in the way of the direct sound that passes.
    #[serde(skip_serializing_if = "Option::is_none")]
    shadowed: Option<bool>,
    /// Surfaces that the reflection meets.
    #[serde(skip_serializing_if = "Option::is_none")]
    surfaces: Option<Vec<String>>,
    /// Level of the reflection against the direct sound; absent where no sound arrives.
    #[serde(skip_serializing_if = "Option::is_none")]
    level_db: Option<Decibels>,
}

impl WaveDocument {
    /// The document of an animation.
    pub(crate) fn new(filmed: &WavefrontView<'_>) -> Self {
        let (scene, film) = (filmed.scene, &filmed.film);
        let first = filmed.shots.first();
        Self {
            head: Head::new("earline.wave/1", scene, filmed.state.name),
            speaker: filmed.speaker_name().to_owned(),
            speaker_at_m: point(scene[filmed.speaker].at),
            speed_of_sound_m_s: first.map(|shot| shot.wave.speed_of_sound_m_s().into()),
            slow: film.slow,
            pictures_per_second: RATE,
            pictures: film.pictures(),
            until_ms: film.moment_ms(film.pictures()).into(),
            band_hz: film.band.map(|band| NOMINAL_HZ[band]),
            left_out: ["bending round edges", "scattering"],
            cuts: filmed.shots.iter().map(|shot| CutRow::new(filmed, shot)).collect(),
            happenings: filmed.happenings.iter().map(|h| WaveEvent::new(filmed, h)).collect(),
        }
    }
}

impl CutRow {
    fn new(filmed: &WavefrontView<'_>, shot: &Shot<'_>) -> Self {
        let wave = &shot.wave;
        let offset_m = Some(metres(wave.offset_m()));
        let (cut, above_floor_m, from_left_m) = match wave.cut() {
            CutPlane::Plan => ("plan", offset_m, None),
            CutPlane::Section => ("section", None, offset_m),
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
    fn new(filmed: &WavefrontView<'_>, moment: &Frame) -> Self {
        let points = moment.fronts.iter().flat_map(|front| &front.points);
        let levels = points.map(|point| filmed.film.level_db(&point.band_energy));
        Self {
            time_ms: milliseconds(moment.time_s),
            distance_m: metres(moment.distance_m),
            fronts: moment.fronts.len(),
            length_m: moment.fronts.iter().map(Wavefront::length_m).sum::<f64>().into(),
            loudest_db: decibels(levels.fold(f64::NEG_INFINITY, f64::max)),
        }
    }
}

impl WaveEvent {
    fn new(filmed: &WavefrontView<'_>, happening: &Event) -> Self {
        let scene = filmed.scene;
        let bare = Self {
            time_ms: milliseconds(happening.time_s),
            distance_m: metres(happening.distance_m),
            film_s: filmed.film.second(1e3 * happening.time_s).into(),
            what: "meets",
            of: None,
            listener: None,
            shadowed: None,
            surfaces: None,
            level_db: None,
        };
        match &happening.kind {
            EventKind::StrikesSurface(face) => Self { of: Some(face_name(scene, *face)), ..bare },
            EventKind::DirectReachesListener { listener, shadowed } => Self {
                what: "passes",
                listener: Some(listener_name(scene, *listener)),
                shadowed: Some(*shadowed),
                ..bare
            },
            EventKind::ReflectionReachesListener { listener, rank: which, arrival, level_db } => {
                Self {
                    what: match which {
                        ReflectionRank::First => "first reflection",
                        ReflectionRank::Loudest => "loudest reflection",
                        ReflectionRank::FirstAndLoudest => "first and loudest reflection",
                    },
                    listener: Some(listener_name(scene, *listener)),
                    surfaces: Some(surfaces(scene, &arrival.bounces)),
                    level_db: level_db.is_finite().then(|| decibels(*level_db)),
                    ..bare
                }
            }
        }
    }
}

/// A face by the names of machine output.
fn face_name(scene: &Scene, face: FaceId) -> String {
    let touch =
        Bounce { face, panel: None, point: DVec3::ZERO, cos_incidence: 1.0, outside_m: 0.0 };
    labels::wire(scene, &touch)
}
