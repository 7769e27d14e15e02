//! Deviations of traced decay times from the statistical formulas, in the document of `trace`.

use super::round::{Ratio, Seconds, ratio, seconds};
use crate::content::formula_comparison::{self, FormulaComparison};
use crate::format::labels;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::decay::Metric;
use earline_engine::metrics::diffuse_field::{self, Formula};
use earline_engine::scene::Scene;
use earline_engine::simulate::PairDecay;
use schemars::JsonSchema;
use serde::Serialize;

/// A traced decay time and a formula that differ by more than both uncertainties.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct FormulaDeviation {
    /// Key of the traced figure.
    #[schemars(extend("enum" = ["t20_s", "t30_s"]))]
    figure: &'static str,
    /// Formula, as the keys of `statistics` name it without their unit.
    formula: &'static str,
    hz: f64,
    traced_s: Seconds,
    formula_s: Seconds,
    /// Likely causes, the likeliest first.
    causes: Vec<DeviationCause>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct DeviationCause {
    #[serde(flatten)]
    kind: CauseKind,
    /// The cause as a sentence without a full stop.
    words: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "cause")]
enum CauseKind {
    /// Sound there is that of separate modes.
    #[serde(rename = "separate modes")]
    SeparateModes,
    /// Sound lasts longest between one pair of opposite surfaces.
    #[serde(rename = "uneven axes")]
    UnevenAxes {
        /// That pair of surfaces.
        holds: [&'static str; 2],
        /// Mean absorption of what faces along x (front and back), y and z.
        mean_absorption: [Ratio; 3],
    },
    /// The surfaces scatter little.
    #[serde(rename = "low scattering")]
    LowScattering { mean_scattering: Ratio },
    /// A single absorber takes much of the sound.
    #[serde(rename = "strong absorber")]
    StrongAbsorber {
        absorber: Option<String>,
        material: Option<String>,
        absorption: Ratio,
        area_share: Ratio,
    },
    /// The air does much of the absorbing.
    #[serde(rename = "air")]
    Air { share: Ratio },
}

impl FormulaDeviation {
    /// Deviations of T20 and T30 from every formula in every band.
    pub(crate) fn all(
        scene: &Scene,
        beside: &FormulaComparison<'_>,
        pair: &PairDecay,
    ) -> Vec<Self> {
        let mut all = Vec::new();
        for (figure, name) in [(Metric::T20, "t20_s"), (Metric::T30, "t30_s")] {
            for formula in Formula::ALL {
                let found = beside.deviations(pair, figure, formula);
                all.extend(found.iter().map(|found| Self::new(scene, beside, name, found)));
            }
        }
        all
    }

    fn new(
        scene: &Scene,
        beside: &FormulaComparison<'_>,
        figure: &'static str,
        found: &diffuse_field::FormulaDeviation,
    ) -> Self {
        let cause = |cause: &diffuse_field::DeviationCause| DeviationCause {
            kind: CauseKind::new(scene, beside, cause),
            words: formula_comparison::cause(scene, beside, cause, found.band),
        };
        Self {
            figure,
            formula: formula_key(found.formula),
            hz: NOMINAL_HZ[found.band],
            traced_s: seconds(found.traced_s.value),
            formula_s: seconds(found.formula_s),
            causes: found.causes.iter().map(cause).collect(),
        }
    }
}

impl CauseKind {
    fn new(
        scene: &Scene,
        beside: &FormulaComparison<'_>,
        cause: &diffuse_field::DeviationCause,
    ) -> Self {
        match *cause {
            diffuse_field::DeviationCause::SeparateModes => Self::SeparateModes,
            diffuse_field::DeviationCause::UnevenAxes { holds, mean_absorption } => {
                Self::UnevenAxes {
                    holds: [["front", "back"], ["left", "right"], ["floor", "ceiling"]]
                        [holds.min(2)],
                    mean_absorption: mean_absorption.map(ratio),
                }
            }
            diffuse_field::DeviationCause::LowScattering { mean } => {
                Self::LowScattering { mean_scattering: ratio(mean) }
            }
            diffuse_field::DeviationCause::StrongAbsorber { index, absorption, area_share } => {
                let piece = beside.piece(index);
                Self::StrongAbsorber {
                    absorber: piece.as_ref().map(labels::piece_wire),
                    material: piece.as_ref().map(|p| labels::finish(scene, p).to_owned()),
                    absorption: ratio(absorption),
                    area_share: ratio(area_share),
                }
            }
            diffuse_field::DeviationCause::Air { share } => Self::Air { share: ratio(share) },
        }
    }
}

fn formula_key(formula: Formula) -> &'static str {
    match formula {
        Formula::Sabine => "sabine",
        Formula::Eyring => "eyring",
        Formula::Millington => "millington",
        Formula::Fitzroy => "fitzroy",
        Formula::ArauPuchades => "arau_puchades",
        Formula::Kuttruff => "kuttruff",
    }
}
