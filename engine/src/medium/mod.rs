//! The medium and its boundaries: air, surface materials, the directivity of speakers in octave bands,
//! and the filters before them.

pub mod air;
pub mod bands;
pub mod directivity;
pub mod materials;
pub mod signal_chain;
