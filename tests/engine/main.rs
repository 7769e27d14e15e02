//! The engine against published values, closed forms and other methods, and by properties that any
//! room must have.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by failing")]
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small positive numbers of a test"
)]

mod bass;
mod bass_bodies;
mod bass_exact;
mod bass_join;
mod bass_maps;
mod bass_speakers;
mod compare;
mod decay;
mod diffraction;
mod finite;
mod fixtures;
mod fuzz;
mod images;
mod joined;
mod merged;
mod place;
mod published;
mod rays;
mod scene;
mod set_out_care;
mod setting_out;
mod solid;
mod sound;
mod subwoofers;
mod sweep;
mod trace;
mod treat;
mod wavefront;
mod zones;
