//! The `earline` command.

mod diagnose;
#[cfg_attr(not(test), expect(dead_code, reason = "called once the commands are in"))]
mod input;

fn main() {}
