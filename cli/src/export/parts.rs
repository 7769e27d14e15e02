//! Parts that several documents have in common.

use super::round::{Decibels, Metres, Milliseconds, decibels, metres, milliseconds};
use crate::format::labels;
use earline_engine::analysis::compare::StrongestReflection;
use earline_engine::image_source::Bounce;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria;
use earline_engine::scene::{self, ListenerId, Scene, SpeakerId};
use schemars::JsonSchema;
use serde::Serialize;

/// Beginning of a document about one state of a scene.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Head {
    /// Name and version of the document.
    schema: &'static str,
    /// Title of the scene.
    scene: String,
    /// Variant of the scene; null where everything is in the room.
    variant: Option<String>,
}

/// Inner size of the room.
#[expect(clippy::struct_field_names, reason = "keys of a document carry their unit")]
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct RoomSize {
    length_m: Metres,
    width_m: Metres,
    height_m: Metres,
}

/// Published limit of early reflections.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct EarlyLimit {
    /// Name of the limit on the command line.
    key: &'static str,
    /// Document that gives it.
    document: &'static str,
    /// Level against the direct sound.
    level_db: f64,
    /// Time after the direct sound within which it holds.
    window_ms: Milliseconds,
}

/// A reflection without its geometry.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct LoudReflection {
    pub(super) speaker: String,
    /// Surfaces it meets, from speaker to listener.
    pub(super) surfaces: Vec<String>,
    /// Delay against the direct sound.
    pub(super) after_direct_ms: Milliseconds,
    /// Level against the direct sound over 1-8 kHz; null where no sound arrives.
    pub(super) level_db: Decibels,
}

/// A figure that cannot be given in some bands, and why.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct MissingFigure {
    /// Key of the figure.
    figure: &'static str,
    /// Octave bands in which it is missing.
    bands_hz: Vec<f64>,
    reason: String,
}

impl Head {
    pub(super) fn new(schema: &'static str, scene: &Scene, variant: Option<&str>) -> Self {
        Self { schema, scene: scene.title().to_owned(), variant: variant.map(str::to_owned) }
    }
}

impl RoomSize {
    pub(super) fn new(room: &scene::Room) -> Self {
        Self {
            length_m: metres(room.length_m),
            width_m: metres(room.width_m),
            height_m: metres(room.height_m),
        }
    }
}

impl EarlyLimit {
    pub(super) fn new(limit: &criteria::EarlyLimit) -> Self {
        Self {
            key: limit.key,
            document: limit.document,
            level_db: limit.level_db(),
            window_ms: milliseconds(limit.window_s()),
        }
    }
}

impl LoudReflection {
    /// A reflection of a speaker with its delay and level.
    pub(super) fn new(
        scene: &Scene,
        speaker: SpeakerId,
        bounces: &[Bounce],
        delay_s: f64,
        level_db: f64,
    ) -> Self {
        Self {
            speaker: speaker_name(scene, speaker),
            surfaces: surfaces(scene, bounces),
            after_direct_ms: milliseconds(delay_s),
            level_db: decibels(level_db),
        }
    }
}

/// The strongest early reflection that a search gives.
pub(super) fn loud_reflection(scene: &Scene, found: &StrongestReflection) -> LoudReflection {
    let StrongestReflection { speaker, bounces, delay_s, level_db, .. } = found;
    LoudReflection::new(scene, *speaker, bounces, *delay_s, *level_db)
}

/// Figures that are missing, given as figure, band and reason; neighbouring bands of one figure with
/// one reason together.
pub(super) fn missing_figures(
    missing: impl IntoIterator<Item = (&'static str, usize, String)>,
) -> Vec<MissingFigure> {
    let mut all: Vec<MissingFigure> = Vec::new();
    for (figure, band, reason) in missing {
        let hz = NOMINAL_HZ[band];
        match all.last_mut() {
            Some(last) if last.figure == figure && last.reason == reason => last.bands_hz.push(hz),
            _ => all.push(MissingFigure { figure, bands_hz: vec![hz], reason }),
        }
    }
    all
}

/// Surfaces that a path meets, from speaker to listener, by the names of machine output.
pub(crate) fn surfaces(scene: &Scene, bounces: &[Bounce]) -> Vec<String> {
    bounces.iter().map(|bounce| labels::wire(scene, bounce)).collect()
}

/// Name of a speaker.
pub(super) fn speaker_name(scene: &Scene, id: SpeakerId) -> String {
    scene[id].name.clone()
}

/// Name of a listener.
pub(super) fn listener_name(scene: &Scene, id: ListenerId) -> String {
    scene[id].name.clone()
}

/// A point in the room, from front wall, left wall and floor.
pub(super) fn point(at: glam::DVec3) -> [Metres; 3] {
    at.to_array().map(metres)
}
