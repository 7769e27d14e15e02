//! Sound field of a rectangular room at low frequencies, as the solution of the wave equation.
//!
//! Rays and image sources fail where wavelengths are as long as the room. Here Green's theorem with
//! the Green's function of the rigid room gives a boundary-integral equation for the pressure on the
//! surfaces, expanded in cosines: one dense system a frequency, in which the absorption of surfaces
//! and panels couples the modes of the rigid room. Uneven absorption is therefore not averaged away.
//! See `docs/theory.md`.
//!
//! Assumptions: surfaces and panels lie in their planes and are locally reacting, and so are the faces of furniture and
//! screens; sound passes through the porous layers of a screen and through nothing else. Solid cabinets are neglected,
//! and so are soft screens known by absorption coefficients alone, what is shorter than 0.3 m, and all beyond the largest
//! sixteen bodies: [`WaveField::neglected`] names it. Speakers are multipoles along the axis to second order, as cabinets nearly are below
//! 300 Hz, with the level they have on the axis in a free field. Their filters, level, delay, polarity and lower
//! limit are in every response; levels are relative to those at 1 m in a free field of a speaker that has none of
//! these, which where it plays is a speaker's own.
//!
//! [`WaveFieldSolver`] gives the pressure of any sources at any receivers; what is read off that
//! pressure (responses at the seats, modes, maps, decay) is in `analysis`.

mod analysis;
mod axial_greens;
mod bodies;
mod boundary;
mod chebyshev_range;
mod limits;
mod modes;
mod solver;
mod speaker_sources;

pub use analysis::damped_modes::DampedMode;
pub use analysis::effective_range::{
    DeeperBuild, MIN_ABSORPTION, deeper_build_for, lower_limit_hz,
};
pub use analysis::extrema::{BoundaryInterference, Extremum, ExtremumCause};
pub use analysis::grid::log_spaced_hz;
pub use analysis::level::{
    UNEVENNESS_BAND_HZ, deepest_dip, deepest_dip_hz, unevenness_db, unevenness_range_hz,
};
pub use analysis::modal_spacing::{
    MAX_AXIAL_SPACING_HZ, MIN_AXIAL_SPACING_HZ, ModalSpacing, SPACING_LIMIT_HZ, ThirdOctave,
    modal_spacing,
};
pub use analysis::narrow_band_decay::{
    BANDWIDTH_OCTAVES, NarrowBandDecay, NarrowBandDecayRequest, narrow_band_decay,
};
pub use analysis::pressure_map::{MapPlane, PressureMap, pressure_map};
pub use analysis::response_curves::{ResponseCurve, ResponseCurves};
pub use analysis::seat_map::{
    FlattestSeat, SPEAKER_CLEARANCE_M, SeatMap, SeatMapRequest, WALL_CLEARANCE_M, seat_map,
};
pub use analysis::subwoofers::{Cancellation, SubwooferAlignment, SubwooferSum};
pub use analysis::summary::{LowFrequencyRow, LowFrequencySummary, MODAL_DECAY_BAND_HZ};
pub use analysis::transfer_functions::{
    CoherentSum, TransferFunction, WaveField, WaveFieldRequest, solve_wave_field,
};
pub(crate) use limits::schroeder_hz;
pub use limits::{HIGHEST_HZ, LOWEST_HZ, MAX_MODES, MAX_SURFACE_FUNCTIONS, WaveFieldError};
pub(crate) use modes::mode_count;
pub use modes::{Mode, modes_up_to};
pub use solver::{FactorizedSolver, WaveFieldSolver};
pub(crate) use speaker_sources::SpeakerSources;
