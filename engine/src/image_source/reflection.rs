//! Direct sound and reflections as a listener receives them.

use super::arrival::Arrival;
use crate::medium::bands::{PerBand, energy_db};
use crate::scene::Listener;

/// Direct sound at a listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Direct {
    /// Distance from the speaker's reference point to the middle of the head, metres.
    pub distance_m: f64,
    /// Time of travel, seconds.
    pub time_s: f64,
    /// Azimuth of arrival as the listener faces, positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Elevation of arrival, positive upward, degrees.
    pub elevation_deg: f64,
    /// Whether something stands in its way.
    pub occluded: bool,
    /// Level in each band relative to the same speaker at 1 m on axis in a free field, decibels;
    /// with diffraction by bodies in and beside its way where the model's `edges` are on.
    pub band_level_db: PerBand<f64>,
}

/// A reflection at a listener, relative to the direct sound of the same speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Reflection {
    /// Its path and pressure.
    pub arrival: Arrival,
    /// Delay after the direct sound, seconds.
    pub delay_s: f64,
    /// Level over 1–8 kHz relative to the unobstructed direct sound, decibels.
    pub level_db: f64,
    /// Level in each band relative to the unobstructed direct sound, decibels.
    pub band_level_db: PerBand<f64>,
    /// Azimuth of arrival as the listener faces, positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Elevation of arrival, positive upward, degrees.
    pub elevation_deg: f64,
}

impl Direct {
    pub(crate) fn new(arrival: &Arrival, head: &Listener, speed_m_s: f64, occluded: bool) -> Self {
        let [azimuth_deg, elevation_deg] = head.direction_deg(arrival.arrival_direction);
        Self {
            distance_m: arrival.distance_m,
            time_s: arrival.distance_m / speed_m_s,
            azimuth_deg,
            elevation_deg,
            occluded,
            band_level_db: arrival.band_energy.map(energy_db),
        }
    }
}

impl Reflection {
    pub(crate) fn new(arrival: Arrival, direct: &Arrival, head: &Listener, speed_m_s: f64) -> Self {
        let [azimuth_deg, elevation_deg] = head.direction_deg(arrival.arrival_direction);
        Self {
            delay_s: (arrival.distance_m - direct.distance_m) / speed_m_s,
            level_db: arrival.level_db(direct),
            band_level_db: arrival.band_level_db(direct),
            azimuth_deg,
            elevation_deg,
            arrival,
        }
    }
}
