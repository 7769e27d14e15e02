//! Decay figures by their keys in machine output, with the unit and digits of each.

use super::round;
use earline_engine::metrics::decay::{Estimate, Metric};
use earline_engine::simulate::PairDecay;

/// A decay figure as it is written.
pub(crate) struct DecayColumn {
    /// Its key, with its unit.
    pub(crate) name: &'static str,
    /// The figure.
    pub(crate) figure: Metric,
    /// From the engine's SI unit to that of the key.
    pub(crate) factor: f64,
    /// Digits after the point.
    pub(crate) decimals: i32,
}

/// A figure of one pair in one band.
pub(super) struct DecayField {
    /// Its value.
    pub(super) value: Option<f64>,
    /// One standard error.
    pub(super) standard_error: Option<f64>,
    /// Reason why there is no value.
    pub(super) reason: Option<String>,
}

/// Every figure, in the order of the trace document.
pub(crate) const DECAY_COLUMNS: [DecayColumn; Metric::COUNT] = [
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

const fn column(name: &'static str, figure: Metric, factor: f64, decimals: i32) -> DecayColumn {
    DecayColumn { name, figure, factor, decimals }
}

impl DecayColumn {
    /// The number that is written of a value in the engine's SI unit, if it is one.
    pub(crate) fn written(&self, value: f64) -> Option<f64> {
        let value = value * self.factor;
        value.is_finite().then(|| round::to(value, self.decimals))
    }

    /// This figure of a pair in a band.
    pub(super) fn field(&self, pair: &PairDecay, band: usize) -> DecayField {
        let found = &pair.metrics[band][self.figure];
        let written = |part: &dyn Fn(&Estimate) -> Option<f64>| {
            found.as_ref().ok().and_then(part).and_then(|value| self.written(value))
        };
        DecayField {
            value: written(&|estimate| Some(estimate.value)),
            standard_error: written(&|estimate| estimate.standard_error),
            reason: found.as_ref().err().map(ToString::to_string),
        }
    }
}
