//! Image sources: every specular path from a speaker to a listener.

mod arrival;

pub use arrival::{Arrival, Bounce};
