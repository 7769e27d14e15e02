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

mod admittance;
mod cause;
mod deep;
mod dip;
mod kept;
mod line;
mod low_end;
mod modes;
mod pressure_map;
mod reach;
mod residual;
mod response;
mod ringing;
mod seat_map;
mod solve;
mod sounding;
mod spacing;
mod stretch;
mod surfaces;
mod waves;

pub use cause::{Boundary, Cause, Extreme};
pub use deep::Deep;
pub use dip::{deepest_dip, deepest_dip_hz};
pub use low_end::{LowEnd, LowRow, RINGING_HZ, low_end};
pub use modes::{Mode, modes_up_to};
pub use pressure_map::{Plane, PressureMap, pressure_map};
pub use reach::{Farther, LEAST_TAKEN, reaches_down_to_hz, reaching};
pub use response::{
    Bass, BassError, BassPair, BassPlan, HIGHEST_HZ, LOWEST_HZ, MOST_MODES, ModeRow, Together,
    UNEVEN_HZ, bass, steps_hz, unevenness_db,
};
pub use ringing::{BAND_OCTAVES, Ringing, RingingPlan, ringing};
pub use seat_map::{FROM_SPEAKERS_M, FROM_WALLS_M, Flattest, SeatMap, SeatPlan, seat_map};
pub use spacing::{AXIAL_LEAST_HZ, AXIAL_MOST_HZ, SPACING_TO_HZ, Spacing, Third, spacing};
pub use waves::{KeptWaves, Waves};
