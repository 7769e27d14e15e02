//! Image sources: every specular path from a speaker to a listener.
//!
//! Two enumerations give the same [`Path`]s: the [`lattice`] of a bare box in closed form, to any
//! order, and the [`tree`] over any faces, to a modest one. [`enumerate`] takes what the room needs.

mod arrival;
mod box_energy;
mod diffracted;
pub mod lattice;
mod path;
pub mod tree;

pub use arrival::{Arrival, Bounce, Propagation};
pub use box_energy::{EnergyPlan, box_energy};
pub use lattice::SearchLimit;
pub use path::{Path, PathVertex};
pub use tree::EdgeModel;

use crate::geometry::enclosure::Enclosure;
use glam::DVec3;

/// Paths from a speaker to a listener, the direct one included, sorted by length: those of up to
/// `list.order` bounces over everything, no longer than `list.distance_m`, and those over the six
/// surfaces of any order, no longer than `every_order_m`.
///
/// Up to the order of the list `edges` says where screens and furniture end; beyond it they end
/// sharply, and a path with anything in its way is left out. The number of paths of every order
/// grows with the cube of their length over the volume, so `every_order_m` is what a caller must
/// keep within reason; the list is bounded by its order.
pub fn enumerate(
    enclosure: &Enclosure,
    speaker: DVec3,
    listener: DVec3,
    list: SearchLimit,
    every_order_m: f64,
    edges: EdgeModel,
) -> Vec<Path> {
    let (room, faces) = (enclosure.room(), enclosure.faces());
    let limit = SearchLimit { distance_m: list.distance_m.max(every_order_m), ..list };
    let mut paths = if faces.is_bare_box() {
        lattice::paths(room, speaker, listener, limit)
    } else {
        tree::paths(faces, speaker, listener, limit, edges)
    };
    let every_order = SearchLimit { order: usize::MAX, distance_m: every_order_m };
    let longer = lattice::paths(room, speaker, listener, every_order)
        .into_iter()
        .filter(|path| path.vertices.len() > list.order && path.is_clear(faces, speaker, listener));
    paths.extend(longer);
    path::sort_and_single(paths, listener)
}
