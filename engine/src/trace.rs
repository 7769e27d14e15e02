//! The main job: from a scene to what arrives at each seat from each speaker.

use crate::bands::PerBand;
use crate::image_sources::Arrival;
use crate::response::EnergyTime;

/// What to trace and how far.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Indices of the speakers, in [`crate::scene::Scene::speakers`].
    pub speakers: Vec<usize>,
    /// Indices of the listeners, in [`crate::scene::Scene::listeners`].
    pub listeners: Vec<usize>,
    /// Highest image order in the list of reflections.
    pub order: usize,
    /// The list holds reflections up to this long after the direct sound, seconds.
    pub window_s: f64,
    /// The energy-time curve runs this long after the direct sound, seconds.
    pub curve_s: f64,
}

/// Everything traced, one entry for each speaker at each listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Speed of sound in metres a second.
    pub speed_of_sound_m_s: f64,
    /// Air attenuation in decibels a metre.
    pub attenuation_db_per_m: PerBand<f64>,
    /// For each listener of the plan, each speaker of the plan.
    pub pairs: Vec<PairTrace>,
}

/// What arrives at one listener from one speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct PairTrace {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// The direct sound.
    pub direct: Direct,
    /// Reflections sorted by time.
    pub reflections: Vec<Reflection>,
    /// Energy against time.
    pub energy_time: EnergyTime,
}

/// The direct sound at a listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Direct {
    /// Distance from the speaker's reference point to the middle of the head, metres.
    pub distance_m: f64,
    /// Time of travel, seconds.
    pub time_s: f64,
    /// Direction it comes from as the listener faces; positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Direction it comes from, positive upward, degrees.
    pub elevation_deg: f64,
    /// Whether something stands in its way.
    pub shadowed: bool,
    /// Level in each band relative to the same speaker at 1 m on axis in a free field, decibels.
    pub band_level_db: PerBand<f64>,
}

/// A reflection at a listener, relative to the direct sound of the same speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Reflection {
    /// Its path and pressure.
    pub arrival: Arrival,
    /// Delay after the direct sound, seconds.
    pub after_direct_s: f64,
    /// Level over 1–8 kHz relative to the unobstructed direct sound, decibels.
    pub level_db: f64,
    /// Level in each band relative to the unobstructed direct sound, decibels.
    pub band_level_db: PerBand<f64>,
    /// Direction it comes from as the listener faces; positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Direction it comes from, positive upward, degrees.
    pub elevation_deg: f64,
}
