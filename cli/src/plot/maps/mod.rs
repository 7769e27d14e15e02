//! Quantities over the floor of the room.

mod layout_outline;
pub(crate) mod level_map;
pub(crate) mod map_sheet;
pub(crate) mod objective_map;
pub(crate) mod seat_map;
pub(crate) mod spreading;
