//! A specular path as pure geometry, before anything is known of materials.

use crate::geometry::{Faces, SAME_POINT_M};
use glam::DVec3;

/// A specular path from a speaker to a listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// The image of the speaker that the listener sees.
    pub image: DVec3,
    /// Where it touches which faces, from speaker to listener.
    pub vertices: Vec<PathVertex>,
}

/// One touch of a path on a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathVertex {
    /// Index of the face in [`crate::geometry::Faces::all`].
    pub face: usize,
    /// Where, metres.
    pub point: DVec3,
}

impl Path {
    /// The direct path from a speaker.
    pub fn direct(speaker: DVec3) -> Self {
        Self { image: speaker, vertices: Vec::new() }
    }

    /// Makes a path whose touches have one order only. Where a path runs through an edge or a
    /// corner the faces that meet there are touched at one point and have no order of their own;
    /// they are put in the order of the faces.
    pub(super) fn new(image: DVec3, mut vertices: Vec<PathVertex>) -> Self {
        let mut first = 0;
        for next in 1..=vertices.len() {
            let together = next < vertices.len()
                && vertices[next].point.distance(vertices[next - 1].point) < SAME_POINT_M;
            if !together {
                vertices[first..next].sort_by_key(|vertex| vertex.face);
                first = next;
            }
        }
        Self { image, vertices }
    }

    /// Whether nothing stands in any leg of the path.
    pub fn is_clear(&self, faces: &Faces, speaker: DVec3, listener: DVec3) -> bool {
        let mut from = speaker;
        let ends = self.vertices.iter().map(|vertex| vertex.point).chain([listener]);
        ends.into_iter().all(|to| !faces.is_occluded(std::mem::replace(&mut from, to), to))
    }

    /// Whether two paths are one and the same.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        self.vertices.len() == other.vertices.len()
            && self.image.distance(other.image) < SAME_POINT_M
            && self.vertices.iter().zip(&other.vertices).all(|(a, b)| a.face == b.face)
    }
}

/// Sorts paths by length, then by the faces they vertex, and drops repeats of one path.
///
/// `listener` is where they end.
pub(super) fn sort_and_single(mut paths: Vec<Path>, listener: DVec3) -> Vec<Path> {
    let faces = |path: &Path| path.vertices.iter().map(|vertex| vertex.face).collect::<Vec<_>>();
    // Lengths that differ by rounding only must not decide the order: they are compared on a
    // ladder of steps of a nanometre's tenth, far below SAME_POINT_M.
    let rung = |path: &Path| (path.image.distance(listener) * 1e10).round();
    paths.sort_by(|a, b| rung(a).total_cmp(&rung(b)).then_with(|| faces(a).cmp(&faces(b))));
    paths.dedup_by(|a, b| a.is_same(b));
    paths
}
