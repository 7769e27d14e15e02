//! Decay figures in the trace document.

use super::criterion::Criterion;
use super::parted::{Parted, parted};
use super::round;
use crate::render::terminal::Told;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::metrics::decay::{Estimate, Metric};
use earline_engine::scene::Scene;
use earline_engine::whole_decay::{PairDecay, SourceRays};
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
    pub(crate) figure: Metric,
    /// From the engine's SI unit to that of the name.
    pub(crate) factor: f64,
    /// Digits after the point.
    pub(crate) decimals: i32,
}

/// Every figure, in the order of the document.
pub(crate) const COLUMNS: [Column; Metric::COUNT] = [
    column("edt_s", Metric::Edt, 1.0, 4),
    column("t20_s", Metric::T20, 1.0, 4),
    column("t30_s", Metric::T30, 1.0, 4),
    column("edt_nonlinearity_per_mille", Metric::EdtNonlinearity, 1.0, 2),
    column("t20_nonlinearity_per_mille", Metric::T20Nonlinearity, 1.0, 2),
    column("t30_nonlinearity_per_mille", Metric::T30Nonlinearity, 1.0, 2),
    column("curvature_percent", Metric::Curvature, 1.0, 2),
    column("c50_db", Metric::C50, 1.0, 3),
    column("c80_db", Metric::C80, 1.0, 3),
    column("d50", Metric::D50, 1.0, 4),
    column("centre_time_ms", Metric::CentreTime, 1000.0, 4),
    column("direct_to_reverberant_db", Metric::DirectToReverberant, 1.0, 3),
    column("strength_db", Metric::Strength, 1.0, 3),
    column("share_within_15_ms", Metric::EarlyShare, 1.0, 4),
];

const fn column(name: &'static str, figure: Metric, factor: f64, decimals: i32) -> Column {
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
        let found = &pair.metrics[band][self.figure];
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
    pub(crate) fn new(scene: &Scene, found: &SourceRays) -> Self {
        let balance = &found.balance;
        let shares = |energy: PerBand<f64>| energy.map(|share| round::to(share, 9));
        Self {
            speaker: scene.speakers()[found.speaker].name.clone(),
            followed: found.rays,
            segments: balance.segments,
            mean_free_path_m: balance.mean_free_path_m().map(round::metres),
            emitted: shares(balance.emitted),
            absorbed: shares(balance.absorbed),
            air: shares(balance.air_absorbed),
            drawn: shares(balance.roulette),
            alive: shares(balance.truncated),
        }
    }
}

impl Decay {
    pub(crate) fn new(told: &Told<'_>, pair: &PairDecay) -> Self {
        Self {
            figures: Values::new(pair, |field| field.value),
            uncertainty: Values::new(pair, |field| field.standard_error),
            missing: missing(pair),
            criterion: Criterion::new(told, pair),
            disagreements: parted(told, pair),
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
