//! Image sources of a bare box, in closed form (Allen & Berkley, JASA 65, 943, 1979).
//!
//! Along each axis the images of a speaker at s in a room of length L stand in cells of length L:
//! cell n holds nL + s when n is even and (n + 1)L − s when n is odd, and is reached by |n| bounces.

use super::path::{Path, PathVertex, sort_and_single};
use crate::geometry::SAME_POINT_M;
use crate::scene::Room;
use glam::DVec3;

/// Limits of an enumeration of images.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SearchLimit {
    /// Highest number of bounces.
    pub order: usize,
    /// Longest path in metres.
    pub distance_m: f64,
}

/// Every path within reach from a speaker to a listener over the six surfaces, the direct one
/// included, sorted by length. Each path appears once, those through edges and corners too.
pub fn paths(room: &Room, speaker: DVec3, listener: DVec3, limit: SearchLimit) -> Vec<Path> {
    let size = room.size();
    let axes: [Vec<AxisImage>; 3] =
        std::array::from_fn(|axis| axis_images(size[axis], speaker[axis], listener[axis], limit));
    let mut found = Vec::new();
    for x in &axes[0] {
        for y in &axes[1] {
            for z in &axes[2] {
                let order = x.order() + y.order() + z.order();
                let image = DVec3::new(x.at, y.at, z.at);
                if order <= limit.order && image.distance(listener) <= limit.distance_m {
                    found.push(path(size, [x.cell, y.cell, z.cell], image, listener));
                }
            }
        }
    }
    sort_and_single(found, listener)
}

/// The image's place along one axis.
#[derive(Debug, Clone, Copy)]
struct AxisImage {
    cell: i32,
    at: f64,
}

impl AxisImage {
    fn order(self) -> usize {
        self.cell.unsigned_abs() as usize
    }
}

/// The place of the image in one cell of an axis of length `size`.
pub(super) fn image_in_cell(size: f64, source: f64, cell: i32) -> f64 {
    if cell % 2 == 0 {
        f64::from(cell) * size + source
    } else {
        f64::from(cell + 1) * size - source
    }
}

fn axis_images(size: f64, source: f64, receiver: f64, limit: SearchLimit) -> Vec<AxisImage> {
    let farthest = i32::try_from(limit.order).unwrap_or(i32::MAX);
    // Cell n is at least (|n| − 1)·size away from any receiver in the room.
    #[expect(clippy::cast_possible_truncation, reason = "capped just before")]
    let within = (limit.distance_m / size).min(1e6) as i32 + 2;
    let last = farthest.min(within);
    (-last..=last)
        .map(|cell| AxisImage { cell, at: image_in_cell(size, source, cell) })
        .filter(|image| (image.at - receiver).abs() <= limit.distance_m)
        .collect()
}

/// Unfolds the straight line from the listener to the image back into the room.
fn path(size: DVec3, cells: [i32; 3], image: DVec3, listener: DVec3) -> Path {
    let way = image - listener;
    let mut crossings: Vec<(f64, usize, i32)> = Vec::new();
    for axis in 0..3 {
        let cell = cells[axis];
        for step in 0..cell.abs() {
            // Walls crossed on the way out: 1·L, 2·L … toward positive cells, 0, −1·L … toward negative.
            let wall = if cell > 0 { step + 1 } else { -step };
            let at = (f64::from(wall) * size[axis] - listener[axis]) / way[axis];
            crossings.push((at, axis, wall));
        }
    }
    crossings.sort_by(|a, b| b.0.total_cmp(&a.0));
    let vertices = crossings
        .into_iter()
        .map(|(at, axis, wall)| {
            let mut point = fold(listener + way * at, size);
            let far = wall.rem_euclid(2) == 1;
            point[axis] = if far { size[axis] } else { 0.0 };
            PathVertex { face: 2 * axis + usize::from(far), point }
        })
        .collect();
    Path::new(image, vertices)
}

/// Folds a point of the unfolded space back into the room.
fn fold(point: DVec3, size: DVec3) -> DVec3 {
    let fold_axis = |axis: usize| {
        let twice = 2.0 * size[axis];
        let within = point[axis].rem_euclid(twice);
        let folded = if within > size[axis] { twice - within } else { within };
        // A coordinate on a wall up to rounding is on the wall.
        if folded < SAME_POINT_M * 1e-3 {
            0.0
        } else if size[axis] - folded < SAME_POINT_M * 1e-3 {
            size[axis]
        } else {
            folded
        }
    };
    DVec3::new(fold_axis(0), fold_axis(1), fold_axis(2))
}
