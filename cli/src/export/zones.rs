//! Zones of first reflections on the surfaces of the room, in the documents of `trace` and `compare`.

use super::parts::{listener_name, point, speaker_name};
use super::round::{Metres, Ratio, metres, ratio};
use crate::format::labels;
use earline_engine::analysis::zones::{
    Coverage, CoverageClass, SeatZones, SpeakerZone, SurfaceZone, ZonePlan,
};
use earline_engine::scene::{Scene, Surface};
use glam::DVec2;
use schemars::JsonSchema;
use serde::Serialize;

/// First Fresnel zones of first reflections, seat by seat: where a panel would work.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Zones {
    /// Frequency of the zones.
    frequency_hz: f64,
    /// Allowed movement of the head, either way.
    head_half_m: Metres,
    listeners: Vec<ZonesAtSeat>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ZonesAtSeat {
    listener: String,
    surfaces: Vec<ZonesOnSurface>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ZonesOnSurface {
    surface: &'static str,
    /// Surfaces that the two coordinates on it are measured from.
    from: [&'static str; 2],
    /// The zones of all speakers together.
    together: ZoneExtent,
    speakers: Vec<SpeakerZoneRow>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SpeakerZoneRow {
    speaker: String,
    /// Point of reflection, from front wall, left wall and floor.
    point_m: [Metres; 3],
    /// What stands in the way of the reflection; null where nothing does.
    behind: Option<String>,
    #[serde(flatten)]
    extent: ZoneExtent,
    /// Corners of the zone's outline in coordinates of the surface.
    outline_m: Vec<[Metres; 2]>,
}

/// Rectangle about a zone, and what covers the zone.
#[derive(Debug, Serialize, JsonSchema)]
struct ZoneExtent {
    low_m: [Metres; 2],
    high_m: [Metres; 2],
    area_m2: Ratio,
    /// Share of the zone that absorbing panels cover.
    absorbing_share: Ratio,
    #[schemars(extend("enum" = ["covered", "half covered", "missed"]))]
    verdict: &'static str,
    panels: Vec<PanelInZone>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct PanelInZone {
    panel: String,
    /// Share of the zone that it covers.
    share: Ratio,
    /// Whether it absorbs enough to count.
    absorbs: bool,
}

impl Zones {
    pub(super) fn new(scene: &Scene, plan: &ZonePlan, seats: &[SeatZones]) -> Self {
        let seat = |seat: &SeatZones| ZonesAtSeat {
            listener: listener_name(scene, seat.listener),
            surfaces: seat.surfaces.iter().map(|zone| ZonesOnSurface::new(scene, zone)).collect(),
        };
        Self {
            frequency_hz: plan.frequency_hz,
            head_half_m: metres(plan.head_half_m),
            listeners: seats.iter().map(seat).collect(),
        }
    }
}

impl ZonesOnSurface {
    fn new(scene: &Scene, zone: &SurfaceZone) -> Self {
        let origins = [Surface::Front, Surface::Left, Surface::Floor].map(Surface::name);
        let speaker = |zone: &SpeakerZone| SpeakerZoneRow {
            speaker: speaker_name(scene, zone.speaker),
            point_m: point(zone.point),
            behind: zone.behind.map(|face| labels::thing(scene, face).into_owned()),
            extent: ZoneExtent::new(scene, &zone.extent),
            outline_m: zone.outline_m.iter().map(|&corner| on_surface(corner)).collect(),
        };
        Self {
            surface: zone.surface.name(),
            from: zone.surface.tape_axes().map(|axis| origins[axis]),
            together: ZoneExtent::new(scene, &zone.together),
            speakers: zone.speakers.iter().map(speaker).collect(),
        }
    }
}

impl ZoneExtent {
    fn new(scene: &Scene, patch: &earline_engine::analysis::zones::ZoneExtent) -> Self {
        let Coverage { panels, absorbing_share, class: verdict } = &patch.coverage;
        let panels = panels.iter().map(|covered| PanelInZone {
            panel: scene.panels()[covered.panel].name.clone(),
            share: ratio(covered.share),
            absorbs: covered.absorbs,
        });
        Self {
            low_m: on_surface(patch.low_m),
            high_m: on_surface(patch.high_m),
            area_m2: ratio(patch.area_m2),
            absorbing_share: ratio(*absorbing_share),
            verdict: match verdict {
                CoverageClass::Covered => "covered",
                CoverageClass::HalfCovered => "half covered",
                CoverageClass::Missed => "missed",
            },
            panels: panels.collect(),
        }
    }
}

fn on_surface(corner: DVec2) -> [Metres; 2] {
    corner.to_array().map(metres)
}
