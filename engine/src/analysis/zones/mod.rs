//! Fresnel zones: the part of each surface that produces a first reflection, where a panel is effective.
//!
//! For one place of the ears the zone is the first Fresnel zone of the reflection, an
//! [`Ellipse`] on the surface. Heads move, so it is taken for the middle and the eight corners of
//! a box about the head, and the outline drawn round the nine ellipses. A panel works as far as it
//! covers that outline.

mod coverage;
mod ellipse;
mod outline;

pub use coverage::{
    ABSORBS_FROM, COVERED_FROM, Coverage, CoverageClass, HALF_FROM, PanelShare, absorbs,
};
pub use ellipse::Ellipse;

use crate::geometry::{FaceId, Faces};
use crate::scene::{ListenerId, Room, Scene, SpeakerId, Surface, Variant};
use coverage::TreatedSurface;
use glam::{DVec2, DVec3};
use thiserror::Error;

/// Speakers, listeners and frequency of the zones.
#[derive(Debug, Clone, PartialEq)]
pub struct ZonePlan {
    /// The speakers.
    pub speakers: Vec<SpeakerId>,
    /// The listeners.
    pub listeners: Vec<ListenerId>,
    /// The head moves so far either way along x, y and z, metres; 0 to [`MAX_HEAD_HALF_M`].
    pub head_half_m: f64,
    /// Frequency of the Fresnel zone in hertz; within [`FREQUENCIES_HZ`].
    pub frequency_hz: f64,
}

/// Farthest that a head may move either way, metres.
pub const MAX_HEAD_HALF_M: f64 = 1.0;

/// Permitted frequencies of a zone, hertz.
pub const FREQUENCIES_HZ: std::ops::RangeInclusive<f64> = 50.0..=16_000.0;

/// The zones of one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatZones {
    /// The listener.
    pub listener: ListenerId,
    /// One for each surface, in the order of [`Surface::ALL`].
    pub surfaces: Vec<SurfaceZone>,
}

/// The zones on one surface.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceZone {
    /// The surface.
    pub surface: Surface,
    /// One for each speaker of the plan, in its order.
    pub speakers: Vec<SpeakerZone>,
    /// All that lie open, taken together; all of them where none does.
    pub together: ZoneExtent,
}

/// The zone of one speaker on one surface.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeakerZone {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The reflection point for the middle of the head.
    pub point: DVec3,
    /// Face that occludes that point, on the path from the speaker or on to the ears.
    pub behind: Option<FaceId>,
    /// Corners of the zone in the surface's two tape coordinates, metres, counter-clockwise;
    /// convex and inside the surface.
    pub outline_m: Vec<DVec2>,
    /// Its extent, and what covers it.
    pub extent: ZoneExtent,
}

/// Extent and coverage of a part of a surface.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneExtent {
    /// Least tape coordinates, metres.
    pub low_m: DVec2,
    /// Greatest tape coordinates, metres.
    pub high_m: DVec2,
    /// Area in square metres.
    pub area_m2: f64,
    /// Its coverage.
    pub coverage: Coverage,
}

/// Reason why zones cannot be computed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ZoneError {
    /// The plan names a speaker or listener the scene does not have.
    #[error("the plan asks for a speaker or listener of number {index} that the scene lacks")]
    NoSuchItem {
        /// The requested index.
        index: usize,
    },
    /// The head box is negative, not finite or absurd.
    #[error("a head cannot move {half_m} m either way; from 0 to {MAX_HEAD_HALF_M} m can be asked")]
    Head {
        /// The requested half size, metres.
        half_m: f64,
    },
    /// The frequency is outside [`FREQUENCIES_HZ`].
    #[error("{hz} Hz is outside 50 Hz to 16 kHz, where zones can be asked for")]
    Frequency {
        /// The requested frequency, hertz.
        hz: f64,
    },
}

impl ZonePlan {
    fn check(&self, scene: &Scene) -> Result<(), ZoneError> {
        let no_speaker = self.speakers.iter().find(|&&id| scene.speaker(id).is_none());
        let no_listener = self.listeners.iter().find(|&&id| scene.listener(id).is_none());
        let missing = no_speaker.map(|id| id.index()).or(no_listener.map(|id| id.index()));
        if let Some(index) = missing {
            return Err(ZoneError::NoSuchItem { index });
        }
        if !(0.0..=MAX_HEAD_HALF_M).contains(&self.head_half_m) {
            return Err(ZoneError::Head { half_m: self.head_half_m });
        }
        if !FREQUENCIES_HZ.contains(&self.frequency_hz) {
            return Err(ZoneError::Frequency { hz: self.frequency_hz });
        }
        Ok(())
    }
}

