//! From metres in the room to millimetres on the sheet.

use crate::canvas::{Point, Rect};
use earline_engine::scene::{Room, Surface};
use glam::{DVec2, DVec3};

/// Direction from which the room is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// From above: the front wall at the top of the sheet, left on the left.
    Plan,
    /// From the left wall: the front wall on the left of the sheet, the ceiling at the top.
    Section,
    /// One surface seen flat: a wall from inside, facing it; floor and ceiling from above.
    Face(Surface),
}

/// A view of the room at a place and scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    /// Direction it is seen from.
    pub(crate) side: Side,
    /// The room's inside on the sheet.
    pub(crate) inside: Rect,
    /// Millimetres on paper for a metre.
    pub(crate) mm_per_m: f64,
}

impl Side {
    /// Size of the room as seen from this side, metres: across and down the sheet.
    pub(crate) fn size_m(self, room: &Room) -> DVec2 {
        self.toward(room.size()).abs()
    }

    /// Whether it looks down, with the front wall at the top of the sheet.
    pub(crate) fn is_from_above(self) -> bool {
        matches!(self, Self::Plan | Self::Face(Surface::Floor | Surface::Ceiling))
    }

    /// A direction in the room as it runs on the sheet.
    fn toward(self, DVec3 { x, y, z }: DVec3) -> DVec2 {
        match self {
            Self::Plan | Self::Face(Surface::Floor | Surface::Ceiling) => DVec2::new(y, x),
            Self::Section | Self::Face(Surface::Right) => DVec2::new(x, -z),
            Self::Face(Surface::Left) => DVec2::new(-x, -z),
            Self::Face(Surface::Front) => DVec2::new(y, -z),
            Self::Face(Surface::Back) => DVec2::new(-y, -z),
        }
    }

    /// The surfaces seen edge on: at the top, bottom, left and right of the sheet.
    pub(crate) fn edges(self) -> [Surface; 4] {
        let (up, down) = (Surface::Ceiling, Surface::Floor);
        match self {
            Self::Plan | Self::Face(Surface::Floor | Surface::Ceiling) => {
                [Surface::Front, Surface::Back, Surface::Left, Surface::Right]
            }
            Self::Section | Self::Face(Surface::Right) => [up, down, Surface::Front, Surface::Back],
            Self::Face(Surface::Left) => [up, down, Surface::Back, Surface::Front],
            Self::Face(Surface::Front) => [up, down, Surface::Left, Surface::Right],
            Self::Face(Surface::Back) => [up, down, Surface::Right, Surface::Left],
        }
    }
}

impl View {
    /// The room in the middle of a space on the sheet.
    pub(crate) fn new(side: Side, room: &Room, mm_per_m: f64, space: Rect) -> Self {
        let inside = Rect::around(space.middle(), side.size_m(room) * mm_per_m);
        Self { side, inside, mm_per_m }
    }

    /// Position of a point of the room on the sheet.
    pub(crate) fn at(&self, point: DVec3) -> Point {
        self.origin() + self.side.toward(point) * self.mm_per_m
    }

    /// Position where the tape is hooked: front wall, left wall and floor meet there.
    pub(crate) fn origin(&self) -> Point {
        let Rect { min, max } = self.inside;
        let way = self.side.toward(DVec3::ONE);
        Point::new(if way.x < 0.0 { max.x } else { min.x }, if way.y < 0.0 { max.y } else { min.y })
    }

    /// Position of a point of a surface, by its two tape coordinates.
    pub(crate) fn on(&self, surface: Surface, tape: DVec2) -> Point {
        let [a, b] = surface.tape_axes();
        let mut point = DVec3::ZERO;
        (point[a], point[b]) = (tape.x, tape.y);
        self.at(point)
    }

    /// A direction in the room as it runs on the sheet; shorter the more it points at the eye.
    pub(crate) fn toward(&self, direction: DVec3) -> DVec2 {
        self.side.toward(direction)
    }

    /// Whether a surface is seen edge on.
    pub(crate) fn edge_on(&self, surface: Surface) -> bool {
        self.side.edges().contains(&surface)
    }
}
