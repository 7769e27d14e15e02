//! A listener's seat in the room and what it has of the speakers.

use super::pair::{PairOf, PairSeen};
use crate::scene::{Listener, Scene};
use glam::DVec3;

/// A seat.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Distance from the front wall over the room's length, 0 to 1.
    pub length_fraction: f64,
    /// Distance from the middle between left and right wall, metres; positive toward the right.
    pub off_centre_m: f64,
    /// Height of the ears above the floor, metres.
    pub ear_height_m: f64,
    /// Each speaker as this seat has it, in the scene's order.
    pub speakers: Vec<SpeakerSeen>,
    /// Each pair as this seat has it.
    pub pairs: Vec<PairSeen>,
}

/// A speaker as one seat has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeakerSeen {
    /// Index of the speaker in the scene.
    pub speaker: usize,
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

pub(super) fn seats(scene: &Scene, pairs: &[PairOf]) -> Vec<Seat> {
    let room = scene.room();
    scene
        .listeners()
        .iter()
        .enumerate()
        .map(|(index, listener)| Seat {
            listener: index,
            length_fraction: listener.at.x / room.length_m,
            off_centre_m: listener.at.y - room.width_m / 2.0,
            ear_height_m: listener.at.z,
            speakers: (0..scene.speakers().len())
                .map(|speaker| speaker_seen(scene, speaker, listener))
                .collect(),
            pairs: pairs.iter().map(|&p| PairSeen::of(scene, p, listener.at)).collect(),
        })
        .collect()
}

fn speaker_seen(scene: &Scene, index: usize, listener: &Listener) -> SpeakerSeen {
    let speaker = &scene.speakers()[index];
    let toward = speaker.at - listener.at;
    let [azimuth_deg, elevation_deg] = direction_deg(listener, toward);
    SpeakerSeen {
        speaker: index,
        distance_m: toward.length(),
        azimuth_deg,
        elevation_deg,
        above_ears_m: toward.z,
        off_axis_deg: speaker.axis.angle_between(-toward).to_degrees(),
    }
}

/// Azimuth and elevation in degrees of a direction as the listener faces (ITU-R BS.2076 signs).
fn direction_deg(listener: &Listener, toward: DVec3) -> [f64; 2] {
    let [ahead, left, up] = listener.frame();
    let level = toward.dot(ahead).hypot(toward.dot(left));
    [
        toward.dot(left).atan2(toward.dot(ahead)).to_degrees(),
        toward.dot(up).atan2(level).to_degrees(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Straight ahead is −x, the left hand points at the left wall (y = 0), so a source ahead
    /// and to the left by equal steps is at +45°; the tape's coordinates are ours, the signs
    /// those of ITU-R BS.2076.
    #[test]
    fn directions_as_the_listener_faces() {
        let listener = Listener { name: "seat".into(), at: DVec3::new(2.0, 2.0, 1.2), faces: None };
        for (toward, azimuth, elevation) in [
            (DVec3::NEG_X, 0.0, 0.0),
            (DVec3::new(-1.0, -1.0, 0.0), 45.0, 0.0),
            (DVec3::Y, -90.0, 0.0),
            (DVec3::new(-1.0, 0.0, 1.0), 0.0, 45.0),
            (DVec3::new(1.0, -1.0, -2f64.sqrt()), 135.0, -45.0),
        ] {
            let [a, e] = direction_deg(&listener, toward);
            assert!((a - azimuth).abs() < 1e-9 && (e - elevation).abs() < 1e-9);
        }
    }
}
