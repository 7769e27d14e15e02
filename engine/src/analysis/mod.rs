//! Questions asked of a simulated room: what a treatment changes, where a panel works, what the
//! room is, how far a mark may be off, where the wavefront stands.

pub mod compare;
pub mod room_summary;
pub mod setting_out;
pub mod tolerance;
pub mod wavefront;
pub mod zones;
