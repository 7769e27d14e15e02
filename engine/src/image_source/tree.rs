//! Image sources over any faces: the tree of mirror images, each path traced back and checked.

use super::lattice::SearchLimit;
use super::path::{Path, PathVertex, sort_and_single};
use crate::geometry::{Face, FaceId, Faces, SAME_POINT_M};
use crate::scene::Scene;
use glam::DVec3;

/// Treatment of edges of things inside the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EdgeModel {
    /// Geometrical optics: a reflection point lies on its face or there is no path, and an obstacle in
    /// a leg ends the path.
    Geometric,
    /// Diffraction: a path may also pass by the rim of a screen or a piece of furniture, and nothing
    /// inside the room ends a path; its pressure is left to [`super::Propagation::diffracted_arrival`].
    Diffracting,
}

impl EdgeModel {
    /// The treatment that a scene asks for.
    pub fn of(scene: &Scene) -> Self {
        if scene.model().edges { Self::Diffracting } else { Self::Geometric }
    }
}

/// Every path within reach from a speaker to a listener over all faces, the direct one included,
/// sorted by length. Each path appears once.
pub fn paths(
    faces: &Faces,
    speaker: DVec3,
    listener: DVec3,
    limit: SearchLimit,
    edges: EdgeModel,
) -> Vec<Path> {
    let mut search = PathSearch {
        faces,
        edges,
        speaker,
        listener,
        limit,
        follows: follows(faces.all()),
        trail: Vec::new(),
        images: vec![speaker],
        found: Vec::new(),
    };
    search.consider();
    search.descend();
    sort_and_single(search.found, listener)
}

/// For each face, which faces can be seen from its front at all and see it: the next bounce can
/// only be on one of those.
fn follows(faces: &[Face]) -> Vec<Vec<usize>> {
    let sees = |from: &Face, to: &Face| {
        let in_front = |corner: &DVec3| from.rectangle.signed_distance_m(*corner) > SAME_POINT_M;
        to.rectangle.corners().iter().any(in_front)
    };
    faces
        .iter()
        .map(|from| {
            (0..faces.len())
                .filter(|&to| sees(from, &faces[to]) && sees(&faces[to], from))
                .collect()
        })
        .collect()
}

/// A bounce past a rim fades out while the detour over the rim grows from the first of these to the
/// second, metres: beyond, it is lost among everything else.
pub(super) const FADE_M: [f64; 2] = [0.4, 0.8];

struct PathSearch<'a> {
    faces: &'a Faces,
    edges: EdgeModel,
    speaker: DVec3,
    listener: DVec3,
    limit: SearchLimit,
    follows: Vec<Vec<usize>>,
    /// The faces mirrored in so far.
    trail: Vec<usize>,
    /// The speaker and its images in those faces.
    images: Vec<DVec3>,
    found: Vec<Path>,
}

impl PathSearch<'_> {
    fn descend(&mut self) {
        if self.trail.len() == self.limit.order {
            return;
        }
        let candidates = match self.trail.last() {
            Some(&last) => self.follows[last].clone(),
            None => (0..self.faces.all().len()).collect(),
        };
        for face in candidates {
            let rectangle = &self.faces.all()[face].rectangle;
            let image = self.images[self.images.len() - 1];
            // Sound reaches a face only from its front, and not edge-on; and no path over it is
            // shorter than the way from the image to it.
            if rectangle.signed_distance_m(image) <= SAME_POINT_M
                || rectangle.distance_m(image) > self.limit.distance_m
            {
                continue;
            }
            self.images.push(rectangle.mirror(image));
            self.trail.push(face);
            self.consider();
            self.descend();
            self.trail.pop();
            self.images.pop();
        }
    }

    /// Keeps the path over the present trail if it holds.
    fn consider(&mut self) {
        let image = self.images[self.images.len() - 1];
        let seen = self.trail.last().is_none_or(|&face| {
            self.faces.all()[face].rectangle.signed_distance_m(self.listener) > SAME_POINT_M
        });
        if seen
            && image.distance(self.listener) <= self.limit.distance_m
            && let Some(vertices) = self.walk_back()
        {
            let path = Path::new(image, vertices);
            if self.edges == EdgeModel::Diffracting
                || path.is_clear(self.faces, self.speaker, self.listener)
            {
                self.found.push(path);
            }
        }
    }

    /// Walks from the listener back to the speaker; `None` when a bounce misses its face.
    fn walk_back(&self) -> Option<Vec<PathVertex>> {
        let mut vertices = Vec::with_capacity(self.trail.len());
        let mut from = self.listener;
        // The listener as this face and those before it see them: mirrored in all later faces.
        let mut unfolded = self.listener;
        let mut past_edges = 0;
        for (&face, &image) in self.trail.iter().zip(&self.images[1..]).rev() {
            let Face { rectangle, id, .. } = &self.faces.all()[face];
            if rectangle.signed_distance_m(from) < -SAME_POINT_M {
                return None;
            }
            let way = rectangle.plane_crossing(from, image)?;
            let point = from + (image - from) * way;
            if !(0.0..=1.0).contains(&way) && from.distance(point) > SAME_POINT_M {
                return None;
            }
            if !rectangle.contains(point) {
                let ends_in_the_room = !matches!(id, FaceId::Surface(_));
                past_edges += 1;
                if self.edges == EdgeModel::Geometric || !ends_in_the_room || past_edges > 1 {
                    return None;
                }
                if rectangle.detour_m(point, unfolded, image) > FADE_M[1] {
                    return None;
                }
            }
            unfolded = rectangle.mirror(unfolded);
            vertices.push(PathVertex { face, point });
            from = point;
        }
        vertices.reverse();
        Some(vertices)
    }
}
