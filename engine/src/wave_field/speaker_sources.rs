//! Speakers as sources of the wave field: multipoles along the axis, made of three points on it.

use super::solver::FieldAtReceivers;
use crate::medium::directivity::{AcousticCentre, AxialMultipoles, Directivity, up_axis};
use crate::medium::signal_chain::SignalChain;
use crate::scene::{Scene, Speaker, SpeakerId};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;
use std::ops::Range;

/// Distance of the points, metres: differences of finer ones would be lost to rounding, and at 300 Hz what these
/// leave out is below half a per cent.
const STEP_M: f64 = 0.03;

/// Speakers as points that a solver takes, and how these add up.
#[derive(Debug)]
pub(crate) struct SpeakerSources<'a> {
    points: Vec<DVec3>,
    speakers: Vec<SpeakerSource<'a>>,
    speed_of_sound_m_s: f64,
}

#[derive(Debug)]
struct SpeakerSource<'a> {
    directivity: &'a Directivity,
    /// Its points; a single one is a monopole.
    points: Range<usize>,
    chain: SignalChain,
}

impl<'a> SpeakerSources<'a> {
    /// Speakers of a scene with their filters, levels, delays and polarities.
    pub(crate) fn new(scene: &'a Scene, speakers: &[SpeakerId]) -> Self {
        let mut sources = Self::unfiltered(scene, speakers);
        for (source, &id) in sources.speakers.iter_mut().zip(speakers) {
            source.chain = scene[id].chain;
        }
        sources
    }

    /// Speakers of a scene as if each played every frequency alike.
    pub(crate) fn unfiltered(scene: &'a Scene, speakers: &[SpeakerId]) -> Self {
        let mut points = Vec::new();
        let of_speaker = |&id: &SpeakerId| {
            let first = points.len();
            points.extend(points_of(scene, &scene[id]));
            SpeakerSource {
                directivity: &scene[id].directivity,
                points: first..points.len(),
                chain: SignalChain::default(),
            }
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
        let of_speaker = |speaker: &SpeakerSource<'_>| {
            let mut combined = self.multipole(speaker, hz, of_points);
            if !speaker.chain.is_plain() {
                let transfer = speaker.chain.transfer(hz);
                for value in &mut combined {
                    *value *= transfer;
                }
            }
            combined
        };
        self.speakers.iter().map(of_speaker).collect()
    }

    fn multipole(
        &self,
        speaker: &SpeakerSource<'_>,
        hz: f64,
        of_points: &[Vec<Complex64>],
    ) -> Vec<Complex64> {
        let rows = of_points.get(speaker.points.clone()).unwrap_or(&[]);
        let [ahead, middle, behind] = rows else { return rows.concat() };
        let multipoles = speaker.directivity.axial_multipoles(hz, self.speed_of_sound_m_s);
        let weights = weights(multipoles, TAU * hz / self.speed_of_sound_m_s);
        let points = ahead.iter().zip(middle).zip(behind);
        let sum = |((ahead, middle), behind): ((&Complex64, &Complex64), &Complex64)| {
            weights[0] * ahead + weights[1] * middle + weights[2] * behind
        };
        points.map(sum).collect()
    }

    /// The field of the speakers at a frequency in hertz, from that of their points.
    pub(crate) fn field(&self, hz: f64, of_points: &FieldAtReceivers) -> FieldAtReceivers {
        FieldAtReceivers {
            pressure: self.combined(hz, &of_points.pressure),
            modal_amplitudes: self.combined(hz, &of_points.modal_amplitudes),
        }
    }
}

/// Weights of the points ahead, in the middle and behind. In the far field the slope of a point's sound along the
/// axis is jk·cos θ of it, and the second difference −(k·cos θ)².
fn weights(multipoles: AxialMultipoles, k_per_m: f64) -> [Complex64; 3] {
    let AxialMultipoles { monopole, dipole, quadrupole } = multipoles;
    let slope = dipole / Complex64::new(0.0, 2.0 * k_per_m * STEP_M);
    // P₂(cos θ) = (3·cos² θ − 1)/2.
    let bend = -1.5 * quadrupole / (k_per_m * STEP_M).powi(2);
    [bend + slope, monopole - 0.5 * quadrupole - 2.0 * bend, bend - slope]
}

/// Three points about the acoustic centre, or the speaker's own where it is even in all directions; and where the
/// centre is not in the room, for a cabinet in a wall, whose other half is that wall's image.
fn points_of(scene: &Scene, speaker: &Speaker) -> Vec<DVec3> {
    let AcousticCentre { behind_m, above_m } = speaker.directivity.acoustic_centre();
    let centre = speaker.at - behind_m * speaker.axis + above_m * up_axis(speaker.axis);
    let points = [1.0, 0.0, -1.0].map(|side| centre + side * STEP_M * speaker.axis);
    let size = scene.room().size();
    let is_inside = |point: &DVec3| point.cmpge(DVec3::ZERO).all() && point.cmple(size).all();
    if speaker.directivity == Directivity::Omni || !points.iter().all(is_inside) {
        return vec![speaker.at];
    }
    points.to_vec()
}
