//! Reflecting faces: surfaces of the room, the two sides of a screen, the six of a piece of furniture or
//! of a solid speaker cabinet.

use super::{Rectangle, SAME_POINT_M};
use crate::scene::{SpeakerId, Surface};
use glam::DVec3;

/// Identity of a reflecting face; the order is the fixed order of enumeration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceId {
    /// A surface of the room.
    Surface(Surface),
    /// A screen, by its index in the scene.
    Screen {
        /// Index in [`crate::scene::Scene::screens`].
        index: usize,
        /// Whether it is the rear side.
        rear: bool,
    },
    /// A side of a piece of furniture.
    Furniture {
        /// Index in [`crate::scene::Scene::furniture`].
        index: usize,
        /// Which side.
        side: BoxSide,
    },
    /// A side of a solid speaker cabinet.
    Cabinet {
        /// The speaker.
        speaker: SpeakerId,
        /// Which side.
        side: BoxSide,
    },
}

/// Side of a box: of furniture before it is turned, of a speaker cabinet as seen by one who sits in
/// front of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoxSide {
    /// Toward the front wall; of a cabinet the side with the drivers.
    Front,
    /// Toward the back wall.
    Back,
    /// Toward the left wall.
    Left,
    /// Toward the right wall.
    Right,
    /// Underside.
    Bottom,
    /// Upper side.
    Top,
}

impl BoxSide {
    /// All six, in their fixed order: the order of [`Surface::ALL`].
    pub const ALL: [Self; 6] =
        [Self::Front, Self::Back, Self::Left, Self::Right, Self::Bottom, Self::Top];

    /// Its name in machine output.
    pub fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
            Self::Bottom => "bottom",
            Self::Top => "top",
        }
    }
}

/// Reflecting face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// Identity.
    pub id: FaceId,
    /// Position, with the reflecting side in front.
    pub rectangle: Rectangle,
    /// Index of its material in [`crate::scene::Scene::materials`]; a surface's panels come on top.
    pub material: usize,
    /// Point that it never hides: for a cabinet the reference point of its own speaker, which sits in
    /// its front and whose directivity includes the diffraction around the cabinet.
    pub transparent_from: Option<DVec3>,
}

impl Face {
    /// Whether it neither hides a point nor is hit by rays from there: a side of the cabinet of a
    /// speaker, seen from its reference point.
    pub(crate) fn is_transparent_from(&self, point: DVec3) -> bool {
        self.transparent_from.is_some_and(|own| own.distance(point) < SAME_POINT_M)
    }
}

/// Number of room surfaces, which come first among all faces in the order of [`Surface::ALL`].
pub(crate) const SURFACE_COUNT: usize = 6;
