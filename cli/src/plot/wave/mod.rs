//! Sound spreading from a speaker: pictures of a film, and a sheet of its moments for print.

mod film;
mod fronts;
mod gif;
mod poster;
mod stage;
#[cfg(test)]
mod tests;

pub(crate) use film::{Sizes, shoot};
pub(crate) use poster::poster;
