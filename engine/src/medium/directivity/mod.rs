//! Directivity of speakers.

mod driver;
mod model;
mod multipoles;
pub mod piston;
mod radiator;
pub mod sphere;
mod table;
mod two_way;

pub use model::{Cabinet, Directivity, DirectivityTable, ReferencePoint};
pub use multipoles::{AcousticCentre, AxialMultipoles};
pub use radiator::Radiator;
pub(crate) use radiator::up_axis;
