//! What sound travels through and meets: air, surface materials, and how speakers radiate, in octave
//! bands.

pub mod air;
pub mod bands;
pub mod directivity;
pub mod materials;
