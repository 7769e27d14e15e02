//! Reflecting faces, and what stands between two points.

mod body;
pub mod diffraction;
pub mod enclosure;
mod face;
mod occlusion;
mod rectangle;

pub use body::Body;
pub(crate) use face::SURFACE_COUNT;
pub use face::{BoxSide, Face, FaceId, Faces};
pub use occlusion::Occluders;
pub use rectangle::Rectangle;

/// Points closer than this are the same point, metres: a tenth of a micrometre, far above
/// rounding in a room of a hundred metres and far below anything a tape can tell.
pub const SAME_POINT_M: f64 = 1e-7;
