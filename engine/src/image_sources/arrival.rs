//! An arrival and its whole story.

use crate::bands::PerBand;
use crate::geometry::FaceId;
use glam::DVec3;
use num_complex::Complex64;

/// One bounce of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounce {
    /// The face it is on.
    pub face: FaceId,
    /// The panel the point lies on, by its index in [`crate::scene::Scene::panels`].
    pub panel: Option<usize>,
    /// Where, metres.
    pub point: DVec3,
    /// Cosine of the angle of incidence.
    pub cos_incidence: f64,
}

/// A specular path from a speaker to a listener. No bounces: the direct sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// Its bounces, from speaker to listener.
    pub bounces: Vec<Bounce>,
    /// Length of the whole path in metres.
    pub distance_m: f64,
    /// Unit vector along which it leaves the speaker.
    pub departure: DVec3,
    /// Unit vector from the listener toward where it comes from.
    pub from: DVec3,
    /// Pressure at each frequency of the inner grid, relative to the speaker's own at 1 m on axis
    /// in a free field: spreading, directivity and reflections, without the phase of travel and
    /// without air attenuation.
    pub pressure: Vec<Complex64>,
    /// Energy in each band, relative to the speaker's own at 1 m on axis in a free field,
    /// air attenuation included.
    pub band_energy: PerBand<f64>,
}
