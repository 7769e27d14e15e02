//! The room from above and from the side, with what is in it and the paths through it.

pub(crate) mod coincidence;
pub(crate) mod dimension_marks;
pub(crate) mod elements;
pub(crate) mod level_table;
pub(crate) mod paths;
pub(crate) mod plan;
pub(crate) mod plan_comparison;
pub(crate) mod projection;
pub(crate) mod room_view;
pub(crate) mod section;
pub(crate) mod symbol;
