//! The reflection that stands out at a seat, in a document.

use super::round;
use crate::format::labels;
use earline_engine::analysis::compare::StrongestReflection;
use earline_engine::scene::Scene;
use serde::Serialize;

/// The strongest early reflection.
#[derive(Debug, Serialize)]
pub(super) struct LoudestRow {
    speaker: String,
    surfaces: Vec<String>,
    after_direct_ms: f64,
    level_db: Option<f64>,
}

impl LoudestRow {
    pub(super) fn new(scene: &Scene, found: &StrongestReflection) -> Self {
        let speaker = scene.speakers().get(found.speaker);
        Self {
            speaker: speaker.map_or_else(String::new, |speaker| speaker.name.clone()),
            surfaces: found.bounces.iter().map(|bounce| labels::wire(scene, bounce)).collect(),
            after_direct_ms: round::milliseconds(found.delay_s),
            level_db: round::decibels(found.level_db),
        }
    }
}
