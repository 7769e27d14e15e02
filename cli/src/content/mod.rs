//! What an answer says, made once from engine values, whatever shows it.

pub(crate) mod assumptions;
pub(crate) mod auralization;
pub(crate) mod check;
pub(crate) mod comparison;
pub(crate) mod criterion;
pub(crate) mod document;
pub(crate) mod effect;
pub(crate) mod first_scene;
pub(crate) mod formula_comparison;
pub(crate) mod low_end;
pub(crate) mod material_list;
pub(crate) mod materials;
pub(crate) mod mirrored;
mod mismatch;
pub(crate) mod numbering;
pub(crate) mod placement;
pub(crate) mod placement_tolerance;
pub(crate) mod proportion_rule;
pub(crate) mod safety_notes;
pub(crate) mod setting_out;
pub(crate) mod study;
pub(crate) mod trace;
pub(crate) mod treatment;
pub(crate) mod wave_field;
pub(crate) mod wave_maps;
pub(crate) mod wavefront;
