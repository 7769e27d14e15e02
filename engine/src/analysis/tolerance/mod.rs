//! Placement tolerance: the largest error of a mark that leaves all reported figures unchanged.
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

/// Variant, speakers, listeners and thresholds of a tolerance analysis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TolerancePlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// Indices of the speakers, in [`Scene::speakers`].
    pub speakers: &'a [usize],
    /// Indices of the listeners, in [`Scene::listeners`].
    pub listeners: &'a [usize],
    /// Thresholds of change.
    pub thresholds: Thresholds,
}

/// Tolerance of one mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    /// The mark.
    pub of: MarkTarget,
    /// Along the room, across it, and up, in this order.
    pub axes: [AxisTolerance; 3],
}

/// Tolerance of a mark along one axis, either way.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisTolerance {
    /// The largest of [`STEPS_M`] at which nothing has changed yet; 0 when the first is too much.
    pub allowed_m: f64,
    /// The first change, at the next step; `None` where no step causes one.
    pub first: Option<Change>,
}

/// Steps of a mark, metres: a pencil line, then as a tape is read.
pub const STEPS_M: [f64; 12] =
    [0.002, 0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.05, 0.075, 0.1, 0.15, 0.2];

/// Tolerance of each mark of these speakers and listeners; speakers first, in the plan's order.
/// Indices that the scene does not have are passed over.
///
/// # Errors
/// Reason why the scene cannot be traced as it stands: it has no such variant.
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
