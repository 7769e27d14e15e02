//! Directivity of speakers.

pub mod cap;
mod driver;
mod model;
pub mod piston;
mod radiator;
mod table;
mod two_way;

pub use model::{Cabinet, Directivity, DirectivityTable, ReferencePoint};
pub use radiator::Radiator;
