//! The medium and its boundaries: air, surface materials, and the directivity of speakers, in octave
//! bands.

pub mod air;
pub mod bands;
pub mod directivity;
pub mod materials;
