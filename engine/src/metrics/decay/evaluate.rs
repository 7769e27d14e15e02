//! Metrics of one decay.

use super::energy::EnergyDecay;
use super::fit::{DecayTime, EvaluationRange, curvature_percent};
use super::metric::{Metric, Metrics};
use super::schroeder::SchroederCurve;
use super::unavailable::Unavailable;

/// Inputs of the metrics besides the decay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MetricInputs {
    /// Energy of the direct sound, part of bin 0; zero where it is blocked.
    pub direct_energy: f64,
    /// Whether the source is omnidirectional, with |p|² = 1 in a free field at 1 m.
    /// Strength is given only then.
    pub omnidirectional: bool,
    /// Early time of [`Metric::EarlyShare`], seconds.
    pub early_s: f64,
}

impl MetricInputs {
    /// Early time after the direct sound that listening-room documents speak of: 15 ms.
    pub const EARLY_S: f64 = 0.015;

    /// Inputs for a direct sound of this energy, from a source that is not alike in all
    /// directions, with early sound up to 15 ms.
    pub fn new(direct_energy: f64) -> Self {
        Self { direct_energy, omnidirectional: false, early_s: Self::EARLY_S }
    }

    /// Inputs for an omnidirectional source with |p|² = 1 at 1 m.
    #[must_use]
    pub fn omnidirectional(self) -> Self {
        Self { omnidirectional: true, ..self }
    }
}

/// Metrics of a decay, each with its value or the reason why there is none.
///
/// Each decay time is given with its non-linearity; above [`DecayTime::STRAIGHT_PER_MILLE`] the
/// decay is bent over the range, and the time describes no part of it well.
///
/// # Example
///
/// A decay of 0.5 s, in bins of 1 ms (ISO 3382 closed forms for an exponential):
///
/// ```
/// use earline_engine::metrics::decay::{EnergyDecay, Metric, MetricInputs, evaluate};
///
/// let left_after = |ms: f64| 10f64.powf(-6.0 * ms * 1e-3 / 0.5);
/// let bins = (0..1000).map(|i| left_after(f64::from(i)) - left_after(f64::from(i + 1)));
/// let metrics = evaluate(&EnergyDecay::complete(1e-3, bins.collect()), &MetricInputs::new(0.0));
/// assert!((metrics[Metric::T30].expect("a long decay") - 0.5).abs() < 1e-3);
/// assert!((metrics[Metric::C50].expect("late energy") - 4.7437).abs() < 0.01);
/// assert!(metrics[Metric::Strength].is_err(), "nothing said of the source");
/// ```
pub fn evaluate(decay: &EnergyDecay, inputs: &MetricInputs) -> Metrics<Result<f64, Unavailable>> {
    let seen = SchroederCurve::of(decay).map(|curve| SharedQuantities::new(decay, &curve, inputs));
    Metrics::from_fn(|metric| seen.as_ref().map_err(|unavailable| *unavailable)?.value(metric))
}

/// ISO 3382-1: strength is relative to 10 m, so to a hundredth of the energy at 1 m.
const FREE_FIELD_AT_10_M: f64 = 0.01;

/// Quantities that several metrics share, computed once.
struct SharedQuantities {
    edt: Result<DecayTime, Unavailable>,
    t20: Result<DecayTime, Unavailable>,
    t30: Result<DecayTime, Unavailable>,
    total: f64,
    direct: f64,
    after_50_ms: f64,
    after_80_ms: f64,
    after_early: f64,
    centre_s: f64,
    omnidirectional: bool,
}

impl SharedQuantities {
    fn new(decay: &EnergyDecay, curve: &SchroederCurve, inputs: &MetricInputs) -> Self {
        let direct = decay.energy.first().map_or(0.0, |e| inputs.direct_energy.min(*e)).max(0.0);
        Self {
            edt: EvaluationRange::EDT.decay_time(curve),
            t20: EvaluationRange::T20.decay_time(curve),
            t30: EvaluationRange::T30.decay_time(curve),
            total: curve.total(),
            direct,
            after_50_ms: curve.energy_after(0.050),
            after_80_ms: curve.energy_after(0.080),
            after_early: curve.energy_after(inputs.early_s),
            centre_s: centre_s(decay, curve, direct),
            omnidirectional: inputs.omnidirectional,
        }
    }

    fn value(&self, metric: Metric) -> Result<f64, Unavailable> {
        match metric {
            Metric::Edt => self.edt.map(|fit| fit.time_s),
            Metric::T20 => self.t20.map(|fit| fit.time_s),
            Metric::T30 => self.t30.map(|fit| fit.time_s),
            Metric::EdtNonlinearity => self.edt.map(|fit| fit.nonlinearity_per_mille),
            Metric::T20Nonlinearity => self.t20.map(|fit| fit.nonlinearity_per_mille),
            Metric::T30Nonlinearity => self.t30.map(|fit| fit.nonlinearity_per_mille),
            Metric::Curvature => Ok(curvature_percent(self.t20?.time_s, self.t30?.time_s)),
            Metric::C50 => ratio_db(self.total - self.after_50_ms, self.after_50_ms, self.total),
            Metric::C80 => ratio_db(self.total - self.after_80_ms, self.after_80_ms, self.total),
            Metric::D50 => Ok(1.0 - self.after_50_ms / self.total),
            Metric::CentreTime => Ok(self.centre_s),
            Metric::DirectToReverberant if self.direct <= 0.0 => Err(Unavailable::NoDirectSound),
            Metric::DirectToReverberant => {
                ratio_db(self.direct, self.total - self.direct, self.total)
            }
            Metric::Strength if !self.omnidirectional => Err(Unavailable::Directional),
            Metric::Strength => Ok(10.0 * (self.total / FREE_FIELD_AT_10_M).log10()),
            Metric::EarlyShare => Ok(1.0 - self.after_early / self.total),
        }
    }
}

/// Rest of a sum that is rounding and no energy, relative to all of it.
const ROUNDING: f64 = 1e-14;

fn ratio_db(early: f64, late: f64, total: f64) -> Result<f64, Unavailable> {
    if late <= ROUNDING * total {
        Err(Unavailable::NothingLate)
    } else if early <= ROUNDING * total {
        Err(Unavailable::NothingEarly)
    } else {
        Ok(10.0 * (early / late).log10())
    }
}

/// Mean time of the energy: the direct sound at 0, the rest in the middle of its bin, the tail at
/// its own mean.
fn centre_s(decay: &EnergyDecay, curve: &SchroederCurve, direct: f64) -> f64 {
    let in_bins: f64 =
        decay.energy.iter().enumerate().map(|(i, e)| (i as f64 + 0.5) * e).sum::<f64>()
            - 0.5 * direct;
    let tail = curve.tail();
    let in_tail = tail.energy * (decay.length_s() + tail.rate_per_s.recip());
    (in_bins * decay.bin_s + in_tail) / curve.total()
}
