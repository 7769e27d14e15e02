//! Directivity of a speaker as a scene describes it.

use crate::medium::bands::PerBand;

/// A speaker's directivity, relative to its own axis.
#[derive(Debug, Clone, PartialEq)]
pub enum Directivity {
    /// Equal in all directions.
    Omni,
    /// ½(1 + cos θ) at all frequencies.
    Cardioid,
    /// One driver in a cabinet.
    Piston {
        /// Driver diameter in metres.
        diameter_m: f64,
        /// The cabinet it sits in.
        cabinet: Cabinet,
    },
    /// Two drivers one above the other with a crossover.
    TwoWay {
        /// Woofer diameter in metres.
        woofer_m: f64,
        /// Tweeter diameter in metres.
        tweeter_m: f64,
        /// Distance between the driver centres along the cabinet's upright axis, in metres.
        spacing_m: f64,
        /// Crossover frequency in hertz.
        crossover_hz: f64,
        /// The point of the cabinet that the speaker's `at` names.
        reference: ReferencePoint,
        /// The cabinet they sit in.
        cabinet: Cabinet,
    },
    /// Decibels against the angle off the axis, per band.
    Table(DirectivityTable),
}

/// Outside dimensions of a speaker cabinet in metres, as it stands on its base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cabinet {
    /// Height.
    pub height_m: f64,
    /// Width.
    pub width_m: f64,
    /// Depth.
    pub depth_m: f64,
}

/// The point of a two-way speaker that its position names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReferencePoint {
    /// The tweeter's centre.
    Tweeter,
    /// Half-way between the drivers.
    Between,
    /// The woofer's centre.
    Woofer,
}

impl ReferencePoint {
    /// Height of the woofer above the point, metres, for a distance between the drivers.
    pub(super) fn woofer_up_m(self, spacing_m: f64) -> f64 {
        match self {
            Self::Tweeter => -spacing_m,
            Self::Between => -0.5 * spacing_m,
            Self::Woofer => 0.0,
        }
    }
}

/// Measured or invented directivity: level against the angle off the axis.
#[derive(Debug, Clone, PartialEq)]
pub struct DirectivityTable {
    /// The name of the file it came from, as the scene gives it.
    pub file: String,
    /// Angles off the axis in degrees, rising, the first 0 and the last 180.
    pub angle_deg: Vec<f64>,
    /// Level in decibels relative to the axis at each angle.
    pub level_db: Vec<PerBand<f64>>,
}

impl Directivity {
    /// The cabinet, where one is given.
    pub fn cabinet(&self) -> Option<&Cabinet> {
        match self {
            Self::Piston { cabinet, .. } | Self::TwoWay { cabinet, .. } => Some(cabinet),
            Self::Omni | Self::Cardioid | Self::Table(_) => None,
        }
    }
}
