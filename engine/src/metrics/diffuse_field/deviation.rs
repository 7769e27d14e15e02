//! Where a traced decay and a statistical formula part, and what is likely behind it.

use super::absorbing_area::{AbsorbingArea, BandAbsorption};
use super::{air_m2, formula::Formula};
use crate::medium::bands::PerBand;
use crate::metrics::decay::Estimate;
use crate::scene::Room;

/// A traced decay and a formula that differ by more than both uncertainties.
#[derive(Debug, Clone, PartialEq)]
pub struct FormulaDeviation {
    /// The formula.
    pub formula: Formula,
    /// The octave band.
    pub band: usize,
    /// The traced decay time, seconds.
    pub traced_s: Estimate,
    /// The formula's time, seconds.
    pub formula_s: f64,
    /// What is likely behind it, the likeliest first; empty where nothing known here explains it.
    pub causes: Vec<DeviationCause>,
}

impl FormulaDeviation {
    /// How far the traced time is from the formula's, in parts of the latter: above zero where the
    /// trace is longer.
    pub fn relative(&self) -> f64 {
        self.traced_s.value / self.formula_s - 1.0
    }
}

/// What can make a room decay otherwise than a formula says. The bounds at which a cause is named
/// are our own, rules of thumb.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DeviationCause {
    /// The pairs of opposite surfaces absorb unevenly, and sound between the least absorbing pair
    /// outlasts the rest.
    UnevenAxes {
        /// The axis whose two surfaces hold the energy: 0 front and back, 1 left and right,
        /// 2 floor and ceiling.
        holds: usize,
        /// Mean absorption of what faces along each axis.
        mean_absorption: [f64; 3],
    },
    /// Surfaces scatter little, so sound keeps its direction and never mixes.
    LowScattering {
        /// Mean scattering coefficient over all areas.
        mean: f64,
    },
    /// One surface absorbs so much that the field cannot be even before it.
    StrongAbsorber {
        /// Its place in the list of absorbers.
        index: usize,
        /// Its absorption coefficient.
        absorption: f64,
        /// Its share of all areas.
        area_share: f64,
    },
    /// Much of the absorbing is done by the air, for which the length of each path counts and not
    /// the mean.
    Air {
        /// Share of the air in the absorption area.
        share: f64,
    },
}

/// How far a formula's time may be off by itself, relative: 10 % (accuracy of Sabine and Eyring
/// with calibrated absorption, JASA 152, 1158, 2022, from the abstract).
pub const FORMULA_UNCERTAINTY: f64 = 0.1;

/// What parts a traced decay time from a formula's in one band of a room; `None` where they agree
/// within [`FORMULA_UNCERTAINTY`] and the traced time's standard error together, where that error
/// is unknown, or where the formula gives nothing.
pub fn formula_deviation(
    formula: Formula,
    band: usize,
    traced_s: Estimate,
    room: &Room,
    speed_of_sound_m_s: f64,
    attenuation_db_per_m: &PerBand<f64>,
    absorbers: &[AbsorbingArea],
) -> Option<FormulaDeviation> {
    let air = air_m2(room, *attenuation_db_per_m.get(band)?);
    let lined = BandAbsorption::new(absorbers, band);
    let scale = 24.0 * std::f64::consts::LN_10 / speed_of_sound_m_s * room.volume_m3();
    let formula_s = formula.time_s(&lined, scale, air)?;
    let allowed = traced_s.standard_error? + FORMULA_UNCERTAINTY * formula_s;
    let apart = traced_s.value - formula_s;
    if apart.abs() <= allowed {
        return None;
    }
    let is_longer = apart > 0.0;
    let causes = [
        uneven_axes(&lined).filter(|_| is_longer),
        low_scattering(absorbers, band).filter(|_| is_longer),
        strong_absorber(absorbers, band, lined.area_m2),
        much_air(&lined, air),
    ];
    let causes = causes.into_iter().flatten().collect();
    Some(FormulaDeviation { formula, band, traced_s, formula_s, causes })
}

/// Axes are uneven where the least absorbing has less than this part of the mean absorption.
const UNEVEN_BELOW: f64 = 2.0 / 3.0;
/// Mean scattering below this is low.
const LOW_SCATTERING: f64 = 0.3;
/// A surface absorbs strongly from this coefficient on, if it has this share of all areas.
const STRONG_ABSORPTION: f64 = 0.5;
const STRONG_AREA: f64 = 0.05;
/// Air does much from this share of the absorption area on.
const MUCH_AIR: f64 = 0.3;

fn uneven_axes(lined: &BandAbsorption) -> Option<DeviationCause> {
    let present = (0..3).filter(|&axis| lined.axis_area_m2[axis] > 0.0);
    let holds = present.min_by(|&a, &b| lined.axis_mean[a].total_cmp(&lined.axis_mean[b]))?;
    (lined.axis_mean[holds] < UNEVEN_BELOW * lined.mean())
        .then_some(DeviationCause::UnevenAxes { holds, mean_absorption: lined.axis_mean })
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
            let taken = |x: &AbsorbingArea| x.area_m2 * x.absorption[band];
            taken(a).total_cmp(&taken(b))
        })
        .map(|(index, a)| DeviationCause::StrongAbsorber {
            index,
            absorption: a.absorption[band],
            area_share: a.area_m2 / area_m2,
        })
}

fn much_air(lined: &BandAbsorption, air_m2: f64) -> Option<DeviationCause> {
    let share = air_m2 / (air_m2 + lined.absorbed_m2);
    (share >= MUCH_AIR).then_some(DeviationCause::Air { share })
}
