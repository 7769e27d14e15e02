//! Lengths, directions and names of surfaces as people read them.

pub(crate) mod direction;
pub(crate) mod labels;
pub(crate) mod length;
