//! A speaker ready to radiate: its pressure in any direction at every grid frequency.

use super::driver::Driver;
use super::model::Directivity;
use super::sphere::legendre;
use super::table::TableCurves;
use super::two_way::TwoWay;
use crate::medium::air::Air;
use crate::medium::bands::FrequencyGrid;
use glam::DVec3;
use num_complex::Complex64;

/// A speaker's directivity pointed along its axis, prepared once for one state of the air and one
/// grid.
///
/// The pressure is that of the far field, relative to the axis, with its phase referred to the
/// speaker's acoustic reference point: on the axis it is 1 at every frequency, so the speaker's
/// own on-axis response is flat by definition. Far field: at a metre and more a two-way monitor's
/// path differences are out by a centimetre or so at most.
#[derive(Debug, Clone)]
pub struct Radiator {
    axis: DVec3,
    up: DVec3,
    pattern: Pattern,
}

#[derive(Debug, Clone)]
enum Pattern {
    Omni,
    Cardioid,
    Driver(Driver),
    TwoWay(Box<TwoWay>),
    Table(TableCurves),
}

impl Radiator {
    /// Prepares a speaker whose axis points along the unit vector `axis`.
    ///
    /// The cabinet stands upright: its own up-axis is the room's, tilted back with the axis. A
    /// speaker that points straight up or down has its top toward the back wall.
    pub fn new(directivity: &Directivity, axis: DVec3, air: &Air, grid: &FrequencyGrid) -> Self {
        let per_hz = std::f64::consts::TAU / air.speed_of_sound_m_s();
        let wavenumbers: Vec<f64> = grid.hz().iter().map(|hz| hz * per_hz).collect();
        let pattern = match directivity {
            Directivity::Omni => Pattern::Omni,
            Directivity::Cardioid => Pattern::Cardioid,
            Directivity::Piston { diameter_m, cabinet } => {
                Pattern::Driver(Driver::new(*diameter_m, cabinet, &wavenumbers))
            }
            Directivity::TwoWay {
                woofer_m,
                tweeter_m,
                spacing_m,
                crossover_hz,
                reference,
                cabinet,
            } => {
                let woofer = Driver::new(*woofer_m, cabinet, &wavenumbers);
                let tweeter = Driver::new(*tweeter_m, cabinet, &wavenumbers);
                Pattern::TwoWay(Box::new(TwoWay::new(
                    (woofer, tweeter),
                    *spacing_m,
                    *crossover_hz,
                    *reference,
                    grid.hz(),
                )))
            }
            Directivity::Table(table) => Pattern::Table(TableCurves::new(table)),
        };
        Self { axis, up: up_axis(axis), pattern }
    }

    /// The cabinet's up-axis, a unit vector perpendicular to the speaker's axis.
    pub fn up(&self) -> DVec3 {
        self.up
    }

    /// Writes the far-field pressure relative to the axis, at every grid frequency, in a direction
    /// given by a unit vector from the speaker. `out` is as long as the grid.
    pub fn pressure(&self, direction: DVec3, out: &mut [Complex64]) {
        let cos_off_axis = self.axis.dot(direction).clamp(-1.0, 1.0);
        match &self.pattern {
            Pattern::Omni => out.fill(Complex64::ONE),
            Pattern::Cardioid => out.fill((0.5 * (1.0 + cos_off_axis)).into()),
            Pattern::Driver(driver) => {
                let mut polynomials = vec![0.0; driver.polynomials()];
                legendre(cos_off_axis, &mut polynomials);
                for (value, p) in
                    out.iter_mut().zip(driver.pressure(cos_off_axis, 0.0, &polynomials))
                {
                    *value = p;
                }
            }
            Pattern::TwoWay(two_way) => {
                two_way.pressure(cos_off_axis, self.up.dot(direction), out);
            }
            Pattern::Table(curves) => {
                let angle = self.axis.cross(direction).length().atan2(cos_off_axis).to_degrees();
                let bands = out.chunks_mut(FrequencyGrid::POINTS_PER_BAND);
                for (points, level_db) in bands.zip(curves.level_db(angle)) {
                    points.fill(10f64.powf(0.05 * level_db).into());
                }
            }
        }
    }
}

/// The room's upright made perpendicular to the axis; away from the front wall for a vertical one.
pub(crate) fn up_axis(axis: DVec3) -> DVec3 {
    let upright = if axis.z.abs() < 1.0 - 1e-9 { DVec3::Z } else { DVec3::X };
    (upright - axis * axis.dot(upright)).normalize_or(DVec3::X)
}
