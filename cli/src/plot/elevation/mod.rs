//! The six surfaces of the room seen flat.

pub(crate) mod before;
pub(crate) mod face;
pub(crate) mod layout;
pub(crate) mod legend;
pub(crate) mod mounting;
pub(crate) mod sheet;
pub(crate) mod zone_list;
