//! Propagation from one source to one receiver: the arrival over a path.

use super::arrival::{Arrival, Bounce};
use super::diffracted::DiffractedPath;
use super::path::{Path, PathVertex};
use super::tree::EdgeModel;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::FrequencyGrid;
use crate::medium::directivity::Radiator;
use glam::DVec3;
use num_complex::Complex64;

/// A source and a receiver in a room.
#[derive(Debug)]
pub struct Propagation<'a> {
    /// The room.
    pub enclosure: &'a Enclosure<'a>,
    /// Radiation of the speaker.
    pub radiator: &'a Radiator,
    /// Reference point of the speaker, metres.
    pub speaker: DVec3,
    /// Middle of the head, metres.
    pub listener: DVec3,
}

impl Propagation<'_> {
    /// Arrival over a path with geometric edges.
    pub fn arrival(&self, path: &Path) -> Arrival {
        self.arrival_with(path, Self::reflect)
    }

    /// What arrives over a path, with edges treated as `edges` says.
    pub fn arrival_by(&self, path: &Path, edges: EdgeModel) -> Arrival {
        match edges {
            EdgeModel::Diffracting => self.diffracted_arrival(path),
            EdgeModel::Geometric => self.arrival(path),
        }
    }

    /// Arrival over a path with diffraction: panels, screens and furniture reflect and shadow as
    /// pieces of finite size.
    pub fn diffracted_arrival(&self, path: &Path) -> Arrival {
        self.arrival_with(path, |_, path, bounces, pressure| {
            let Self { enclosure, speaker, listener, .. } = *self;
            DiffractedPath::new(enclosure, speaker, listener, path, bounces)
                .multiply_into(pressure);
        })
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

    /// Reflection points of a path, whose direction every bounce mirrors.
    fn bounces(&self, path: &Path, departure: DVec3) -> Vec<Bounce> {
        let mut direction = departure;
        let bounce = |vertex: &PathVertex| {
            let face = &self.enclosure.faces().all()[vertex.face];
            let toward = direction.dot(face.rectangle.normal);
            direction -= face.rectangle.normal * (2.0 * toward);
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

    /// Multiplies in the reflection factor of every bounce.
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
