//! Where a panel would work, in the documents of a trace and of a comparison.

use super::round;
use crate::format::labels;
use earline_engine::analysis::zones::{
    Coverage, CoverageClass, SeatZones, SpeakerZone, SurfaceZone, ZoneExtent, ZonePlan,
};
use earline_engine::scene::{Scene, Surface};
use glam::DVec2;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct Zones {
    frequency_hz: f64,
    head_half_m: f64,
    listeners: Vec<Seat>,
}

#[derive(Debug, Serialize)]
struct Seat {
    listener: String,
    surfaces: Vec<OnSurface>,
}

#[derive(Debug, Serialize)]
struct OnSurface {
    surface: &'static str,
    /// What the two tape coordinates are measured from.
    from: [&'static str; 2],
    together: Extent,
    speakers: Vec<Zone>,
}

#[derive(Debug, Serialize)]
struct Zone {
    speaker: String,
    point_m: [f64; 3],
    behind: Option<String>,
    #[serde(flatten)]
    extent: Extent,
    outline_m: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct Extent {
    low_m: [f64; 2],
    high_m: [f64; 2],
    area_m2: f64,
    absorbing_share: f64,
    verdict: &'static str,
    panels: Vec<Covers>,
}

#[derive(Debug, Serialize)]
struct Covers {
    panel: String,
    share: f64,
    absorbs: bool,
}

impl Zones {
    pub(super) fn new(scene: &Scene, plan: &ZonePlan, seats: &[SeatZones]) -> Self {
        Self {
            frequency_hz: plan.frequency_hz,
            head_half_m: round::metres(plan.head_half_m),
            listeners: seats.iter().map(|seat| Seat::new(scene, seat)).collect(),
        }
    }
}

impl Seat {
    fn new(scene: &Scene, seat: &SeatZones) -> Self {
        Self {
            listener: scene.listeners()[seat.listener].name.clone(),
            surfaces: seat.surfaces.iter().map(|zone| OnSurface::new(scene, zone)).collect(),
        }
    }
}

impl OnSurface {
    fn new(scene: &Scene, zone: &SurfaceZone) -> Self {
        Self {
            surface: zone.surface.name(),
            from: zone.surface.tape_axes().map(|axis| {
                [Surface::Front, Surface::Left, Surface::Floor].map(Surface::name)[axis]
            }),
            together: Extent::new(scene, &zone.together),
            speakers: zone.speakers.iter().map(|speaker| Zone::new(scene, speaker)).collect(),
        }
    }
}

impl Zone {
    fn new(scene: &Scene, zone: &SpeakerZone) -> Self {
        Self {
            speaker: scene.speakers()[zone.speaker].name.clone(),
            point_m: zone.point.to_array().map(round::metres),
            behind: zone.behind.map(|face| labels::thing(scene, face).into_owned()),
            extent: Extent::new(scene, &zone.extent),
            outline_m: zone.outline_m.iter().map(|&corner| pair(corner)).collect(),
        }
    }
}

impl Extent {
    fn new(scene: &Scene, patch: &ZoneExtent) -> Self {
        let Coverage { panels, absorbing_share, class: verdict } = &patch.coverage;
        Self {
            low_m: pair(patch.low_m),
            high_m: pair(patch.high_m),
            area_m2: round::to(patch.area_m2, 4),
            absorbing_share: round::ratio(*absorbing_share),
            verdict: match verdict {
                CoverageClass::Covered => "covered",
                CoverageClass::HalfCovered => "half covered",
                CoverageClass::Missed => "missed",
            },
            panels: panels
                .iter()
                .map(|covered| Covers {
                    panel: scene.panels()[covered.panel].name.clone(),
                    share: round::ratio(covered.share),
                    absorbs: covered.absorbs,
                })
                .collect(),
        }
    }
}

fn pair(corner: DVec2) -> [f64; 2] {
    corner.to_array().map(round::metres)
}
