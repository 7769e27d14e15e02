//! Below the Schroeder frequency: the sound field of a box room as a wave.
//!
//! Rays and images are the wrong tool where wavelengths are as long as the room. Here all modes of
//! the rigid room are tied together by what its surfaces and the panels on them take in, in one system
//! a frequency, so that uneven absorption is not averaged away. See `docs/theory.md`.
//!
//! Surfaces and panels lie flat in their planes and answer locally. Screens, furniture and solid
//! cabinets are not in it: they are small against the wavelength, but a large desk or sofa is not
//! nothing. Speakers are points that sound alike in every direction, which small cabinets nearly do
//! below 300 Hz; their level is that of the same speaker in the open.

mod analysis;
mod boundary;
mod modes;
mod solver;
mod wave_field_solver;

pub use analysis::dip::{deepest_dip, deepest_dip_hz};
pub use analysis::effective_range::{
    DeeperBuild, MIN_ABSORPTION, deeper_build_for, lower_limit_hz,
};
pub use analysis::extrema::{BoundaryInterference, Extremum, ExtremumCause};
pub use analysis::modal_spacing::{
    MAX_AXIAL_SPACING_HZ, MIN_AXIAL_SPACING_HZ, ModalSpacing, SPACING_LIMIT_HZ, ThirdOctave,
    modal_spacing,
};
pub use analysis::narrow_band_decay::{
    BANDWIDTH_OCTAVES, NarrowBandDecay, NarrowBandDecayRequest, narrow_band_decay,
};
pub use analysis::pressure_map::{MapPlane, PressureMap, pressure_map};
pub(crate) use analysis::schroeder_hz;
pub use analysis::seat_map::{
    FlattestSeat, SPEAKER_CLEARANCE_M, SeatMap, SeatMapRequest, WALL_CLEARANCE_M, seat_map,
};
pub use analysis::summary::{
    LowFrequencyRow, LowFrequencySummary, MODAL_DECAY_BAND_HZ, low_frequency_summary,
};
pub use analysis::{
    CoherentSum, DampedMode, HIGHEST_HZ, LOWEST_HZ, MAX_MODES, TransferFunction,
    UNEVENNESS_BAND_HZ, WaveField, WaveFieldError, WaveFieldRequest, log_spaced_hz,
    solve_wave_field, unevenness_db,
};
pub use modes::{Mode, modes_up_to};
pub(crate) use solver::BoundarySolver;
pub(crate) use wave_field_solver::count_modes;
pub use wave_field_solver::{FactorizedSolver, WaveFieldSolver};
