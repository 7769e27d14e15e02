//! A listener's seat in the room, and the speakers as seen from it.

use super::pair::PairGeometry;
use crate::scene::{Listener, ListenerId, PairIds, Scene, SpeakerId};

/// A seat.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// The listener.
    pub listener: ListenerId,
    /// Distance from the front wall over the room's length, 0 to 1.
    pub length_fraction: f64,
    /// Distance from the middle between left and right wall, metres; positive toward the right.
    pub off_centre_m: f64,
    /// Height of the ears above the floor, metres.
    pub ear_height_m: f64,
    /// Each speaker as seen from this seat, in the scene's order.
    pub speakers: Vec<SpeakerGeometry>,
    /// Each pair as seen from this seat.
    pub pairs: Vec<PairGeometry>,
}

/// Geometry of a speaker as seen from a seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeakerGeometry {
    /// The speaker.
    pub speaker: SpeakerId,
    /// Distance from its reference point to the middle of the head, metres.
    pub distance_m: f64,
    /// Direction it is in as the listener faces; positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Direction it is in, positive upward, degrees.
    pub elevation_deg: f64,
    /// Height of the reference point above the ears, metres.
    pub above_ears_m: f64,
    /// Angle between the speaker's axis and the line to the seat, degrees.
    pub off_axis_deg: f64,
}

pub(super) fn seats(scene: &Scene, pairs: &[PairIds]) -> Vec<Seat> {
    let room = scene.room();
    scene
        .listener_ids()
        .map(|id| {
            let listener = &scene[id];
            Seat {
                listener: id,
                length_fraction: listener.at.x / room.length_m,
                off_centre_m: listener.at.y - room.width_m / 2.0,
                ear_height_m: listener.at.z,
                speakers: scene
                    .speaker_ids()
                    .map(|speaker| speaker_geometry(scene, speaker, listener))
                    .collect(),
                pairs: pairs.iter().map(|&p| PairGeometry::of(scene, p, listener.at)).collect(),
            }
        })
        .collect()
}

fn speaker_geometry(scene: &Scene, id: SpeakerId, listener: &Listener) -> SpeakerGeometry {
    let speaker = &scene[id];
    let toward = speaker.at - listener.at;
    let [azimuth_deg, elevation_deg] = listener.direction_deg(toward.normalize_or_zero());
    SpeakerGeometry {
        speaker: id,
        distance_m: toward.length(),
        azimuth_deg,
        elevation_deg,
        above_ears_m: toward.z,
        off_axis_deg: speaker.axis.angle_between(-toward).to_degrees(),
    }
}
