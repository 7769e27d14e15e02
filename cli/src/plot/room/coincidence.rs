//! What lies on each other in a view: the paths of mirrored speakers from the side, and bounces above one another
//! from above.

use crate::plot::data::input::{Hit, Input, Path};
use crate::plot::room::projection::{Side, View};
use glam::DVec3;

/// Nearer than this two points of a view are one, metres.
const ALIKE_M: f64 = 0.01;
/// Marks of bounces nearer than this cover each other, metres.
const COVERING_M: f64 = 0.05;

/// Whether from the side a path runs where another speaker's does.
pub(crate) fn is_shared_path(view: &View, input: &Input, paths: &[&Path], path: &Path) -> bool {
    let points = |path: &Path| -> Vec<DVec3> {
        let speaker = input.speakers.get(path.speaker).map(|speaker| speaker.at);
        speaker.into_iter().chain(path.bounces.iter().map(|bounce| bounce.point)).collect()
    };
    let own = points(path);
    let is_same = |other: &Path| {
        let other = points(other);
        own.len() == other.len() && own.iter().zip(&other).all(|(a, b)| are_alike(view, *a, *b))
    };
    view.side == Side::Section
        && paths.iter().any(|other| other.speaker != path.speaker && is_same(other))
}

/// The speakers that from the side stand where this one does and face the same way, itself among them.
pub(crate) fn speakers_alike(view: &View, input: &Input, index: usize) -> Vec<usize> {
    let is_same = |other: usize| {
        let (one, other) = (input.speakers[index], input.speakers[other]);
        are_alike(view, one.at, other.at) && are_alike(view, one.axis, other.axis)
    };
    let all = 0..input.speakers.len();
    all.filter(|&other| other == index || view.side == Side::Section && is_same(other)).collect()
}

/// Whether from above one of a path's bounces lies over or under a bounce of the same speaker's sound.
pub(crate) fn is_stacked(view: &View, paths: &[&Path], path: &Path, bounce: usize) -> bool {
    let is_flat = |hit: Hit| !matches!(hit, Hit::Surface(surface) if view.edge_on(surface));
    let Some(own) = path.bounces.get(bounce).filter(|own| is_flat(own.hit)) else { return false };
    let others =
        paths.iter().filter(|other| other.speaker == path.speaker && other.tag != path.tag);
    view.side.is_from_above()
        && others.flat_map(|other| &other.bounces).any(|other| {
            is_flat(other.hit) && view.toward(own.point - other.point).length() < COVERING_M
        })
}

fn are_alike(view: &View, a: DVec3, b: DVec3) -> bool {
    view.toward(a - b).length() < ALIKE_M
}
