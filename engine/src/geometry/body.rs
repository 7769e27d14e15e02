//! What stands or hangs in the room: a screen, a box of furniture, a solid speaker cabinet.

use super::{FaceId, Rectangle, SAME_POINT_M};
use crate::geometry::diffraction::Edge;
use glam::DVec3;

/// A body inside the room, for the shadow it throws.
#[derive(Debug, Clone)]
pub struct Body {
    /// One rectangle for a screen, six with their fronts outward for a box.
    rectangles: Vec<Rectangle>,
    ridges: Vec<Ridge>,
    centre: DVec3,
    owner: Owner,
    /// A place from which it throws no shadow.
    open_to: Option<DVec3>,
}

/// Where two faces of a body meet.
#[derive(Debug, Clone, Copy)]
struct Ridge {
    /// As it runs round the first face, counter-clockwise seen from outside.
    edge: Edge,
    face: usize,
    /// The other face, round which it runs the other way.
    other: usize,
}

/// Which thing of the scene a body is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Owner {
    Screen(usize),
    Furniture(usize),
    Cabinet(usize),
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
            ridges: Vec::new(),
            centre: rectangle.centre,
            owner: Owner::Screen(index),
            open_to: None,
        }
    }

    /// A box by one of its faces; `open_to` as for a [`super::Face`].
    pub(super) fn solid(
        face: FaceId,
        rectangles: Vec<Rectangle>,
        centre: DVec3,
        open_to: Option<DVec3>,
    ) -> Self {
        let ridges = ridges(&rectangles);
        Self { rectangles, ridges, centre, owner: Owner::of(face), open_to }
    }

    /// Whether a face is one of its own.
    pub fn has(&self, face: FaceId) -> bool {
        Owner::of(face) == self.owner
    }

    /// Whether it throws no shadow on a leg that begins at a point: a cabinet on what leaves its own
    /// speaker.
    pub fn is_open_to(&self, point: DVec3) -> bool {
        self.open_to.is_some_and(|open| open.distance(point) < SAME_POINT_M)
    }

    /// Its middle, metres.
    pub fn centre(&self) -> DVec3 {
        self.centre
    }

    /// Its outlines as rims between a source and a receiver (see [`Edge`] for their sense): one for
    /// a screen, and for a box the one that the source sees and the one that the receiver sees,
    /// which differ when either is near. Their mean treats both ends alike. A point inside sees no
    /// outline.
    pub fn outlines(&self, source: DVec3, receiver: DVec3) -> Vec<Vec<Edge>> {
        if let [flat] = self.rectangles[..] {
            let toward = flat.normal.dot(receiver - source) > 0.0;
            return vec![if toward { flat.rim() } else { flat.turned_over().rim() }];
        }
        let (from_source, from_receiver) = (self.senses(source), self.senses(receiver));
        // What runs round the body one way for the source runs round it the other way for the receiver.
        let from_receiver: Vec<i8> = from_receiver.into_iter().map(|sense| -sense).collect();
        let mut outlines = vec![self.outline(&from_source)];
        if from_receiver != from_source {
            outlines.push(self.outline(&from_receiver));
        }
        outlines
    }

    /// For each ridge, whether it is part of the outline seen from a point, where a face that looks
    /// toward the point meets one that looks away: 1 as it runs, −1 the other way round, 0 when not.
    /// A face seen edge-on looks away.
    fn senses(&self, point: DVec3) -> Vec<i8> {
        let lit: Vec<bool> =
            self.rectangles.iter().map(|face| face.height_of(point) > SAME_POINT_M).collect();
        let sense = |ridge: &Ridge| i8::from(lit[ridge.other]) - i8::from(lit[ridge.face]);
        self.ridges.iter().map(sense).collect()
    }

    fn outline(&self, senses: &[i8]) -> Vec<Edge> {
        let edge = |(ridge, &sense): (&Ridge, &i8)| match sense {
            0 => None,
            1 => Some(ridge.edge),
            _ => Some(ridge.edge.reversed()),
        };
        self.ridges.iter().zip(senses).filter_map(edge).collect()
    }

    /// Whether the open segment between two points runs through it.
    pub fn stands_between(&self, a: DVec3, b: DVec3) -> bool {
        if let [flat] = self.rectangles[..] {
            return flat
                .crossing(a, b)
                .is_some_and(|way| (0.0..=1.0).contains(&way) && flat.holds(a + (b - a) * way));
        }
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for face in &self.rectangles {
            let (from, to) = (face.height_of(a), face.height_of(b));
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

fn ridges(rectangles: &[Rectangle]) -> Vec<Ridge> {
    let mut found: Vec<Ridge> = Vec::new();
    let mut open: Vec<(usize, Edge)> = Vec::new();
    for (other, rectangle) in rectangles.iter().enumerate() {
        for edge in rectangle.rim() {
            match open.iter().position(|(_, before)| before.reversed().is_same(&edge)) {
                Some(at) => {
                    let (face, edge) = open.swap_remove(at);
                    found.push(Ridge { edge, face, other });
                }
                None => open.push((other, edge)),
            }
        }
    }
    found
}
