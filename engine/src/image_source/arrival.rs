//! An arrival and its whole story.

use super::path::{Path, PathVertex};
use crate::geometry::FaceId;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::{EARLY_BANDS, FrequencyGrid, PerBand, energy_db};
use crate::medium::directivity::Radiator;
use glam::DVec3;
use num_complex::Complex64;

/// One bounce of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounce {
    /// The face it is on.
    pub face: FaceId,
    /// The panel the point lies on, by its index in [`crate::scene::Scene::panels`].
    pub panel: Option<usize>,
    /// Where, metres.
    pub point: DVec3,
    /// Cosine of the angle of incidence.
    pub cos_incidence: f64,
    /// How far beside the face the mirror point lies, metres: 0 when it is on it, as it always is on
    /// a surface of the room. Beside it, `point` is the nearest point of the face.
    pub outside_m: f64,
}

/// A specular path from a speaker to a listener. No bounces: the direct sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// Its bounces, from speaker to listener.
    pub bounces: Vec<Bounce>,
    /// Length of the whole path in metres.
    pub distance_m: f64,
    /// Unit vector along which it leaves the speaker.
    pub departure: DVec3,
    /// Unit vector from the listener toward where it comes from.
    pub arrival_direction: DVec3,
    /// Pressure at each frequency of the inner grid, relative to the speaker's own at 1 m on axis
    /// in a free field: spreading, directivity and reflections, without the phase of travel and
    /// without air attenuation.
    pub pressure: Vec<Complex64>,
    /// Share of energy the air leaves over the path, per band.
    pub air_energy: PerBand<f64>,
    /// Energy in each band, relative to the speaker's own at 1 m on axis in a free field,
    /// air attenuation included.
    pub band_energy: PerBand<f64>,
}

impl Arrival {
    /// Number of bounces.
    pub fn order(&self) -> usize {
        self.bounces.len()
    }

    /// Whether it is within 60 dB of another arrival in any band.
    pub fn is_significant(&self, other: &Self) -> bool {
        self.band_energy.iter().zip(other.band_energy).any(|(&mine, other)| mine > 1e-6 * other)
    }

    /// Level over 1–8 kHz relative to another arrival, decibels, for a source with equal energy in
    /// every octave.
    pub fn level_db(&self, reference: &Self) -> f64 {
        let energy = |arrival: &Self| arrival.band_energy[EARLY_BANDS].iter().sum::<f64>();
        energy_db(energy(self) / energy(reference))
    }

    /// Level in each band relative to another arrival, decibels.
    pub fn band_level_db(&self, reference: &Self) -> PerBand<f64> {
        std::array::from_fn(|b| energy_db(self.band_energy[b] / reference.band_energy[b]))
    }
}

/// Turns paths from one speaker to one listener into arrivals.
#[derive(Debug)]
pub struct Propagation<'a> {
    /// The room they run in.
    pub enclosure: &'a Enclosure<'a>,
    /// How the speaker radiates.
    pub radiator: &'a Radiator,
    /// The speaker's reference point.
    pub speaker: DVec3,
    /// The middle of the head.
    pub listener: DVec3,
}

impl Propagation<'_> {
    /// What arrives over a path, with everything ending where it is drawn.
    pub fn arrival(&self, path: &Path) -> Arrival {
        self.arrival_with(path, Self::reflect)
    }

    /// What arrives over a path, with panels, screens and furniture reflecting and shadowing as the
    /// finite things they are.
    pub fn diffracted_arrival(&self, path: &Path) -> Arrival {
        self.arrival_with(path, Self::reflect_with_diffraction)
    }

    fn arrival_with(
        &self,
        path: &Path,
        reflect: impl Fn(&Self, &Path, &[Bounce], &mut [Complex64]),
    ) -> Arrival {
        let distance_m = path.image.distance(self.listener);
        let first = path.vertices.first().map_or(self.listener, |vertex| vertex.point);
        let last = path.vertices.last().map_or(self.speaker, |vertex| vertex.point);
        let departure = (first - self.speaker).normalize();
        let arrival_direction = (last - self.listener).normalize();
        let bounces = self.bounces(path, departure);

        let mut pressure = vec![Complex64::ZERO; self.enclosure.grid().len()];
        self.radiator.pressure(departure, &mut pressure);
        for value in &mut pressure {
            *value /= distance_m;
        }
        reflect(self, path, &bounces, &mut pressure);

        let air_energy = self.enclosure.air_energy(distance_m);
        let dry = FrequencyGrid::band_energy(&pressure);
        let band_energy = std::array::from_fn(|band| dry[band] * air_energy[band]);
        Arrival {
            bounces,
            distance_m,
            departure,
            arrival_direction,
            pressure,
            air_energy,
            band_energy,
        }
    }

    /// Follows the path along its direction, which every bounce mirrors.
    fn bounces(&self, path: &Path, departure: DVec3) -> Vec<Bounce> {
        let mut way = departure;
        let bounce = |vertex: &PathVertex| {
            let face = &self.enclosure.faces().all()[vertex.face];
            let toward = way.dot(face.rectangle.normal);
            way -= face.rectangle.normal * (2.0 * toward);
            let point = face.rectangle.closest_point(vertex.point);
            Bounce {
                face: face.id,
                panel: self.enclosure.panel_at(vertex.face, vertex.point),
                point,
                cos_incidence: toward.abs().min(1.0),
                outside_m: if face.rectangle.contains(vertex.point) {
                    0.0
                } else {
                    point.distance(vertex.point)
                },
            }
        };
        path.vertices.iter().map(bounce).collect()
    }

    /// Multiplies in the reflection of every bounce.
    ///
    /// A long path meets the same material at the same angle over and over, so each such factor
    /// is computed once.
    fn reflect(&self, path: &Path, bounces: &[Bounce], pressure: &mut [Complex64]) {
        let mut known: Vec<(usize, f64, Vec<Complex64>)> = Vec::new();
        for (vertex, bounce) in path.vertices.iter().zip(bounces) {
            let material = self.enclosure.material(vertex.face, bounce.panel);
            let cos = bounce.cos_incidence;
            let same = |(m, c, _): &(usize, f64, _)| *m == material && c.to_bits() == cos.to_bits();
            let at = known.iter().position(same).unwrap_or_else(|| {
                let mut factor = vec![Complex64::ZERO; pressure.len()];
                self.enclosure.reflector(material).pressure(cos, &mut factor);
                known.push((material, cos, factor));
                known.len() - 1
            });
            for (value, &r) in pressure.iter_mut().zip(&known[at].2) {
                *value *= r;
            }
        }
    }
}