/// The zones of every listener of a plan on all six surfaces; none where the plan has no speaker.
///
/// # Errors
/// A plan that names what the scene does not have, or asks for a head box or a frequency out of
/// range.
pub fn zones(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &ZonePlan,
) -> Result<Vec<SeatZones>, ZoneError> {
    plan.check(scene)?;
    let wavelength_m = scene.air().speed_of_sound_m_s() / plan.frequency_hz;
    let faces = Faces::new(scene, variant);
    let treated_surfaces =
        Surface::ALL.map(|s| TreatedSurface::new(scene, variant, s, plan.frequency_hz));
    let seat = |&listener: &ListenerId| {
        let ears = head_box(scene.room(), scene[listener].at, plan.head_half_m);
        let on = |wall: &TreatedSurface| {
            let zone = |&speaker: &SpeakerId| {
                let at = scene[speaker].at;
                SpeakerZone::new(wall, &faces, (speaker, at), &ears, wavelength_m)
            };
            SurfaceZone::new(wall, plan.speakers.iter().filter_map(zone).collect())
        };
        SeatZones { listener, surfaces: treated_surfaces.iter().filter_map(on).collect() }
    };
    Ok(plan.listeners.iter().map(seat).collect())
}

/// The middle of the head, then the eight corners of its box, as far as the room goes.
fn head_box(room: &Room, at: DVec3, half_m: f64) -> Vec<DVec3> {
    let corner = |bits: u8| {
        let way = |bit: u8| if bits & (1 << bit) == 0 { -half_m } else { half_m };
        (at + DVec3::new(way(0), way(1), way(2))).clamp(DVec3::ZERO, room.size())
    };
    std::iter::once(at).chain((0..8).map(corner)).collect()
}

impl SurfaceZone {
    /// `None` without speakers.
    fn new(wall: &TreatedSurface, speakers: Vec<SpeakerZone>) -> Option<Self> {
        let outlines = |which: fn(&SpeakerZone) -> bool| -> Vec<&[DVec2]> {
            speakers.iter().filter(|z| which(z)).map(|z| z.outline_m.as_slice()).collect()
        };
        let mut chosen = outlines(|zone| zone.behind.is_none());
        if chosen.is_empty() {
            chosen = outlines(|_| true);
        }
        let together = ZoneExtent::new(wall, &chosen)?;
        Some(Self { surface: wall.surface, speakers, together })
    }
}

impl SpeakerZone {
    /// `ears` begin with the middle of the head; `None` without any.
    fn new(
        wall: &TreatedSurface,
        faces: &Faces,
        (speaker, at): (SpeakerId, DVec3),
        ears: &[DVec3],
        wavelength_m: f64,
    ) -> Option<Self> {
        let [head, ..] = *ears else { return None };
        let ellipse = |&ear: &DVec3, wavelength_m: f64| {
            let place = |p: DVec3| (DVec2::from(wall.surface.tape(p)), wall.height_m(p));
            Ellipse::first_zone(place(at), place(ear), wavelength_m)
        };
        let points = ears.iter().flat_map(|ear| ellipse(ear, wavelength_m).points());
        let outline_m =
            outline::clipped(&outline::hull(points.collect()), DVec2::ZERO, wall.size_m);
        // A zone without width is the reflection point of plain geometry.
        let point = wall.point(ellipse(&head, 0.0).centre);
        let behind = faces.first_occluder(at, point).or_else(|| faces.first_occluder(point, head));
        let extent = ZoneExtent::new(wall, &[&outline_m])?;
        Some(Self { speaker, point, behind, outline_m, extent })
    }
}

impl ZoneExtent {
    /// `None` without outlines.
    fn new(wall: &TreatedSurface, outlines: &[&[DVec2]]) -> Option<Self> {
        let corners = || outlines.iter().flat_map(|outline| outline.iter().copied());
        Some(Self {
            low_m: corners().reduce(DVec2::min)?,
            high_m: corners().reduce(DVec2::max)?,
            area_m2: outline::union_area_m2(outlines),
            coverage: wall.coverage(outlines),
        })
    }
}
