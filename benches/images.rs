//! Image sources.
fn main() {}
