//! Answers laid out for the terminal.

pub(crate) mod columns;
pub(crate) mod html;
pub(crate) mod terminal;
