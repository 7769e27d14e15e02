//! Decay figures in the trace document.

use super::round;
use earline_engine::bands::PerBand;
use earline_engine::decay::{Absent, Estimate, Figure};
use earline_engine::scene::Scene;
use earline_engine::whole_decay::{PairDecay, SpeakerRays};
use serde::Serialize;

/// Figures per band with, under `uncertainty`, the standard error of each.
#[derive(Debug, Serialize)]
pub(crate) struct Decay {
    #[serde(flatten)]
    figures: Values,
    /// One standard error, in the same units.
    uncertainty: Values,
    /// Why a figure is missing, figure by figure; those that are all there are left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Values {
    edt_s: PerBand<Option<f64>>,
    t20_s: PerBand<Option<f64>>,
    t30_s: PerBand<Option<f64>>,
    t20_nonlinearity_per_mille: PerBand<Option<f64>>,
    t30_nonlinearity_per_mille: PerBand<Option<f64>>,
    c50_db: PerBand<Option<f64>>,
    c80_db: PerBand<Option<f64>>,
    d50: PerBand<Option<f64>>,
    centre_time_ms: PerBand<Option<f64>>,
    direct_to_reverberant_db: PerBand<Option<f64>>,
    strength_db: PerBand<Option<f64>>,
}

#[derive(Debug, Serialize)]
struct Missing {
    figure: &'static str,
    bands_hz: Vec<f64>,
    reason: String,
}

/// Figures by their names in the document.
const NAMES: [(Figure, &str); 11] = [
    (Figure::Edt, "edt_s"),
    (Figure::T20, "t20_s"),
    (Figure::T30, "t30_s"),
    (Figure::T20Nonlinearity, "t20_nonlinearity_per_mille"),
    (Figure::T30Nonlinearity, "t30_nonlinearity_per_mille"),
    (Figure::C50, "c50_db"),
    (Figure::C80, "c80_db"),
    (Figure::D50, "d50"),
    (Figure::CentreTime, "centre_time_ms"),
    (Figure::DirectToReverberant, "direct_to_reverberant_db"),
    (Figure::Strength, "strength_db"),
];

/// What the rays of one speaker did, energies in shares of what an even source of the same level on
/// axis would send out.
#[derive(Debug, Serialize)]
pub(crate) struct Rays {
    speaker: String,
    #[serde(rename = "rays")]
    followed: u64,
    segments: u64,
    mean_free_path_m: Option<f64>,
    emitted: PerBand<f64>,
    absorbed: PerBand<f64>,
    air: PerBand<f64>,
    /// Given or taken by draws of chance, nought on average.
    drawn: PerBand<f64>,
    alive: PerBand<f64>,
}

impl Rays {
    pub(crate) fn new(scene: &Scene, found: &SpeakerRays) -> Self {
        let ledger = &found.ledger;
        let shares = |energy: PerBand<f64>| energy.map(|share| round::to(share, 9));
        Self {
            speaker: scene.speakers()[found.speaker].name.clone(),
            followed: found.rays,
            segments: ledger.segments,
            mean_free_path_m: ledger.mean_free_path_m().map(round::metres),
            emitted: shares(ledger.emitted),
            absorbed: shares(ledger.absorbed),
            air: shares(ledger.air),
            drawn: shares(ledger.drawn),
            alive: shares(ledger.alive),
        }
    }
}

impl Decay {
    pub(crate) fn new(pair: &PairDecay) -> Self {
        Self {
            figures: Values::new(pair, |estimate| Some(estimate.value)),
            uncertainty: Values::new(pair, |estimate| estimate.standard_error),
            missing: missing(pair),
        }
    }
}

impl Values {
    fn new(pair: &PairDecay, part: impl Fn(&Estimate) -> Option<f64>) -> Self {
        let row = |figure: Figure, factor: f64, decimals: i32| {
            std::array::from_fn(|band| {
                let found = pair.figures[band][figure].as_ref().ok().and_then(&part)?;
                let value = found * factor;
                value.is_finite().then(|| round::to(value, decimals))
            })
        };
        Self {
            edt_s: row(Figure::Edt, 1.0, 4),
            t20_s: row(Figure::T20, 1.0, 4),
            t30_s: row(Figure::T30, 1.0, 4),
            t20_nonlinearity_per_mille: row(Figure::T20Nonlinearity, 1.0, 2),
            t30_nonlinearity_per_mille: row(Figure::T30Nonlinearity, 1.0, 2),
            c50_db: row(Figure::C50, 1.0, 3),
            c80_db: row(Figure::C80, 1.0, 3),
            d50: row(Figure::D50, 1.0, 4),
            centre_time_ms: row(Figure::CentreTime, 1000.0, 4),
            direct_to_reverberant_db: row(Figure::DirectToReverberant, 1.0, 3),
            strength_db: row(Figure::Strength, 1.0, 3),
        }
    }
}

/// Each figure that is missing somewhere, with the bands and the reason.
fn missing(pair: &PairDecay) -> Vec<Missing> {
    let mut all: Vec<Missing> = Vec::new();
    for (figure, name) in NAMES {
        for (band, figures) in pair.figures.iter().enumerate() {
            let Err(absent) = figures[figure] else { continue };
            let reason = reason(absent);
            let hz = earline_engine::bands::NOMINAL_HZ[band];
            match all.last_mut() {
                Some(last) if last.figure == name && last.reason == reason => {
                    last.bands_hz.push(hz);
                }
                _ => all.push(Missing { figure: name, bands_hz: vec![hz], reason }),
            }
        }
    }
    all
}

fn reason(absent: Absent) -> String {
    absent.to_string()
}
