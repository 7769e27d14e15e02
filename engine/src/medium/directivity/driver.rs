//! One driver in a cabinet, at every frequency of a grid.
//!
//! The cone is a flat circular piston (Rayleigh), and the cabinet a rigid sphere about it: the pattern is that of
//! the piston in an infinite baffle times that of a point source on the sphere. In front, where the wave passes
//! no edge, the first is exact for a large baffle and the second adds the step from full to half space. Round
//! the sphere goes what leaves along its surface, so behind, the piston has its value at 90° (Keller's geometrical
//! theory of diffraction, 1962; from memory).

use super::model::Cabinet;
use super::piston::piston_in_baffle;
use super::sphere::SphereSource;
use num_complex::Complex64;

/// A flat piston on the cabinet's equivalent sphere.
#[derive(Debug, Clone)]
pub(super) struct Driver {
    piston_m: f64,
    sphere_m: f64,
    sphere: Vec<SphereSource>,
    wavenumbers: Vec<f64>,
}

impl Driver {
    /// `wavenumbers` in radians a metre.
    pub(super) fn new(diameter_m: f64, cabinet: &Cabinet, wavenumbers: &[f64]) -> Self {
        let sphere_m = cabinet.sphere_radius_m(diameter_m);
        let sphere = wavenumbers.iter().map(|k| SphereSource::new(k * sphere_m)).collect();
        let piston_m = 0.5 * diameter_m;
        Self { piston_m, sphere_m, sphere, wavenumbers: wavenumbers.to_vec() }
    }

    /// Number of Legendre polynomials that [`Driver::pressure`] needs.
    pub(super) fn polynomials(&self) -> usize {
        self.sphere.iter().map(SphereSource::len).max().unwrap_or(0)
    }

    /// Pressure relative to the axis at each frequency, for a driver whose sound has
    /// `lead_m` metres less to travel than from the point that phases are referred to.
    pub(super) fn pressure<'a>(
        &'a self,
        cos_off_axis: f64,
        lead_m: f64,
        legendre: &'a [f64],
    ) -> impl Iterator<Item = Complex64> + 'a {
        let lead_m = lead_m + self.sphere_m * (1.0 - cos_off_axis);
        let sine = (1.0 - cos_off_axis.max(0.0).powi(2)).sqrt();
        let points = self.sphere.iter().zip(&self.wavenumbers);
        points.map(move |(sphere, k)| {
            let piston = piston_in_baffle(k * self.piston_m * sine);
            piston * sphere.field(legendre) * Complex64::cis(k * lead_m)
        })
    }
}

impl Cabinet {
    /// Radius in metres of the rigid sphere that stands for this cabinet when a driver of the
    /// given diameter sits in it.
    ///
    /// Its great circle has the area of the cabinet's front, because the front is what turns
    /// sound forward; it is never less than 1.1 times the driver's own radius.
    pub fn sphere_radius_m(&self, driver_diameter_m: f64) -> f64 {
        let front = (self.height_m * self.width_m / std::f64::consts::PI).sqrt();
        front.max(1.1 * 0.5 * driver_diameter_m)
    }
}
