//! Directivity of speakers.

mod driver;
mod first_order;
mod model;
pub mod piston;
mod radiator;
pub mod sphere;
mod table;
mod two_way;

pub use first_order::{AcousticCentre, FirstOrder};
pub use model::{Cabinet, Directivity, DirectivityTable, ReferencePoint};
pub use radiator::Radiator;
pub(crate) use radiator::up_axis;
