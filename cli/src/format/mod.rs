//! Quantities, directions and names as people read them.

pub(crate) mod both_sides;
pub(crate) mod direction;
pub(crate) mod foreign;
pub(crate) mod frequency;
pub(crate) mod labels;
pub(crate) mod length;
pub(crate) mod level;
pub(crate) mod number;
pub(crate) mod sentence;
pub(crate) mod time;
