//! How far a mark may be off before something that is reported changes.
//!
//! Every mark is moved along the tape's three directions, both ways, in growing steps; the scene is
//! read and traced again at each, until a figure has changed by more than its threshold. That is a
//! re-run and no derivative: it also sees a panel's edge or a wall coming near.

mod change;
mod perturbation;

pub use change::{Change, Thresholds};

use crate::analysis::setting_out::MarkTarget;
use crate::scene::{Attachments, Scene};
use glam::DVec3;
use perturbation::MarkPerturbation;
use rayon::prelude::*;

/// What to look at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TolerancePlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// Indices of the speakers, in [`Scene::speakers`].
    pub speakers: &'a [usize],
    /// Indices of the listeners, in [`Scene::listeners`].
    pub listeners: &'a [usize],
    /// What counts as a change.
    pub thresholds: Thresholds,
}

/// How far one mark may be off.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    /// The mark.
    pub of: MarkTarget,
    /// Along the room, across it, and up, in this order.
    pub axes: [AxisTolerance; 3],
}

/// How far a mark may be off along one direction, either way.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisTolerance {
    /// The largest of [`STEPS_M`] at which nothing has changed yet; 0 when the first is too much.
    pub allowed_m: f64,
    /// What changes first, at the next step; `None` where nothing does over all of them.
    pub first: Option<Change>,
}

/// Steps of a mark, metres: a pencil line, then as a tape is read.
pub const STEPS_M: [f64; 12] =
    [0.002, 0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.05, 0.075, 0.1, 0.15, 0.2];

/// How far each mark of these speakers and listeners may be off; speakers first, in the plan's order.
/// Indices that the scene does not have are passed over.
///
/// # Errors
/// Why the scene cannot be traced as it stands: it has no such state.
pub fn tolerances(
    scene: &Scene,
    attachments: &(dyn Attachments + Sync),
    plan: &TolerancePlan<'_>,
) -> Result<Vec<Tolerance>, String> {
    let speakers = plan.speakers.iter().filter(|&&index| index < scene.speakers().len());
    let listeners = plan.listeners.iter().filter(|&&index| index < scene.listeners().len());
    let marks: Vec<MarkTarget> = speakers
        .map(|&index| MarkTarget::Speaker(index))
        .chain(listeners.map(|&index| MarkTarget::Listener(index)))
        .collect();
    let perturbation = |&of: &MarkTarget| {
        let perturbation = MarkPerturbation { scene, attachments, plan, of };
        let as_set = perturbation.figures(DVec3::ZERO)?;
        Ok(Tolerance { of, axes: DVec3::AXES.map(|way| perturbation.axis_tolerance(way, &as_set)) })
    };
    marks.par_iter().map(perturbation).collect()
}
