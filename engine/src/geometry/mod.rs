//! Reflecting faces and what stands between two points.

mod face;

pub use face::{BoxSide, FaceId};
