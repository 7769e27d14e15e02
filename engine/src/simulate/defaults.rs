//! Default values of a request, shared by every command.

/// Highest order of the list of reflections.
pub const ORDER: u8 = 3;

/// Length of the list after the direct sound, seconds.
pub const WINDOW_S: f64 = 0.05;

/// Length of the early response after the direct sound, seconds.
pub const EARLY_RESPONSE_S: f64 = 0.5;

/// Length of the early response of a comparison, seconds: what its picture shows, and a little more.
pub const COMPARED_RESPONSE_S: f64 = 0.06;

/// Rays from each source.
pub const RAYS: u64 = 16_384;

/// Most rays from each source where their number follows from a wanted error.
pub const MAX_RAYS: u64 = 4_000_000;

/// Seed of the random numbers.
pub const SEED: u64 = 1;

/// Level down to which a decay is followed, decibels.
pub const FLOOR_DB: f64 = -60.0;

/// Lowest and highest frequency of the wave field, hertz.
pub const WAVE_FIELD_HZ: [u16; 2] = [15, 300];

/// Half of the head's movement for the spread of the wave field, metres.
pub const HEAD_HALF_M: f64 = 0.1;

/// Share of the time that is spent seated, per cent.
pub const SEATED_PERCENT: u8 = 50;

/// Half of the head's movement for Fresnel zones, millimetres.
pub const ZONE_HEAD_MM: f64 = 150.0;

/// Frequency of Fresnel zones, hertz.
pub const ZONE_HZ: f64 = 1000.0;
