//! From metres in the room to millimetres on the sheet.

use super::model::{Point, Rect};
use earline_engine::scene::{Room, Surface};
use glam::{DVec2, DVec3};

/// Which way the room is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// From above: the front wall at the top of the sheet, left on the left.
    Plan,
    /// From the left wall: the front wall on the left of the sheet, the ceiling at the top.
    Section,
}

/// A view of the room at a place and scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    /// Which way.
    pub(crate) side: Side,
    /// The room's inside on the sheet.
    pub(crate) inside: Rect,
    /// Millimetres on paper for a metre.
    pub(crate) mm_per_m: f64,
}

impl Side {
    /// Size of the room as seen from this side, metres: across and down the sheet.
    pub(crate) fn size_m(self, room: &Room) -> DVec2 {
        match self {
            Self::Plan => DVec2::new(room.width_m, room.length_m),
            Self::Section => DVec2::new(room.length_m, room.height_m),
        }
    }

    /// The surfaces seen edge on: at the top, bottom, left and right of the sheet.
    pub(crate) fn edges(self) -> [Surface; 4] {
        match self {
            Self::Plan => [Surface::Front, Surface::Back, Surface::Left, Surface::Right],
            Self::Section => [Surface::Ceiling, Surface::Floor, Surface::Front, Surface::Back],
        }
    }
}

impl View {
    /// The room in the middle of a space on the sheet.
    pub(crate) fn new(side: Side, room: &Room, mm_per_m: f64, space: Rect) -> Self {
        let inside = Rect::around(space.middle(), side.size_m(room) * mm_per_m);
        Self { side, inside, mm_per_m }
    }

    /// Where a point of the room is on the sheet.
    pub(crate) fn at(&self, point: DVec3) -> Point {
        match self.side {
            Side::Plan => self.inside.min + DVec2::new(point.y, point.x) * self.mm_per_m,
            Side::Section => {
                DVec2::new(self.inside.min.x, self.inside.max.y)
                    + DVec2::new(point.x, -point.z) * self.mm_per_m
            }
        }
    }

    /// A direction in the room as it runs on the sheet; shorter the more it points at the eye.
    pub(crate) fn toward(&self, direction: DVec3) -> DVec2 {
        match self.side {
            Side::Plan => DVec2::new(direction.y, direction.x),
            Side::Section => DVec2::new(direction.x, -direction.z),
        }
    }

    /// Whether a surface is seen edge on.
    pub(crate) fn edge_on(&self, surface: Surface) -> bool {
        self.side.edges().contains(&surface)
    }
}
