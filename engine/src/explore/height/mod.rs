//! What it costs to set the speakers level with one pair of ears or another.
//!
//! A room is heard seated and standing; reference points are level with one height of ears, or lie
//! between both. Every choice is traced: what the drivers and the cabinet send toward each height,
//! and what the room's first reflections make of it there. None of it is asserted.

mod ear_positions;
mod early_sound;
mod option;

pub use ear_positions::{EarPosition, ear_positions};
pub use early_sound::{EARLY_S, EarlySound};
pub use option::{HeightOption, HeightRule};

use crate::scene::{Attachments, Scene};
use early_sound::early_sound;

/// Whose heights to look at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightPlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// Indices of the two speakers of a pair, in [`Scene::speakers`].
    pub pair: [usize; 2],
    /// Indices of the listeners, in [`Scene::listeners`]; the first says where the seat is.
    pub listeners: &'a [usize],
    /// Share of the time spent seated, 0 to 1.
    pub seated_share: f64,
}

/// What a pair set at one height gives at every height of ears.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightResult {
    /// How it is set.
    pub choice: HeightOption,
    /// For each height of ears, in their order; or why the pair cannot stand there.
    pub early: Result<Vec<EarlySound>, String>,
}

/// The choices of a pair.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightComparison {
    /// The seated ears, then the standing ones.
    pub ears: [EarPosition; 2],
    /// As the scene has it, level with either, and between.
    pub choices: Vec<HeightResult>,
}

impl HeightResult {
    /// Colour of the direct sound over both heights of ears, decibels: the mean of
    /// [`EarlySound::direct_coloration_db`], weighted with the time spent at each.
    pub fn weighted_direct_db(&self, seated_share: f64) -> Option<f64> {
        self.weighted(seated_share, |early| early.direct_coloration_db)
    }

    /// The same of direct sound and first reflections together.
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
    if plan.pair.iter().any(|&speaker| scene.speakers().len() <= speaker) {
        return None;
    }
    let choices = HeightOption::all(scene, plan, &ears).into_iter().map(|choice| HeightResult {
        early: early_sound(scene, attachments, plan, &ears, &choice),
        choice,
    });
    Some(HeightComparison { choices: choices.collect(), ears })
}
