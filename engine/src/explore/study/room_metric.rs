//! Metrics of a room in one variant, the same for every speaker and listener.

use crate::metrics::absorbing_areas::{absorbing_areas, enclosed_air};
use crate::metrics::diffuse_field::{DiffuseField, Formula, diffuse_field};
use crate::scene::{Scene, Variant};

/// A figure of the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomMetric {
    /// Volume, cubic metres.
    Volume,
    /// Mean free path, metres.
    MeanFreePath,
    /// Schroeder frequency, hertz.
    Schroeder,
    /// Total cost of the panels and screens in the room, in the scene's currency.
    Cost,
    /// Reverberation time by a formula in an octave band, seconds.
    Time(Formula, usize),
    /// Absorption area of what lines the room in an octave band, square metres.
    AbsorptionArea(usize),
    /// Critical distance in an octave band, metres.
    CriticalDistance(usize),
}

/// Inputs of a room metric.
pub(super) struct RoomContext<'a> {
    scene: &'a Scene,
    variant: &'a Variant<'a>,
    statistics: DiffuseField,
}

impl<'a> RoomContext<'a> {
    pub(super) fn new(scene: &'a Scene, variant: &'a Variant<'a>) -> Self {
        let absorbers = absorbing_areas(scene, variant);
        let statistics = diffuse_field(&enclosed_air(scene, variant), &absorbers);
        Self { scene, variant, statistics }
    }

    /// The value; `None` where a formula says nothing, and for the cost where nothing has a price.
    pub(super) fn value(&self, figure: RoomMetric) -> Option<f64> {
        let statistics = &self.statistics;
        match figure {
            RoomMetric::Volume => Some(self.scene.room().volume_m3()),
            RoomMetric::MeanFreePath => Some(statistics.mean_free_path_m),
            RoomMetric::Schroeder => statistics.schroeder_hz,
            RoomMetric::Cost => self.cost(),
            RoomMetric::Time(formula, band) => statistics.times_s(formula)[band],
            RoomMetric::AbsorptionArea(band) => Some(statistics.absorption_area_m2[band]),
            RoomMetric::CriticalDistance(band) => statistics.critical_distance_m[band],
        }
    }

    fn cost(&self) -> Option<f64> {
        let panels = self.variant.panels.iter().filter_map(|panel| panel.cost);
        let screens = self.variant.screens.iter().filter_map(|screen| screen.cost);
        panels.chain(screens).fold(None, |sum, cost| Some(sum.unwrap_or(0.0) + cost))
    }
}
