//! Bodies inside the room: screens, boxes of furniture, solid speaker cabinets.

use super::face::FaceId;
use super::{Rectangle, SAME_POINT_M};
use crate::geometry::diffraction::Edge;
use crate::scene::SpeakerId;
use glam::DVec3;

/// Body inside the room, as an obstacle that sound diffracts around.
#[derive(Debug, Clone)]
pub struct Body {
    /// One rectangle for a screen, six with their fronts outward for a box.
    rectangles: Vec<Rectangle>,
    box_edges: Vec<BoxEdge>,
    centre: DVec3,
    owner: Owner,
    /// Point from which it throws no shadow.
    transparent_from: Option<DVec3>,
}

/// Edge between two faces of a box.
#[derive(Debug, Clone, Copy)]
struct BoxEdge {
    /// In its sense round the first face, counter-clockwise seen from outside.
    edge: Edge,
    /// First face.
    face: usize,
    /// Second face, round which its sense is the opposite.
    other: usize,
}

/// Object of the scene that a body is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Owner {
    Screen(usize),
    Furniture(usize),
    Cabinet(SpeakerId),
    Surface,
}

impl Owner {
    fn of(face: FaceId) -> Self {
        match face {
            FaceId::Surface(_) => Self::Surface,
            FaceId::Screen { index, .. } => Self::Screen(index),
            FaceId::Furniture { index, .. } => Self::Furniture(index),
            FaceId::Cabinet { speaker, .. } => Self::Cabinet(speaker),
        }
    }
}

impl Body {
    pub(super) fn screen(index: usize, rectangle: Rectangle) -> Self {
        Self {
            rectangles: vec![rectangle],
            box_edges: Vec::new(),
            centre: rectangle.centre,
            owner: Owner::Screen(index),
            transparent_from: None,
        }
    }

    /// Box that one of the faces belongs to; `transparent_from` as for a [`super::Face`].
    pub(super) fn solid(
        face: FaceId,
        rectangles: Vec<Rectangle>,
        centre: DVec3,
        transparent_from: Option<DVec3>,
    ) -> Self {
        let box_edges = box_edges(&rectangles);
        Self { rectangles, box_edges, centre, owner: Owner::of(face), transparent_from }
    }

    /// Whether a face belongs to the body.
    pub fn has(&self, face: FaceId) -> bool {
        Owner::of(face) == self.owner
    }

    /// Whether it throws no shadow on a segment that begins at a point: a cabinet on what leaves its
    /// own speaker.
    pub fn is_transparent_from(&self, point: DVec3) -> bool {
        self.transparent_from.is_some_and(|own| own.distance(point) < SAME_POINT_M)
    }

    /// Centre, metres.
    pub fn centre(&self) -> DVec3 {
        self.centre
    }

    /// Silhouettes as rims between a source and a receiver (see [`Edge`] for their sense): one for
    /// a screen, and for a box the one from the source and the one from the receiver, which differ
    /// when either is near. Their mean treats both ends alike. From a point inside there is none.
    pub fn silhouettes(&self, source: DVec3, receiver: DVec3) -> Vec<Vec<Edge>> {
        if let [flat] = self.rectangles[..] {
            let toward = flat.normal.dot(receiver - source) > 0.0;
            return vec![if toward { flat.rim() } else { flat.flipped().rim() }];
        }
        let (from_source, from_receiver) = (self.orientations(source), self.orientations(receiver));
        // The sense round the body as seen by the source is the opposite as seen by the receiver.
        let from_receiver: Vec<i8> =
            from_receiver.into_iter().map(|orientation| -orientation).collect();
        let mut silhouettes = vec![self.silhouette(&from_source)];
        if from_receiver != from_source {
            silhouettes.push(self.silhouette(&from_receiver));
        }
        silhouettes
    }

    /// Part of each edge in the silhouette from a point, which is where a face that looks toward the
    /// point borders on one that looks away: 1 in its own sense, −1 in the opposite one, 0 when it is
    /// not part of it. A face seen edge-on looks away.
    fn orientations(&self, point: DVec3) -> Vec<i8> {
        let is_front: Vec<bool> = self
            .rectangles
            .iter()
            .map(|face| face.signed_distance_m(point) > SAME_POINT_M)
            .collect();
        let orientation = |box_edge: &BoxEdge| {
            i8::from(is_front[box_edge.other]) - i8::from(is_front[box_edge.face])
        };
        self.box_edges.iter().map(orientation).collect()
    }

    fn silhouette(&self, orientations: &[i8]) -> Vec<Edge> {
        let edge = |(box_edge, &orientation): (&BoxEdge, &i8)| match orientation {
            0 => None,
            1 => Some(box_edge.edge),
            _ => Some(box_edge.edge.reversed()),
        };
        self.box_edges.iter().zip(orientations).filter_map(edge).collect()
    }

    /// Whether the open segment between two points intersects it.
    pub fn intersects(&self, a: DVec3, b: DVec3) -> bool {
        if let [flat] = self.rectangles[..] {
            return flat
                .plane_crossing(a, b)
                .is_some_and(|t| (0.0..=1.0).contains(&t) && flat.contains(a + (b - a) * t));
        }
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for face in &self.rectangles {
            let (from, to) = (face.signed_distance_m(a), face.signed_distance_m(b));
            if from > 0.0 && to > 0.0 {
                return false;
            }
            if from > 0.0 {
                enter = enter.max(from / (from - to));
            } else if to > 0.0 {
                leave = leave.min(from / (from - to));
            }
        }
        (leave - enter) * a.distance(b) > SAME_POINT_M
    }
}

fn box_edges(rectangles: &[Rectangle]) -> Vec<BoxEdge> {
    let mut edges: Vec<BoxEdge> = Vec::new();
    let mut unmatched: Vec<(usize, Edge)> = Vec::new();
    for (other, rectangle) in rectangles.iter().enumerate() {
        for edge in rectangle.rim() {
            match unmatched.iter().position(|(_, before)| before.reversed().is_same(&edge)) {
                Some(at) => {
                    let (face, edge) = unmatched.swap_remove(at);
                    edges.push(BoxEdge { edge, face, other });
                }
                None => unmatched.push((other, edge)),
            }
        }
    }
    edges
}
