//! From the zones of a seat to what the elevations show.

use crate::format::labels;
use crate::plot::data::input::{Cover, DrawnZones, Face, Input, Zone};
use earline_engine::analysis::zones::{self, Coverage, SeatZones, ZonePlan};
use earline_engine::scene::{Scene, Variant};

impl Input<'_> {
    /// With the zones of the same seat, found by a plan with the speakers of this picture.
    pub(crate) fn with_zones(
        self,
        scene: &Scene,
        state: &Variant<'_>,
        plan: &ZonePlan,
        seat: &SeatZones,
    ) -> Self {
        let cover = |covering: &Coverage| Cover {
            share: covering.absorbing_share,
            verdict: covering.class,
        };
        let zone = |zone: &zones::SpeakerZone| {
            Some(Zone {
                speaker: plan.speakers.iter().position(|&speaker| speaker == zone.speaker)?,
                point: zone.point,
                behind: zone.behind.map(|face| labels::thing(scene, face).into_owned()),
                outline_m: zone.outline_m.clone(),
                cover: cover(&zone.extent.coverage),
            })
        };
        let face = |on: &zones::SurfaceZone| Face {
            on: on.surface,
            cover: cover(&on.together.coverage),
            zones: on.speakers.iter().filter_map(zone).collect(),
        };
        let panels = state.panels.iter().enumerate();
        let zones = DrawnZones {
            frequency_hz: plan.frequency_hz,
            head_half_m: plan.head_half_m,
            absorbing: panels
                .filter(|(_, panel)| zones::absorbs(scene, panel.material, plan.frequency_hz))
                .map(|(index, _)| index)
                .collect(),
            faces: seat.surfaces.iter().map(face).collect(),
        };
        Self { zones: Some(zones), ..self }
    }
}
