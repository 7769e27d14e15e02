//! The `earline` command.

#[allow(dead_code, reason = "the commands that draw are on their way")]
mod picture;
mod tape;

fn main() {}
