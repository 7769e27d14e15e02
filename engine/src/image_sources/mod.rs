//! Image sources: every specular path from a speaker to a listener.
//!
//! Two enumerations give the same [`Path`]s: the [`lattice`] of a bare box in closed form, to any
//! order, and the [`tree`] over any faces, to a modest one. [`enumerate`] takes what the room needs.

mod arrival;
mod energy;
mod finite;
pub mod lattice;
mod path;
pub mod tree;

pub use arrival::{Arrival, Bounce, Ear};
pub use energy::{EnergyPlan, box_energy};
pub use lattice::Reach;
pub use path::{Path, Touch};
pub use tree::Rims;

use crate::enclosure::Enclosure;
use glam::DVec3;

/// Every unobstructed path from a speaker to a listener no longer than `distance_m`, the direct
/// one included, sorted by length.
///
/// Paths over the six surfaces are complete to any order. Where screens or furniture are in the
/// room, paths that touch them are followed to `inner_order` bounces; up to there `rims` says where
/// they end, and beyond it they end sharply.
pub fn enumerate(
    enclosure: &Enclosure,
    speaker: DVec3,
    listener: DVec3,
    inner_order: usize,
    distance_m: f64,
    rims: Rims,
) -> Vec<Path> {
    let every_order = Reach { order: usize::MAX, distance_m };
    let over_surfaces = lattice::paths(enclosure.room(), speaker, listener, every_order);
    let faces = enclosure.faces();
    if faces.is_bare_box() {
        return over_surfaces;
    }
    let mut paths =
        tree::paths(faces, speaker, listener, Reach { order: inner_order, distance_m }, rims);
    let longer = over_surfaces
        .into_iter()
        .filter(|path| path.touches.len() > inner_order && path.is_clear(faces, speaker, listener));
    paths.extend(longer);
    path::sort_and_single(paths, listener)
}
