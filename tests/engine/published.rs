//! The engine against published values: standards, tables and closed forms.
//!
//! Beside every check stands its source and how we know it: *read* (the text was seen),
//! *read second-hand* (someone else quoting it), *from memory*, or *computed* (the figure was
//! worked out independently in double precision from the named formula).

#![expect(clippy::unreadable_literal, reason = "figures stand as printed, to be compared by eye")]

mod air;
mod catalogue;
mod decay;
mod fresnel_zone;
mod head;
mod interference;
mod layers;
mod paris;
mod piston;
mod porous;
mod reflection;
mod reverberation;
mod speakers;
mod sphere;
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
