//! Sound spreading from a speaker: an animation, and a contact sheet of its moments for print.

mod animation;
mod background;
mod contact_sheet;
mod fronts;
#[cfg(test)]
mod tests;

pub(crate) use animation::{Sizes, shoot};
pub(crate) use contact_sheet::poster;
