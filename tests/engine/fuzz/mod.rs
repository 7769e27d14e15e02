//! Mutated input: whatever it is, the engine answers, and with finite numbers.

mod lengths;
#[path = "../../fuzz/mod.rs"]
mod mutated;
mod scenes;
