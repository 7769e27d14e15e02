//! Levels and times as curves: energy against time, decay, reverberation and the bass response.

pub(crate) mod band_table;
pub(crate) mod bass_comparison;
pub(crate) mod bass_decay;
pub(crate) mod bass_response;
pub(crate) mod decay;
pub(crate) mod energy_time;
mod energy_time_chart;
mod energy_time_groups;
pub(crate) mod etc_overlay;
pub(crate) mod extremum_names;
pub(crate) mod reverberation;
pub(crate) mod reverberation_overlay;
