//! Reflecting faces of a room, and ray casting against them.

mod body;
pub mod diffraction;
pub mod enclosure;
mod face;
mod faces;
pub mod ray_cast;
mod rectangle;

pub use body::Body;
pub(crate) use face::SURFACE_COUNT;
pub use face::{BoxSide, Face, FaceId};
pub use faces::Faces;
pub(crate) use faces::screen_rectangle;
pub use rectangle::Rectangle;

/// Distance below which two points are the same, metres: a tenth of a micrometre, far above rounding
/// in a room of a hundred metres and far below what a tape measure resolves.
pub const SAME_POINT_M: f64 = 1e-7;
