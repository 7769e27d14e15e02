//! Speakers as sources of the wave field: a monopole and a dipole along the axis, each made of two points.

use super::solver::FieldAtReceivers;
use crate::medium::directivity::{AcousticCentre, Directivity, FirstOrder, up_axis};
use crate::scene::{Scene, Speaker, SpeakerId};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;
use std::ops::Range;

/// Half the distance of the two points, metres: at 300 Hz what they leave out is below 0.2 %.
const HALF_M: f64 = 0.01;

/// Speakers as points that a solver takes, and how these add up.
#[derive(Debug)]
pub(crate) struct SpeakerSources<'a> {
    points: Vec<DVec3>,
    /// Directivity and points of each speaker; one point is a monopole.
    speakers: Vec<(&'a Directivity, Range<usize>)>,
    speed_of_sound_m_s: f64,
}

impl<'a> SpeakerSources<'a> {
    /// Speakers of a scene.
    pub(crate) fn new(scene: &'a Scene, speakers: &[SpeakerId]) -> Self {
        let mut points = Vec::new();
        let of_speaker = |&id: &SpeakerId| {
            let first = points.len();
            points.extend(points_of(scene, &scene[id]));
            (&scene[id].directivity, first..points.len())
        };
        let speakers = speakers.iter().map(of_speaker).collect();
        Self { points, speakers, speed_of_sound_m_s: scene.air().speed_of_sound_m_s() }
    }

    /// The points.
    pub(crate) fn points(&self) -> &[DVec3] {
        &self.points
    }

    /// What the speakers make at a frequency in hertz of a quantity that each point makes.
    pub(crate) fn combined(&self, hz: f64, of_points: &[Vec<Complex64>]) -> Vec<Vec<Complex64>> {
        let of_speaker = |(directivity, points): &(&Directivity, Range<usize>)| {
            let rows = of_points.get(points.clone()).unwrap_or(&[]);
            let [ahead, behind] = rows else { return rows.concat() };
            let FirstOrder { monopole, dipole } =
                directivity.first_order(hz, self.speed_of_sound_m_s);
            let k = TAU * hz / self.speed_of_sound_m_s;
            let slope = dipole / Complex64::new(0.0, 2.0 * k * HALF_M);
            let weights = [0.5 * monopole + slope, 0.5 * monopole - slope];
            ahead.iter().zip(behind).map(|(a, b)| weights[0] * a + weights[1] * b).collect()
        };
        self.speakers.iter().map(of_speaker).collect()
    }

    /// The field of the speakers at a frequency in hertz, from that of their points.
    pub(crate) fn field(&self, hz: f64, of_points: &FieldAtReceivers) -> FieldAtReceivers {
        FieldAtReceivers {
            pressure: self.combined(hz, &of_points.pressure),
            modal_amplitudes: self.combined(hz, &of_points.modal_amplitudes),
        }
    }
}

/// Two points about the acoustic centre, or the speaker's own where it is even in all directions; and where the
/// centre is not in the room, for a cabinet in a wall, whose other half is that wall's image.
fn points_of(scene: &Scene, speaker: &Speaker) -> Vec<DVec3> {
    let AcousticCentre { behind_m, above_m } = speaker.directivity.acoustic_centre();
    let centre = speaker.at - behind_m * speaker.axis + above_m * up_axis(speaker.axis);
    let points = [1.0, -1.0].map(|side| centre + side * HALF_M * speaker.axis);
    let size = scene.room().size();
    let is_inside = |point: &DVec3| point.cmpge(DVec3::ZERO).all() && point.cmple(size).all();
    if speaker.directivity == Directivity::Omni || !points.iter().all(is_inside) {
        return vec![speaker.at];
    }
    points.to_vec()
}
