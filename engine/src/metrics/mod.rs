//! Figures of a room: decay parameters, published criteria, diffuse-field formulas.

pub mod absorbing_areas;
pub mod criteria;
pub mod decay;
pub mod diffuse_field;
pub mod hearing;
pub mod interference;
