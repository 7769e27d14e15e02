//! Comparison of heights at which the speakers of a pair can be set.
//!
//! A room is heard seated and standing; reference points are level with one height of ears, or lie
//! between both. Every option is traced: direct sound by the speaker's directivity toward each height of ears,
//! and the room's first reflections there.

mod ear_positions;
mod early_sound;
mod option;
mod plan;

pub use ear_positions::{EarPosition, ear_positions};
pub use early_sound::{EARLY_S, EarlySound};
pub use option::{HeightOption, HeightRule};
pub use plan::HeightPlan;

use crate::scene::{Attachments, Scene};
use early_sound::early_sound;

/// Early sound of a pair at one height, at every height of ears.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightResult {
    /// The height option.
    pub choice: HeightOption,
    /// For each height of ears, in their order; or the reason why the pair cannot stand there.
    pub early: Result<Vec<EarlySound>, String>,
}

/// The choices of a pair.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightComparison {
    /// The seated ears, then the standing ones.
    pub ears: [EarPosition; 2],
    /// As in the scene, level with either height of ears, and between.
    pub choices: Vec<HeightResult>,
}

impl HeightResult {
    /// Coloration of the direct sound over both heights of ears, decibels: the mean of
    /// [`EarlySound::direct_coloration_db`], weighted with the time spent at each.
    pub fn weighted_direct_db(&self, seated_share: f64) -> Option<f64> {
        self.weighted(seated_share, |early| early.direct_coloration_db)
    }

    /// Coloration of direct sound and first reflections together over both heights of ears, decibels:
    /// the mean of [`EarlySound::early_coloration_db`], weighted with the time spent at each.
    pub fn weighted_early_db(&self, seated_share: f64) -> Option<f64> {
        self.weighted(seated_share, |early| early.early_coloration_db)
    }

    fn weighted(&self, seated_share: f64, of: impl Fn(&EarlySound) -> f64) -> Option<f64> {
        match self.early.as_deref() {
            Ok([seated, standing]) => {
                Some(seated_share * of(seated) + (1.0 - seated_share) * of(standing))
            }
            _ => None,
        }
    }
}

/// Traces a pair at each of the heights it could stand at; `None` where there are not two heights of
/// ears to choose between, because nobody can stand up under this ceiling, or the plan names nothing
/// that the scene has.
pub fn compare_heights(
    scene: &Scene,
    attachments: &dyn Attachments,
    plan: &HeightPlan<'_>,
) -> Option<HeightComparison> {
    let ears = ear_positions(scene, plan.listeners)?;
    if plan.pair.iter().any(|&id| scene.speaker(id).is_none()) {
        return None;
    }
    let choices = HeightOption::all(scene, plan, &ears).into_iter().map(|choice| HeightResult {
        early: early_sound(scene, attachments, plan, &ears, &choice),
        choice,
    });
    Some(HeightComparison { choices: choices.collect(), ears })
}
