//! Scores at the receivers: specular paths that cross their spheres, and scattering toward them.

use super::band_vector::weighted_product;
use super::energy_bins::EnergyBins;
use super::path_packet::{PathPacket, history};
use super::ray_batch::Accumulators;
use super::receiver_sphere::ReceiverSphere;
use super::trace_context::TraceContext;
use crate::geometry::ray_cast::packet::{
    RayColumn, SegmentPacket, VectorColumns, WIDTH, nonzero_component,
};
use crate::numerics::single_precision::fast_max;
use std::f32::consts::PI;

/// Rays tested together: the lanes of a vector register.
const LANES: usize = 8;

impl TraceContext {
    /// Scores specular paths whose next segment crosses a receiver sphere, by its chord (track-length
    /// estimator), unless the image-source list holds them.
    #[inline(always)]
    pub(super) fn score_crossings(
        &self,
        packet: &PathPacket,
        receiver: &ReceiverSphere,
        bins: &mut EnergyBins,
    ) {
        let rays = &packet.rays;
        let mut closest_m = [0.0; WIDTH];
        let mut half_chord2 = [0.0; WIDTH];
        for i in 0..WIDTH {
            let offset = |axis: usize| receiver.centre[axis] - rays.origin[axis][i];
            let (x, y, z) = (offset(0), offset(1), offset(2));
            let along = x * rays.dir[0][i] + y * rays.dir[1][i] + z * rays.dir[2][i];
            let inside2 = receiver.radius2 - (x * x + y * y + z * z - along * along);
            let is_ahead = (along > 0.0) & (along < rays.hit_t[i]);
            let is_specular = packet.history[i] & history::LAST_NOT_SPECULAR == 0;
            closest_m[i] = along;
            half_chord2[i] = if is_ahead & is_specular { inside2 } else { 0.0 };
        }
        for first in (0..rays.live).step_by(LANES) {
            if half_chord2[first..first + LANES].iter().fold(0.0, |a, &b| fast_max(a, b)) <= 0.0 {
                continue;
            }
            for i in first..rays.live.min(first + LANES) {
                if half_chord2[i] > 0.0 {
                    let path_m =
                        receiver.distance_m(packet.path_m[i] + closest_m[i], half_chord2[i]);
                    if !receiver.is_in_image_list(packet.order[i], packet.history[i], path_m) {
                        let weight = receiver.track_length_weight(half_chord2[i], path_m);
                        let air = self.air.at(closest_m[i]);
                        receiver.add(bins, path_m, weighted_product(packet.energy[i], air, weight));
                    }
                }
            }
        }
    }

    /// Scores what every hit scatters to every receiver it can see: next-event estimation with Lambert's
    /// cos θ/πr² for a receiver at distance r.
    #[inline(always)]
    pub(super) fn next_event_estimation(&self, packet: &PathPacket, acc: &mut Accumulators) {
        let rays = &packet.rays;
        let mut normals = [[0.0; WIDTH]; 3];
        let mut scatters = [false; WIDTH];
        for i in 0..rays.live {
            let normal = self.surface_materials.normal(rays.face[i]);
            for axis in 0..3 {
                normals[axis][i] = normal[axis];
            }
            scatters[i] = self.reflectance.scattering(packet.material[i]).scatters;
        }
        for (receiver, bins) in self.receivers.iter().zip(&mut acc.histograms) {
            let (segments, mut gain) = connections_to(receiver.centre, &rays.origin, &normals);
            self.caster.occlude(&segments, &mut gain);
            let (step, fraction) = self.air.positions(&segments.length_m);
            for i in 0..rays.live {
                if scatters[i] & (gain[i] > 0.0) {
                    let coefficient = &self.reflectance.scattering(packet.material[i]).coefficient;
                    let air = self.air.lerp(step[i], fraction[i]);
                    let scattered = weighted_product(packet.energy[i], *coefficient, gain[i]);
                    let path_m = packet.path_m[i] + segments.length_m[i];
                    receiver.add(bins, path_m, weighted_product(scattered, air, 1.0));
                }
            }
        }
    }
}

/// Connections from all hits to a receiver, and cos θ/πr² for those that leave from the front.
#[inline(always)]
fn connections_to<'a>(
    centre: [f32; 3],
    origin: &'a [RayColumn<f32>; 3],
    normals: &[RayColumn<f32>; 3],
) -> (SegmentPacket<'a>, RayColumn<f32>) {
    let mut gain = [0.0; WIDTH];
    let (dir, inv_dir) = ([[0.0; WIDTH]; 3], [[0.0; WIDTH]; 3]);
    let mut segments = SegmentPacket { origin, dir, inv_dir, length_m: [0.0; WIDTH] };
    for axis in 0..3 {
        for i in 0..WIDTH {
            let component = nonzero_component(centre[axis] - origin[axis][i]);
            segments.dir[axis][i] = component;
            segments.inv_dir[axis][i] = 1.0 / component;
        }
    }
    for i in 0..WIDTH {
        let (dir, normal) = (segments.dir.vector(i), normals.vector(i));
        let distance2 = dir[0] * dir[0] + dir[1] * dir[1] + dir[2] * dir[2];
        let length_m = distance2.sqrt();
        let height = dir[0] * normal[0] + dir[1] * normal[1] + dir[2] * normal[2];
        segments.length_m[i] = length_m;
        gain[i] = fast_max(height, 0.0) / (PI * distance2 * length_m);
    }
    (segments, gain)
}
