//! What it costs to set the speakers level with one pair of ears or another.
//!
//! A room is heard seated and standing; reference points are level with one height of ears, or lie
//! between both. Every choice is traced: what the drivers and the cabinet send toward each height,
//! and what the room's first reflections make of it there. None of it is asserted.

mod choice;
mod ears;
mod heard;

pub use choice::{Choice, SetAt};
pub use ears::{EarHeight, ear_heights};
pub use heard::{EARLY_S, Heard};

use crate::scene::{Attachments, Scene};
use heard::heard;

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
pub struct AtHeight {
    /// How it is set.
    pub choice: Choice,
    /// For each height of ears, in their order; or why the pair cannot stand there.
    pub heard: Result<Vec<Heard>, String>,
}

/// The choices of a pair.
#[derive(Debug, Clone, PartialEq)]
pub struct Heights {
    /// The seated ears, then the standing ones.
    pub ears: [EarHeight; 2],
    /// As the scene has it, level with either, and between.
    pub choices: Vec<AtHeight>,
}

impl AtHeight {
    /// Colour of the direct sound over both heights of ears, decibels: the mean of
    /// [`Heard::direct_colour_db`], weighted with the time spent at each.
    pub fn weighted_direct_db(&self, seated_share: f64) -> Option<f64> {
        self.weighted(seated_share, |heard| heard.direct_colour_db)
    }

    /// The same of direct sound and first reflections together.
    pub fn weighted_early_db(&self, seated_share: f64) -> Option<f64> {
        self.weighted(seated_share, |heard| heard.early_colour_db)
    }

    fn weighted(&self, seated_share: f64, of: impl Fn(&Heard) -> f64) -> Option<f64> {
        match self.heard.as_deref() {
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
pub fn heights(
    scene: &Scene,
    attachments: &dyn Attachments,
    plan: &HeightPlan<'_>,
) -> Option<Heights> {
    let ears = ear_heights(scene, plan.listeners)?;
    if plan.pair.iter().any(|&speaker| scene.speakers().len() <= speaker) {
        return None;
    }
    let choices = Choice::all(scene, plan, &ears)
        .into_iter()
        .map(|choice| AtHeight { heard: heard(scene, attachments, plan, &ears, &choice), choice });
    Some(Heights { choices: choices.collect(), ears })
}
