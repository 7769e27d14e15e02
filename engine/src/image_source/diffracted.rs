//! What the finite size of things does to a path: its bounces on panels, screens and furniture, and
//! the shadows of bodies beside its legs.
//!
//! Physical optics, one factor for every bounce and every leg (successive factors multiply, which
//! is an approximation). Each is seen from the image of the speaker after the bounces before it,
//! and from the image of the listener through the bounces after it.

use super::arrival::{Bounce, Propagation};
use super::path::Path;
use super::tree::FADE_M;
use crate::geometry::diffraction::Aperture;
use crate::geometry::{Face, FaceId, Rectangle, SURFACE_COUNT};
use glam::DVec3;
use num_complex::Complex64;

/// The images of both ends of a path at each of its legs.
struct Legs {
    /// The speaker mirrored in the first n faces.
    speakers: Vec<DVec3>,
    /// The listener mirrored back through all but the first n faces.
    listeners: Vec<DVec3>,
    /// Where each leg really begins and ends.
    ends: Vec<DVec3>,
}

impl Propagation<'_> {
    /// Multiplies in every bounce and every shadow.
    pub(super) fn reflect_with_diffraction(
        &self,
        path: &Path,
        bounces: &[Bounce],
        pressure: &mut [Complex64],
    ) {
        let legs = self.legs(path);
        let mut factor = vec![Complex64::ZERO; pressure.len()];
        for (n, (vertex, bounce)) in path.vertices.iter().zip(bounces).enumerate() {
            let face = &self.enclosure.faces().all()[vertex.face];
            let seen = (legs.speakers[n + 1], legs.listeners[n + 1]);
            self.bounce(face, vertex.point, bounce.cos_incidence, seen, &mut factor);
            multiply(pressure, &factor);
        }
        for n in 0..=path.vertices.len() {
            self.shadow(path, bounces, &legs, n, pressure);
        }
    }

    fn legs(&self, path: &Path) -> Legs {
        let faces = self.enclosure.faces().all();
        let mut speakers = vec![self.speaker];
        for vertex in &path.vertices {
            let last = speakers[speakers.len() - 1];
            speakers.push(faces[vertex.face].rectangle.mirror(last));
        }
        let mut listeners = vec![self.listener];
        for vertex in path.vertices.iter().rev() {
            let last = listeners[listeners.len() - 1];
            listeners.push(faces[vertex.face].rectangle.mirror(last));
        }
        listeners.reverse();
        let points = path.vertices.iter().map(|vertex| vertex.point);
        let ends = [self.speaker].into_iter().chain(points).chain([self.listener]).collect();
        Legs { speakers, listeners, ends }
    }

    /// One bounce. A surface of the room reflects as itself, and each panel on it adds the
    /// difference it makes, weighted with what its rim passes; a face inside the room returns what
    /// its own rim passes.
    fn bounce(
        &self,
        face: &Face,
        point: DVec3,
        cos: f64,
        (from, to): (DVec3, DVec3),
        out: &mut [Complex64],
    ) {
        let reflector = |material: usize| self.enclosure.reflector(material);
        reflector(face.material).pressure(cos, out);
        let speed = self.enclosure.speed_of_sound_m_s();
        let mut share = vec![Complex64::ZERO; out.len()];
        let FaceId::Surface(surface) = face.id else {
            let rim = Aperture::new(from, to, &face.rectangle.rim(), true);
            rim.fraction(speed, &mut share);
            let fade = fade(face.rectangle.detour_m(point, from, to));
            for (value, k) in out.iter_mut().zip(&share) {
                *value *= k * fade;
            }
            return;
        };
        let panels: Vec<(usize, Rectangle)> = self
            .enclosure
            .panels_on(surface)
            .map(|(panel, rectangle)| (self.enclosure.panel_material(panel), rectangle))
            .filter(|&(material, _)| material != face.material)
            .collect();
        let bare = out.to_vec();
        let mut factor = vec![Complex64::ZERO; out.len()];
        // The factor of a material is worked out once for all its panels.
        let mut done = Vec::new();
        for &(material, _) in &panels {
            if done.contains(&material) {
                continue;
            }
            done.push(material);
            reflector(material).pressure(cos, &mut factor);
            for (_, rectangle) in panels.iter().filter(|(m, _)| *m == material) {
                Aperture::new(from, to, &rectangle.rim(), true).fraction(speed, &mut share);
                for (((value, wall), panel), k) in
                    out.iter_mut().zip(&bare).zip(&factor).zip(&share)
                {
                    *value += (panel - wall) * k;
                }
            }
        }
    }

    /// The shadows that bodies throw on leg `n`: 1 − K for each, but for those the leg begins or
    /// ends on.
    fn shadow(
        &self,
        path: &Path,
        bounces: &[Bounce],
        legs: &Legs,
        n: usize,
        pressure: &mut [Complex64],
    ) {
        let speed = self.enclosure.speed_of_sound_m_s();
        let (begin, end) = (legs.ends[n], legs.ends[n + 1]);
        let (from, to) = (legs.speakers[n], legs.listeners[n]);
        let way = (end - begin).normalize_or_zero();
        let touched = [n.checked_sub(1), Some(n)].map(|i| i.and_then(|i| bounces.get(i)));
        let mut share = vec![Complex64::ZERO; pressure.len()];
        for body in self.enclosure.faces().bodies() {
            let own = n == 0 && body.is_transparent_from(begin);
            if own || touched.iter().flatten().any(|bounce| body.has(bounce.face)) {
                continue;
            }
            // Past a bounce on something inside the room the straight line runs on where no sound
            // is; what stands beside that part throws no shadow on this leg.
            let along = (body.centre() - begin).dot(way);
            let inside = |i: Option<usize>| {
                i.and_then(|i| path.vertices.get(i)).is_some_and(|t| t.face >= SURFACE_COUNT)
            };
            if along < 0.0 && inside(n.checked_sub(1))
                || along > begin.distance(end) && inside(Some(n))
            {
                continue;
            }
            let between = body.intersects(begin, end);
            let outlines = body.silhouettes(from, to);
            let mut passed = vec![Complex64::ONE; pressure.len()];
            for outline in &outlines {
                Aperture::new(from, to, outline, between).fraction(speed, &mut share);
                for (value, k) in passed.iter_mut().zip(&share) {
                    *value -= k / outlines.len() as f64;
                }
            }
            multiply(pressure, &passed);
        }
    }
}

fn multiply(pressure: &mut [Complex64], factor: &[Complex64]) {
    for (value, &r) in pressure.iter_mut().zip(factor) {
        *value *= r;
    }
}

/// From 1 to 0 while a detour grows over [`FADE_M`], without a corner.
fn fade(detour_m: f64) -> f64 {
    let share = ((detour_m - FADE_M[0]) / (FADE_M[1] - FADE_M[0])).clamp(0.0, 1.0);
    1.0 - share * share * (3.0 - 2.0 * share)
}
