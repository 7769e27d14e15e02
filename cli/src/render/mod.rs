//! Answers laid out for the terminal.

pub(crate) mod columns;
pub(crate) mod terminal;
