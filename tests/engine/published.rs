//! The engine against published values: standards, tables and closed forms.
//!
//! Beside every check stands its source and how we know it: *read* (the text was seen),
//! *read second-hand* (someone else quoting it), *from memory*, or *computed* (the figure was
//! worked out independently in double precision from the named formula).

#![expect(clippy::unreadable_literal, reason = "figures stand as printed, to be compared by eye")]

#[path = "published/air.rs"]
mod air;
#[path = "published/cap.rs"]
mod cap;
#[path = "published/catalogue.rs"]
mod catalogue;
#[path = "published/decay.rs"]
mod decay;
#[path = "published/fresnel_zone.rs"]
mod fresnel_zone;
#[path = "published/head.rs"]
mod head;
#[path = "published/interference.rs"]
mod interference;
#[path = "published/layers.rs"]
mod layers;
#[path = "published/paris.rs"]
mod paris;
#[path = "published/piston.rs"]
mod piston;
#[path = "published/porous.rs"]
mod porous;
#[path = "published/reflection.rs"]
mod reflection;
#[path = "published/reverberation.rs"]
mod reverberation;
#[path = "published/speakers.rs"]
mod speakers;
#[path = "published/statistics.rs"]
mod statistics;

/// Fails unless the two agree to an absolute tolerance.
#[track_caller]
fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual} is not {expected} ± {tolerance}");
}

/// Fails unless the two agree to a relative tolerance.
#[track_caller]
fn close_relative(actual: f64, expected: f64, tolerance: f64) {
    close(actual, expected, tolerance * expected.abs());
}
