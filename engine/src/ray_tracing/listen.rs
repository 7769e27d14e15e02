//! What reaches the listeners: mirrored rays that pass them, and what a hit scatters to them.

use super::bins::Bins;
use super::chunk::{Course, Tally};
use super::ear_ball::EarBall;
use super::inside::{Ways, larger};
use super::packet::{Column, Columns, Packet, WIDTH, not_zero, past};
use super::skin::Row;
use std::f32::consts::PI;

/// Rays looked at together: as many as a vector holds.
const LANES: usize = 8;

impl Course {
    /// Counts rays that come from a mirror and pass through a listener's ball.
    #[inline(always)]
    pub(super) fn pass_ear(&self, packet: &Packet, ear: &EarBall, bins: &mut Bins) {
        let mut closest_m = [0.0; WIDTH];
        let mut half_chord2 = [0.0; WIDTH];
        for i in 0..WIDTH {
            let offset = |axis: usize| ear.centre[axis] - packet.at[axis][i];
            let (x, y, z) = (offset(0), offset(1), offset(2));
            let along = x * packet.way[0][i] + y * packet.way[1][i] + z * packet.way[2][i];
            let inside2 = ear.radius2 - (x * x + y * y + z * z - along * along);
            let ahead = (along > 0.0) & (along < packet.ahead_m[i]);
            let mirrored = packet.past[i] & past::NO_MIRROR_LAST == 0;
            closest_m[i] = along;
            half_chord2[i] = if ahead & mirrored { inside2 } else { 0.0 };
        }
        for first in (0..packet.live).step_by(LANES) {
            if half_chord2[first..first + LANES].iter().fold(0.0, |a, &b| larger(a, b)) <= 0.0 {
                continue;
            }
            for i in first..packet.live.min(first + LANES) {
                if half_chord2[i] > 0.0 {
                    let run_m = ear.distance_m(packet.run_m[i] + closest_m[i], half_chord2[i]);
                    if !ear.holds(packet.order[i], packet.past[i], run_m) {
                        let share = ear.share(half_chord2[i], run_m);
                        let left = self.air.left(closest_m[i]);
                        ear.add(bins, run_m, product(packet.energy[i], left, share));
                    }
                }
            }
        }
    }

    /// Scattered energy that reaches each listener from a hit, by the law of Lambert: the part of
    /// cos θ/πr² that a listener at distance r is seen under.
    #[inline(always)]
    pub(super) fn scatter_to_ears(&self, packet: &Packet, tally: &mut Tally) {
        let mut normals = [[0.0; WIDTH]; 3];
        let mut scatters = [false; WIDTH];
        for i in 0..packet.live {
            let normal = self.places.normal(packet.face[i]);
            for axis in 0..3 {
                normals[axis][i] = normal[axis];
            }
            scatters[i] = self.skins.scatter(packet.material[i]).chance > 0.0;
        }
        for (ear, bins) in self.ears.iter().zip(&mut tally.histograms) {
            let (ways, mut gain) = ways_to(ear.centre, &packet.at, &normals);
            if !self.inside.is_empty() {
                self.inside.block(&packet.at, &ways, &mut gain);
            }
            let (step, part) = self.air.steps(&ways.length_m);
            for i in 0..packet.live {
                if scatters[i] & (gain[i] > 0.0) {
                    let share = &self.skins.scatter(packet.material[i]).share;
                    let left = self.air.between(step[i], part[i]);
                    let scattered = product(packet.energy[i], *share, gain[i]);
                    let run_m = packet.run_m[i] + ways.length_m[i];
                    ear.add(bins, run_m, product(scattered, left, 1.0));
                }
            }
        }
    }
}

/// Ways from all hits to a listener, and cos θ/πr² for those that leave from the front.
#[inline(always)]
fn ways_to(
    centre: [f32; 3],
    at: &[Column<f32>; 3],
    normals: &[Column<f32>; 3],
) -> (Ways, Column<f32>) {
    let mut gain = [0.0; WIDTH];
    let mut ways =
        Ways { way: [[0.0; WIDTH]; 3], inverse: [[0.0; WIDTH]; 3], length_m: [0.0; WIDTH] };
    for axis in 0..3 {
        for i in 0..WIDTH {
            let way = not_zero(centre[axis] - at[axis][i]);
            ways.way[axis][i] = way;
            ways.inverse[axis][i] = 1.0 / way;
        }
    }
    for i in 0..WIDTH {
        let (way, normal) = (ways.way.ray(i), normals.ray(i));
        let distance2 = way[0] * way[0] + way[1] * way[1] + way[2] * way[2];
        let length_m = distance2.sqrt();
        let height = way[0] * normal[0] + way[1] * normal[1] + way[2] * normal[2];
        ways.length_m[i] = length_m;
        gain[i] = larger(height, 0.0) / (PI * distance2 * length_m);
    }
    (ways, gain)
}

#[inline(always)]
pub(super) fn product(energy: Row, factor: Row, share: f32) -> Row {
    std::array::from_fn(|band| energy[band] * factor[band] * share)
}
