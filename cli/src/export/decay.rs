//! Decay figures in the trace document.

use super::criterion::Criterion;
use super::parted::{Parted, parted};
use super::round;
use crate::content::trace::TraceReport;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::metrics::decay::{Estimate, Figure};
use earline_engine::scene::Scene;
use earline_engine::whole_decay::{PairDecay, SpeakerRays};
use serde::ser::{Serialize, SerializeMap, Serializer};

/// Figures per band with, under `uncertainty`, the standard error of each; what a recommendation
/// says of them, and where formulas say otherwise.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Decay {
    #[serde(flatten)]
    figures: Values,
    /// One standard error, in the same units.
    uncertainty: Values,
    /// Why a figure is missing, figure by figure; those that are all there are left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    missing: Vec<Missing>,
    criterion: Criterion,
    disagreements: Vec<Parted>,
}

/// A value for each column, written under its name.
#[derive(Debug)]
struct Values([PerBand<Option<f64>>; COLUMNS.len()]);

#[derive(Debug, serde::Serialize)]
struct Missing {
    figure: &'static str,
    bands_hz: Vec<f64>,
    reason: String,
}

/// How a figure is written.
pub(crate) struct Column {
    /// Its name with its unit.
    pub(crate) name: &'static str,
    /// The figure.
    pub(crate) figure: Figure,
    /// From the engine's SI unit to that of the name.
    pub(crate) factor: f64,
    /// Digits after the point.
    pub(crate) decimals: i32,
}

/// Every figure, in the order of the document.
pub(crate) const COLUMNS: [Column; Figure::COUNT] = [
    column("edt_s", Figure::Edt, 1.0, 4),
    column("t20_s", Figure::T20, 1.0, 4),
    column("t30_s", Figure::T30, 1.0, 4),
    column("edt_nonlinearity_per_mille", Figure::EdtNonlinearity, 1.0, 2),
    column("t20_nonlinearity_per_mille", Figure::T20Nonlinearity, 1.0, 2),
    column("t30_nonlinearity_per_mille", Figure::T30Nonlinearity, 1.0, 2),
    column("curvature_percent", Figure::Curvature, 1.0, 2),
    column("c50_db", Figure::C50, 1.0, 3),
    column("c80_db", Figure::C80, 1.0, 3),
    column("d50", Figure::D50, 1.0, 4),
    column("centre_time_ms", Figure::CentreTime, 1000.0, 4),
    column("direct_to_reverberant_db", Figure::DirectToReverberant, 1.0, 3),
    column("strength_db", Figure::Strength, 1.0, 3),
    column("share_within_15_ms", Figure::EarlyShare, 1.0, 4),
];

const fn column(name: &'static str, figure: Figure, factor: f64, decimals: i32) -> Column {
    Column { name, figure, factor, decimals }
}

/// What is written of one figure in one band.
pub(super) struct Field {
    /// Its value.
    pub(super) value: Option<f64>,
    /// One standard error.
    pub(super) standard_error: Option<f64>,
    /// Why there is no value.
    pub(super) reason: Option<String>,
}

impl Column {
    /// What is written of this figure in a band.
    pub(super) fn field(&self, pair: &PairDecay, band: usize) -> Field {
        let found = &pair.figures[band][self.figure];
        let written = |value: f64| {
            let value = value * self.factor;
            value.is_finite().then(|| round::to(value, self.decimals))
        };
        let of = |part: &dyn Fn(&Estimate) -> Option<f64>| {
            found.as_ref().ok().and_then(part).and_then(written)
        };
        Field {
            value: of(&|estimate| Some(estimate.value)),
            standard_error: of(&|estimate| estimate.standard_error),
            reason: found.as_ref().err().map(ToString::to_string),
        }
    }
}

/// What the rays of one speaker did, energies in shares of what an even source of the same level on
/// axis would send out.
#[derive(Debug, serde::Serialize)]
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
    pub(crate) fn new(report: &TraceReport<'_>, pair: &PairDecay) -> Self {
        Self {
            figures: Values::new(pair, |field| field.value),
            uncertainty: Values::new(pair, |field| field.standard_error),
            missing: missing(pair),
            criterion: Criterion::new(report, pair),
            disagreements: parted(report, pair),
        }
    }
}

impl Values {
    fn new(pair: &PairDecay, part: impl Fn(Field) -> Option<f64>) -> Self {
        Self(COLUMNS.each_ref().map(|c| std::array::from_fn(|band| part(c.field(pair, band)))))
    }
}

impl Serialize for Values {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(COLUMNS.len()))?;
        for (column, bands) in COLUMNS.iter().zip(&self.0) {
            map.serialize_entry(column.name, bands)?;
        }
        map.end()
    }
}

/// Each figure that is missing somewhere, with the bands and the reason.
fn missing(pair: &PairDecay) -> Vec<Missing> {
    let mut all: Vec<Missing> = Vec::new();
    for column in &COLUMNS {
        for (band, hz) in NOMINAL_HZ.into_iter().enumerate() {
            let Some(reason) = column.field(pair, band).reason else { continue };
            match all.last_mut() {
                Some(last) if last.figure == column.name && last.reason == reason => {
                    last.bands_hz.push(hz);
                }
                _ => all.push(Missing { figure: column.name, bands_hz: vec![hz], reason }),
            }
        }
    }
    all
}
