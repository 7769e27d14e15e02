//! Every figure of one decay.

use super::absent::Absent;
use super::backward::BackwardCurve;
use super::energy::EnergyDecay;
use super::figure::{Figure, Figures};
use super::fit::{DecayTime, Range, curvature_percent};

/// What the figures need to know besides the decay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Energy of the direct sound, part of bin 0; zero where it is blocked.
    pub direct_energy: f64,
    /// Whether the source radiates alike in all directions, with |p|² = 1 in a free field at 1 m.
    /// Strength is given only then.
    pub omnidirectional: bool,
    /// Where [`Figure::EarlyShare`] divides, seconds.
    pub early_s: f64,
}

impl Setting {
    /// Early time after the direct sound that listening-room documents speak of: 15 ms.
    pub const EARLY_S: f64 = 0.015;

    /// The setting for a direct sound of this energy, from a source that is not alike in all
    /// directions, with early sound up to 15 ms.
    pub fn new(direct_energy: f64) -> Self {
        Self { direct_energy, omnidirectional: false, early_s: Self::EARLY_S }
    }

    /// The same, for a source that radiates alike in all directions with |p|² = 1 at 1 m.
    #[must_use]
    pub fn omnidirectional(self) -> Self {
        Self { omnidirectional: true, ..self }
    }
}

/// Every figure of a decay, each with its value or the reason why there is none.
///
/// Each decay time is given with its non-linearity; above [`DecayTime::STRAIGHT_PER_MILLE`] the
/// decay is bent over the range, and the time describes no part of it well.
///
/// # Example
///
/// A decay of 0.5 s, in bins of 1 ms (ISO 3382 closed forms for an exponential):
///
/// ```
/// use earline_engine::metrics::decay::{EnergyDecay, Figure, Setting, evaluate};
///
/// let left_after = |ms: f64| 10f64.powf(-6.0 * ms * 1e-3 / 0.5);
/// let bins = (0..1000).map(|i| left_after(f64::from(i)) - left_after(f64::from(i + 1)));
/// let figures = evaluate(&EnergyDecay::complete(1e-3, bins.collect()), &Setting::new(0.0));
/// assert!((figures[Figure::T30].expect("a long decay") - 0.5).abs() < 1e-3);
/// assert!((figures[Figure::C50].expect("late energy") - 4.7437).abs() < 0.01);
/// assert!(figures[Figure::Strength].is_err(), "nothing said of the source");
/// ```
pub fn evaluate(decay: &EnergyDecay, setting: &Setting) -> Figures<Result<f64, Absent>> {
    let seen = BackwardCurve::of(decay).map(|curve| Evaluated::new(decay, &curve, setting));
    Figures::from_fn(|figure| seen.as_ref().map_err(|absent| *absent)?.value(figure))
}

/// ISO 3382-1: strength is relative to 10 m, so to a hundredth of the energy at 1 m.
const FREE_FIELD_AT_10_M: f64 = 0.01;

/// What several figures share, worked out once.
struct Evaluated {
    edt: Result<DecayTime, Absent>,
    t20: Result<DecayTime, Absent>,
    t30: Result<DecayTime, Absent>,
    total: f64,
    direct: f64,
    after_50_ms: f64,
    after_80_ms: f64,
    after_early: f64,
    centre_s: f64,
    omnidirectional: bool,
}

impl Evaluated {
    fn new(decay: &EnergyDecay, curve: &BackwardCurve, setting: &Setting) -> Self {
        let direct = decay.energy.first().map_or(0.0, |e| setting.direct_energy.min(*e)).max(0.0);
        Self {
            edt: Range::EDT.decay_time(curve),
            t20: Range::T20.decay_time(curve),
            t30: Range::T30.decay_time(curve),
            total: curve.total(),
            direct,
            after_50_ms: curve.energy_after(0.050),
            after_80_ms: curve.energy_after(0.080),
            after_early: curve.energy_after(setting.early_s),
            centre_s: centre_s(decay, curve, direct),
            omnidirectional: setting.omnidirectional,
        }
    }

    fn value(&self, figure: Figure) -> Result<f64, Absent> {
        match figure {
            Figure::Edt => self.edt.map(|fit| fit.time_s),
            Figure::T20 => self.t20.map(|fit| fit.time_s),
            Figure::T30 => self.t30.map(|fit| fit.time_s),
            Figure::EdtNonlinearity => self.edt.map(|fit| fit.nonlinearity_per_mille),
            Figure::T20Nonlinearity => self.t20.map(|fit| fit.nonlinearity_per_mille),
            Figure::T30Nonlinearity => self.t30.map(|fit| fit.nonlinearity_per_mille),
            Figure::Curvature => Ok(curvature_percent(self.t20?.time_s, self.t30?.time_s)),
            Figure::C50 => ratio_db(self.total - self.after_50_ms, self.after_50_ms, self.total),
            Figure::C80 => ratio_db(self.total - self.after_80_ms, self.after_80_ms, self.total),
            Figure::D50 => Ok(1.0 - self.after_50_ms / self.total),
            Figure::CentreTime => Ok(self.centre_s),
            Figure::DirectToReverberant if self.direct <= 0.0 => Err(Absent::NoDirectSound),
            Figure::DirectToReverberant => {
                ratio_db(self.direct, self.total - self.direct, self.total)
            }
            Figure::Strength if !self.omnidirectional => Err(Absent::Directional),
            Figure::Strength => Ok(10.0 * (self.total / FREE_FIELD_AT_10_M).log10()),
            Figure::EarlyShare => Ok(1.0 - self.after_early / self.total),
        }
    }
}

/// Rest of a sum that is rounding and no energy, relative to all of it.
const ROUNDING: f64 = 1e-14;

fn ratio_db(early: f64, late: f64, total: f64) -> Result<f64, Absent> {
    if late <= ROUNDING * total {
        Err(Absent::NothingLate)
    } else if early <= ROUNDING * total {
        Err(Absent::NothingEarly)
    } else {
        Ok(10.0 * (early / late).log10())
    }
}

/// Mean time of the energy: the direct sound at 0, the rest in the middle of its bin, the tail at
/// its own mean.
fn centre_s(decay: &EnergyDecay, curve: &BackwardCurve, direct: f64) -> f64 {
    let in_bins: f64 =
        decay.energy.iter().enumerate().map(|(i, e)| (i as f64 + 0.5) * e).sum::<f64>()
            - 0.5 * direct;
    let tail = curve.tail();
    let in_tail = tail.energy * (decay.length_s() + tail.rate_per_s.recip());
    (in_bins * decay.bin_s + in_tail) / curve.total()
}
