//! Responses, modes, maps and decay read off the wave field of a room.

pub(super) mod damped_modes;
pub(super) mod effective_range;
pub(super) mod extrema;
pub(super) mod grid;
pub(super) mod level;
pub(super) mod modal_spacing;
pub(super) mod narrow_band_decay;
pub(super) mod pressure_map;
pub(super) mod response_curves;
pub(super) mod seat_map;
mod sources;
pub(super) mod subwoofers;
mod sum_groups;
pub(super) mod summary;
pub(super) mod transfer_functions;
