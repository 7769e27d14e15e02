//! The setting-out sheet: where to put speakers and listener, by tape.

pub(crate) mod lists;
pub(crate) mod plan;
pub(crate) mod sheet;
