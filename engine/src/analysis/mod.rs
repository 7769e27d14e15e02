//! Analyses of a room: comparison of variants, Fresnel zones, summary of the room, setting-out,
//! placement tolerance and wavefronts.

pub mod compare;
pub mod room_summary;
pub mod setting_out;
pub mod tolerance;
pub mod wavefront;
pub mod zones;
