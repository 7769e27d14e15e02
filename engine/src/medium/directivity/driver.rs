//! One driver in a cabinet, at every frequency of a grid.

use super::cap::PolarCap;
use super::model::Cabinet;
use num_complex::Complex64;

/// A driver as a polar cap on the cabinet's equivalent sphere.
#[derive(Debug, Clone)]
pub(super) struct Driver {
    sphere_m: f64,
    caps: Vec<PolarCap>,
    wavenumbers: Vec<f64>,
}

impl Driver {
    /// `wavenumbers` in radians a metre.
    pub(super) fn new(diameter_m: f64, cabinet: &Cabinet, wavenumbers: &[f64]) -> Self {
        let sphere_m = cabinet.sphere_radius_m(diameter_m);
        let half_angle = (0.5 * diameter_m / sphere_m).asin();
        let caps = wavenumbers.iter().map(|k| PolarCap::new(k * sphere_m, half_angle)).collect();
        Self { sphere_m, caps, wavenumbers: wavenumbers.to_vec() }
    }

    /// Number of Legendre polynomials that [`Driver::pressure`] needs.
    pub(super) fn polynomials(&self) -> usize {
        self.caps.iter().map(PolarCap::len).max().unwrap_or(0)
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
        let points = self.caps.iter().zip(&self.wavenumbers);
        points.map(move |(cap, k)| cap.field(legendre) * Complex64::cis(k * lead_m))
    }
}

impl Cabinet {
    /// Radius in metres of the rigid sphere that stands for this cabinet when a driver of the
    /// given diameter sits in it.
    ///
    /// Its great circle has the area of the cabinet's front, because the front is what turns
    /// sound forward; it is never less than 1.1 times the driver's own radius, so that the
    /// driver stays a cap of at most 65°.
    pub fn sphere_radius_m(&self, driver_diameter_m: f64) -> f64 {
        let front = (self.height_m * self.width_m / std::f64::consts::PI).sqrt();
        front.max(1.1 * 0.5 * driver_diameter_m)
    }
}
