//! The `earline` command.

fn main() {}
