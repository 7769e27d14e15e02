//! Directivity of speakers.

mod driver;
mod model;
pub mod piston;
mod radiator;
pub mod sphere;
mod table;
mod two_way;

pub use model::{Cabinet, Directivity, DirectivityTable, ReferencePoint};
pub use radiator::Radiator;
