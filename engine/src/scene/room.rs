//! The room: its dimensions and its six surfaces.

use glam::DVec3;
use std::ops::RangeInclusive;

/// Inside dimensions of the room in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Front wall to back wall, along x.
    pub length_m: f64,
    /// Left wall to right wall, along y.
    pub width_m: f64,
    /// Floor to ceiling, along z.
    pub height_m: f64,
}

/// Shortest and longest inside dimension taken, metres.
pub const ROOM_SIDE_M: RangeInclusive<f64> = 0.5..=100.0;

/// One of the six surfaces of the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// x = 0, behind the speakers.
    Front,
    /// x = length.
    Back,
    /// y = 0.
    Left,
    /// y = width.
    Right,
    /// z = 0.
    Floor,
    /// z = height.
    Ceiling,
}

impl Surface {
    /// All six, in their fixed order.
    pub const ALL: [Self; 6] =
        [Self::Front, Self::Back, Self::Left, Self::Right, Self::Floor, Self::Ceiling];

    /// Its name in scene files and machine output.
    pub fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
            Self::Floor => "floor",
            Self::Ceiling => "ceiling",
        }
    }

    /// The axis it is perpendicular to: 0 for x, 1 for y, 2 for z.
    pub fn axis(self) -> usize {
        self as usize / 2
    }

    /// Whether it lies at the far end of its axis (back, right, ceiling).
    pub fn is_far(self) -> bool {
        self as usize % 2 == 1
    }

    /// The axes of its two tape coordinates: left/right walls (from front wall, above floor);
    /// front/back walls (from left wall, above floor); floor/ceiling (from front, from left).
    pub fn tape_axes(self) -> [usize; 2] {
        match self.axis() {
            0 => [1, 2],
            1 => [0, 2],
            _ => [0, 1],
        }
    }

    /// A point on the surface in its two tape coordinates, metres.
    pub fn tape(self, point: DVec3) -> [f64; 2] {
        let [a, b] = self.tape_axes();
        [point[a], point[b]]
    }
}

impl Room {
    /// Its three dimensions as a vector.
    pub fn size(&self) -> DVec3 {
        DVec3::new(self.length_m, self.width_m, self.height_m)
    }

    /// Volume in cubic metres.
    pub fn volume_m3(&self) -> f64 {
        self.length_m * self.width_m * self.height_m
    }

    /// Area of one surface in square metres.
    pub fn area_m2(&self, surface: Surface) -> f64 {
        let [a, b] = surface.tape_axes();
        self.size()[a] * self.size()[b]
    }

    /// Area of all six surfaces in square metres.
    pub fn surface_m2(&self) -> f64 {
        Surface::ALL.iter().map(|&s| self.area_m2(s)).sum()
    }
}
