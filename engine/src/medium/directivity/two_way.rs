//! Two drivers one above the other, with a crossover between them.

use super::driver::Driver;
use super::model::ReferencePoint;
use super::sphere::legendre;
use num_complex::Complex64;

/// A woofer below a tweeter, both at the front of one cabinet.
///
/// Fourth-order Linkwitz–Riley filters keep the two in phase, so relative to their sum on the axis
/// the weights are real: 1/(1 + (f/f₀)⁴) for the woofer and the rest for the tweeter, each ½ at
/// the crossover (Linkwitz 1976, from memory; the algebra is in the theory page).
#[derive(Debug, Clone)]
pub(super) struct TwoWay {
    woofer: Driver,
    tweeter: Driver,
    /// Heights above the reference point in metres.
    woofer_up_m: f64,
    tweeter_up_m: f64,
    /// The woofer's weight at each frequency.
    woofer_weight: Vec<f64>,
}

impl TwoWay {
    pub(super) fn new(
        (woofer, tweeter): (Driver, Driver),
        spacing_m: f64,
        crossover_hz: f64,
        reference: ReferencePoint,
        hz: &[f64],
    ) -> Self {
        let woofer_up_m = reference.woofer_up_m(spacing_m);
        let tweeter_up_m = woofer_up_m + spacing_m;
        let woofer_weight = hz.iter().map(|f| 1.0 / (1.0 + (f / crossover_hz).powi(4))).collect();
        Self { woofer, tweeter, woofer_up_m, tweeter_up_m, woofer_weight }
    }

    /// Pressure relative to the axis at every frequency; `rise` is the component of the direction
    /// along the cabinet's up-axis.
    pub(super) fn pressure(&self, cos_off_axis: f64, rise: f64, out: &mut [Complex64]) {
        let count = self.woofer.polynomials().max(self.tweeter.polynomials());
        let mut polynomials = vec![0.0; count];
        legendre(cos_off_axis, &mut polynomials);
        let woofer = self.woofer.pressure(cos_off_axis, self.woofer_up_m * rise, &polynomials);
        let tweeter = self.tweeter.pressure(cos_off_axis, self.tweeter_up_m * rise, &polynomials);
        let drivers = woofer.zip(tweeter).zip(&self.woofer_weight);
        for (value, ((low, high), weight)) in out.iter_mut().zip(drivers) {
            *value = weight * low + (1.0 - weight) * high;
        }
    }
}
