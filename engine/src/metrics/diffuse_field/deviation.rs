//! Deviation of a traced decay time from a diffuse-field formula, and its likely causes.

use super::absorbing_area::{AbsorbingArea, BandAbsorption};
use super::enclosed_air::EnclosedAir;
use super::formula::{Formula, kv_m2_s};
use crate::medium::bands::BAND_COUNT;
use crate::metrics::decay::Estimate;

/// Deviation of a traced decay time from a formula's by more than both uncertainties.
#[derive(Debug, Clone, PartialEq)]
pub struct FormulaDeviation {
    /// Formula.
    pub formula: Formula,
    /// Octave band.
    pub band: usize,
    /// Traced decay time, seconds.
    pub traced_s: Estimate,
    /// The formula's decay time, seconds.
    pub formula_s: f64,
    /// Likely causes, the likeliest first; empty where none of those known explains it.
    pub causes: Vec<DeviationCause>,
}

impl FormulaDeviation {
    /// Deviation as a fraction of the formula's time: positive where the traced one is longer.
    pub fn relative(&self) -> f64 {
        self.traced_s.value / self.formula_s - 1.0
    }

    /// The same where the traced time is that of the wave field: its modes are the first cause, and scattering,
    /// which it does not know, is none.
    #[must_use]
    pub fn of_modes(mut self) -> Self {
        self.causes.retain(|cause| !matches!(cause, DeviationCause::LowScattering { .. }));
        self.causes.insert(0, DeviationCause::SeparateModes);
        self
    }
}

/// Reason why a room may not decay as a formula says. The thresholds at which a cause is named are our
/// own, rules of thumb.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DeviationCause {
    /// Sound there is that of separate modes, each of which decays by itself: there is no diffuse field.
    SeparateModes,
    /// The pairs of opposite surfaces absorb unevenly, and sound between the least absorbing pair
    /// outlasts the rest.
    UnevenAxes {
        /// Axis of the least absorbing pair, which holds the energy: 0 front and back, 1 left and
        /// right, 2 floor and ceiling.
        holds: usize,
        /// Mean absorption coefficient of the area that faces along each axis.
        mean_absorption: [f64; 3],
    },
    /// Surfaces scatter little, so sound keeps its direction and never mixes.
    LowScattering {
        /// Mean scattering coefficient over all areas.
        mean: f64,
    },
    /// One area absorbs so much that the field before it cannot be diffuse.
    StrongAbsorber {
        /// Index in the list of absorbing areas.
        index: usize,
        /// Absorption coefficient.
        absorption: f64,
        /// Fraction of the total area.
        area_share: f64,
    },
    /// Much of the absorption is the air's, which depends on the length of each path and not on the
    /// mean.
    Air {
        /// Fraction of the absorption area that is the air's.
        share: f64,
    },
}

/// Relative uncertainty of a formula's time by itself: 10 % (accuracy of Sabine and Eyring with
/// calibrated absorption, JASA 152, 1158, 2022, from the abstract).
pub const FORMULA_UNCERTAINTY: f64 = 0.1;

/// Deviation of a traced decay time from a formula's in one band of a room; `None` within
/// [`FORMULA_UNCERTAINTY`] and the traced time's standard error together, for an unknown standard
/// error, and where the formula gives no time.
pub fn formula_deviation(
    formula: Formula,
    band: usize,
    traced_s: Estimate,
    air: &EnclosedAir,
    absorbers: &[AbsorbingArea],
) -> Option<FormulaDeviation> {
    if BAND_COUNT <= band {
        return None;
    }
    let absorption = BandAbsorption::new(air, absorbers, band);
    let formula_s = formula.time_s(&absorption, kv_m2_s(air))?;
    let uncertainty_s = traced_s.standard_error? + FORMULA_UNCERTAINTY * formula_s;
    let difference_s = traced_s.value - formula_s;
    if difference_s.abs() <= uncertainty_s {
        return None;
    }
    let is_longer = difference_s > 0.0;
    let causes = [
        uneven_axes(&absorption).filter(|_| is_longer),
        low_scattering(absorbers, band).filter(|_| is_longer),
        strong_absorber(absorbers, band, absorption.area_m2),
        much_air(&absorption),
    ];
    let causes = causes.into_iter().flatten().collect();
    Some(FormulaDeviation { formula, band, traced_s, formula_s, causes })
}

/// Mean absorption of the least absorbing axis, as a fraction of the total mean, below which axes are
/// uneven.
const UNEVEN_BELOW: f64 = 2.0 / 3.0;
/// Mean scattering coefficient below which it is low.
const LOW_SCATTERING: f64 = 0.3;
/// Absorption coefficient and fraction of the total area from which an area absorbs strongly.
const STRONG_ABSORPTION: f64 = 0.5;
const STRONG_AREA: f64 = 0.05;
/// Fraction of the absorption area from which the air does much.
const MUCH_AIR: f64 = 0.3;

fn uneven_axes(absorption: &BandAbsorption) -> Option<DeviationCause> {
    let present = (0..3).filter(|&axis| absorption.axis_area_m2[axis] > 0.0);
    let holds =
        present.min_by(|&a, &b| absorption.axis_mean[a].total_cmp(&absorption.axis_mean[b]))?;
    (absorption.axis_mean[holds] < UNEVEN_BELOW * absorption.mean())
        .then_some(DeviationCause::UnevenAxes { holds, mean_absorption: absorption.axis_mean })
}

fn low_scattering(absorbers: &[AbsorbingArea], band: usize) -> Option<DeviationCause> {
    let area: f64 = absorbers.iter().map(|a| a.area_m2).sum();
    let mean = absorbers.iter().map(|a| a.area_m2 * a.scattering[band]).sum::<f64>() / area;
    (mean < LOW_SCATTERING).then_some(DeviationCause::LowScattering { mean })
}

fn strong_absorber(
    absorbers: &[AbsorbingArea],
    band: usize,
    area_m2: f64,
) -> Option<DeviationCause> {
    absorbers
        .iter()
        .enumerate()
        .filter(|(_, a)| {
            a.absorption[band] >= STRONG_ABSORPTION && a.area_m2 >= STRONG_AREA * area_m2
        })
        .max_by(|(_, a), (_, b)| {
            let absorbed_m2 = |x: &AbsorbingArea| x.area_m2 * x.absorption[band];
            absorbed_m2(a).total_cmp(&absorbed_m2(b))
        })
        .map(|(index, a)| DeviationCause::StrongAbsorber {
            index,
            absorption: a.absorption[band],
            area_share: a.area_m2 / area_m2,
        })
}

fn much_air(absorption: &BandAbsorption) -> Option<DeviationCause> {
    let share = absorption.air_m2 / (absorption.air_m2 + absorption.absorbed_m2);
    (share >= MUCH_AIR).then_some(DeviationCause::Air { share })
}
