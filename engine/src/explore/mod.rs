//! Searches over scenes: speaker and seat placement, treatment, speaker height, parameter studies.

pub mod height;
pub mod placement;
pub mod study;
pub mod treatment;
