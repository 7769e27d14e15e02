//! Contents of the pictures of one listener.

pub(crate) mod decay_view;
pub(crate) mod from_compared;
pub(crate) mod from_decay;
pub(crate) mod from_snapshots;
pub(crate) mod from_trace;
pub(crate) mod from_zones;
pub(crate) mod input;
pub(crate) mod outlines;
pub(crate) mod panel_letters;
pub(crate) mod spreading_view;
