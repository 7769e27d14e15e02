//! The `earline` command.

#[allow(dead_code, unused_imports, reason = "the commands that draw are on their way")]
mod picture;
mod tape;

fn main() {}
