//! What reaches the listeners: mirrored rays that pass them, and what a hit scatters to them.

use super::energy_bins::EnergyBins;
use super::obstacles::{Connections, fast_max};
use super::path_packet::{Column, PathPacket, RayColumns, WIDTH, history, nonzero_component};
use super::ray_batch::{Accumulators, TraceContext};
use super::receiver_sphere::ReceiverSphere;
use super::reflectance::BandVector;
use std::f32::consts::PI;

/// Rays looked at together: as many as a vector is_in_image_list.
const LANES: usize = 8;

impl TraceContext {
    /// Counts rays that come from a mirror and pass through a listener's ball.
    #[inline(always)]
    pub(super) fn score_crossings(
        &self,
        packet: &PathPacket,
        receiver: &ReceiverSphere,
        bins: &mut EnergyBins,
    ) {
        let mut closest_m = [0.0; WIDTH];
        let mut half_chord2 = [0.0; WIDTH];
        for i in 0..WIDTH {
            let offset = |axis: usize| receiver.centre[axis] - packet.origin[axis][i];
            let (x, y, z) = (offset(0), offset(1), offset(2));
            let along = x * packet.dir[0][i] + y * packet.dir[1][i] + z * packet.dir[2][i];
            let inside2 = receiver.radius2 - (x * x + y * y + z * z - along * along);
            let ahead = (along > 0.0) & (along < packet.hit_t[i]);
            let mirrored = packet.history[i] & history::LAST_NOT_SPECULAR == 0;
            closest_m[i] = along;
            half_chord2[i] = if ahead & mirrored { inside2 } else { 0.0 };
        }
        for first in (0..packet.live).step_by(LANES) {
            if half_chord2[first..first + LANES].iter().fold(0.0, |a, &b| fast_max(a, b)) <= 0.0 {
                continue;
            }
            for i in first..packet.live.min(first + LANES) {
                if half_chord2[i] > 0.0 {
                    let path_m =
                        receiver.distance_m(packet.path_m[i] + closest_m[i], half_chord2[i]);
                    if !receiver.is_in_image_list(packet.order[i], packet.history[i], path_m) {
                        let share = receiver.track_length_weight(half_chord2[i], path_m);
                        let left = self.air.at(closest_m[i]);
                        receiver.add(bins, path_m, product(packet.energy[i], left, share));
                    }
                }
            }
        }
    }

    /// Scattered energy that reaches each listener from a hit, by the law of Lambert: the part of
    /// cos θ/πr² that a listener at distance r is seen under.
    #[inline(always)]
    pub(super) fn next_event_estimation(&self, packet: &PathPacket, acc: &mut Accumulators) {
        let mut normals = [[0.0; WIDTH]; 3];
        let mut scatters = [false; WIDTH];
        for i in 0..packet.live {
            let normal = self.surface_materials.normal(packet.face[i]);
            for axis in 0..3 {
                normals[axis][i] = normal[axis];
            }
            scatters[i] = self.reflectance.scattering(packet.material[i]).probability > 0.0;
        }
        for (receiver, bins) in self.receivers.iter().zip(&mut acc.histograms) {
            let (connections, mut gain) = connections_to(receiver.centre, &packet.origin, &normals);
            if !self.obstacles.is_empty() {
                self.obstacles.occlude(&packet.origin, &connections, &mut gain);
            }
            let (step, part) = self.air.positions(&connections.length_m);
            for i in 0..packet.live {
                if scatters[i] & (gain[i] > 0.0) {
                    let share = &self.reflectance.scattering(packet.material[i]).coefficient;
                    let left = self.air.lerp(step[i], part[i]);
                    let scattered = product(packet.energy[i], *share, gain[i]);
                    let path_m = packet.path_m[i] + connections.length_m[i];
                    receiver.add(bins, path_m, product(scattered, left, 1.0));
                }
            }
        }
    }
}

/// Connections from all hits to a listener, and cos θ/πr² for those that leave from the front.
#[inline(always)]
fn connections_to(
    centre: [f32; 3],
    origin: &[Column<f32>; 3],
    normals: &[Column<f32>; 3],
) -> (Connections, Column<f32>) {
    let mut gain = [0.0; WIDTH];
    let mut connections =
        Connections { dir: [[0.0; WIDTH]; 3], inv_dir: [[0.0; WIDTH]; 3], length_m: [0.0; WIDTH] };
    for axis in 0..3 {
        for i in 0..WIDTH {
            let dir = nonzero_component(centre[axis] - origin[axis][i]);
            connections.dir[axis][i] = dir;
            connections.inv_dir[axis][i] = 1.0 / dir;
        }
    }
    for i in 0..WIDTH {
        let (dir, normal) = (connections.dir.ray(i), normals.ray(i));
        let distance2 = dir[0] * dir[0] + dir[1] * dir[1] + dir[2] * dir[2];
        let length_m = distance2.sqrt();
        let height = dir[0] * normal[0] + dir[1] * normal[1] + dir[2] * normal[2];
        connections.length_m[i] = length_m;
        gain[i] = fast_max(height, 0.0) / (PI * distance2 * length_m);
    }
    (connections, gain)
}

#[inline(always)]
pub(super) fn product(energy: BandVector, factor: BandVector, share: f32) -> BandVector {
    std::array::from_fn(|band| energy[band] * factor[band] * share)
}
