//! Where a traced decay and the statistical formulas part, in the trace document.

use super::round;
use crate::content::formula_comparison;
use crate::content::trace::TraceReport;
use crate::format::labels;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::decay::Figure;
use earline_engine::metrics::diffuse_field::{self, Disagreement, Formula};
use earline_engine::whole_decay::PairDecay;
use serde::Serialize;

/// A traced decay time and a formula that differ by more than both uncertainties.
#[derive(Debug, Serialize)]
pub(crate) struct Parted {
    figure: &'static str,
    formula: &'static str,
    hz: f64,
    traced_s: f64,
    formula_s: f64,
    /// What is likely behind it, the likeliest first.
    causes: Vec<Cause>,
}

#[derive(Debug, Serialize)]
struct Cause {
    #[serde(flatten)]
    kind: Kind,
    words: String,
}

#[derive(Debug, Serialize)]
#[serde(tag = "cause")]
enum Kind {
    #[serde(rename = "uneven axes")]
    UnevenAxes {
        /// The pair that holds the sound.
        holds: [&'static str; 2],
        /// Mean absorption of what faces along x (front and back), y and z.
        mean_absorption: [f64; 3],
    },
    #[serde(rename = "low scattering")]
    LowScattering { mean_scattering: f64 },
    #[serde(rename = "strong absorber")]
    StrongAbsorber {
        absorber: Option<String>,
        material: Option<String>,
        absorption: f64,
        area_share: f64,
    },
    #[serde(rename = "air")]
    Air { share: f64 },
}

/// Every band in which T20 or T30 and a formula part.
pub(crate) fn parted(report: &TraceReport<'_>, pair: &PairDecay) -> Vec<Parted> {
    let mut all = Vec::new();
    for (figure, name) in [(Figure::T20, "t20_s"), (Figure::T30, "t30_s")] {
        for formula in Formula::ALL {
            let found = report.formula_comparison.deviations(pair, figure, formula);
            all.extend(found.iter().map(|found| Parted::new(report, name, found)));
        }
    }
    all
}

impl Parted {
    fn new(report: &TraceReport<'_>, figure: &'static str, found: &Disagreement) -> Self {
        Self {
            figure,
            formula: wire(found.formula),
            hz: NOMINAL_HZ[found.band],
            traced_s: round::seconds(found.traced_s.value),
            formula_s: round::seconds(found.formula_s),
            causes: found
                .causes
                .iter()
                .map(|cause| Cause {
                    kind: kind(report, cause),
                    words: formula_comparison::cause(
                        report.scene,
                        report.formula_comparison,
                        cause,
                        found.band,
                    ),
                })
                .collect(),
        }
    }
}

/// A formula as the keys of `statistics` name it, without the unit.
fn wire(formula: Formula) -> &'static str {
    match formula {
        Formula::Sabine => "sabine",
        Formula::Eyring => "eyring",
        Formula::Millington => "millington",
        Formula::Fitzroy => "fitzroy",
        Formula::ArauPuchades => "arau_puchades",
        Formula::Kuttruff => "kuttruff",
    }
}

fn kind(report: &TraceReport<'_>, cause: &diffuse_field::Cause) -> Kind {
    match *cause {
        diffuse_field::Cause::UnevenAxes { holds, mean_absorption } => Kind::UnevenAxes {
            holds: [["front", "back"], ["left", "right"], ["floor", "ceiling"]][holds.min(2)],
            mean_absorption: mean_absorption.map(round::ratio),
        },
        diffuse_field::Cause::LowScattering { mean } => {
            Kind::LowScattering { mean_scattering: round::ratio(mean) }
        }
        diffuse_field::Cause::StrongAbsorber { index, absorption, area_share } => {
            let piece = report.formula_comparison.piece(index);
            Kind::StrongAbsorber {
                absorber: piece.as_ref().map(labels::piece_wire),
                material: piece.as_ref().map(|p| labels::finish(report.scene, p).to_owned()),
                absorption: round::ratio(absorption),
                area_share: round::ratio(area_share),
            }
        }
        diffuse_field::Cause::Air { share } => Kind::Air { share: round::ratio(share) },
    }
}
