//! What can reflect: surfaces of the room, the two faces of a screen, the six of a piece of furniture.

use crate::scene::Surface;

/// Which reflecting face; the order is the fixed order of enumeration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceId {
    /// A surface of the room.
    Surface(Surface),
    /// A screen, by its index in the scene.
    Screen {
        /// Index in [`crate::scene::Scene::screens`].
        index: usize,
        /// Whether it is the side away from its facing direction.
        rear: bool,
    },
    /// A side of a piece of furniture.
    Furniture {
        /// Index in [`crate::scene::Scene::furniture`].
        index: usize,
        /// Which side.
        side: BoxSide,
    },
}

/// A side of a furniture box, as it lies before turning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoxSide {
    /// Toward the front wall.
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
