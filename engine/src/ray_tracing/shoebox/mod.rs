//! A run of rays in a room of six mirrors, where a ray's energy need not be known on its way.
//!
//! Among mirrors that are the same all over, a ray meets each wall at one angle for ever. What is left of
//! its energy is then 2⁻ʰ, with h the sum of walls met and metres run, each with what it takes; so
//! only hits are counted on the way, and the energy is worked out where someone asks: at a listener,
//! where the ray is spent and where it ends. Where anything stands in the room, scatters, or covers
//! a part of a wall, [`crate::ray_tracing::ray_batch::RayBatch`] follows packets from hit to hit.

use crate::ray_tracing::energy_bins::EnergyBins;
use crate::ray_tracing::log2_attenuation::{attenuation_log2, transmitted_and_absorbed};
use crate::ray_tracing::ray_batch::{Accumulators, RayBatch, TraceContext};
use crate::ray_tracing::receiver_sphere::ReceiverSphere;
use crate::ray_tracing::receivers::product;
mod lanes;
mod ray;
#[cfg(test)]
mod tests;

use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::numerics::simd_dispatch::Kernel;
use crate::ray_tracing::path_packet::nonzero_component;
use crate::ray_tracing::reflectance::{BandVector, band_vector, to_f32};
use crate::ray_tracing::stream::Stream;
use lanes::{LANES, Lanes, ReceiverCrossing, ReceiverPlanes, ShoeboxLanes};
use ray::{FirstHits, ShoeboxRay};
use std::f64::consts::LN_2;

/// Six mirrors, and the air between them.
#[derive(Debug)]
pub(super) struct ShoeboxAttenuation {
    /// Halvings a hit, at each place of the table of [`crate::ray_tracing::reflectance::ReflectanceTable`].
    walls: Vec<BandVector>,
    /// Halvings a metre.
    air: BandVector,
}

impl ShoeboxAttenuation {
    /// From what the walls reflect, and the nepers of energy that the air takes a metre.
    pub(super) fn new(reflected: &[BandVector], nepers_per_m: PerBand<f64>) -> Self {
        let wall = |reflectance: &BandVector| {
            reflectance.map(|share| to_f32(attenuation_log2(f64::from(share))))
        };
        Self {
            walls: reflected.iter().map(wall).collect(),
            air: band_vector(nepers_per_m.map(|nepers| nepers / LN_2)),
        }
    }
}

/// Hits from one look at the rays to the next.
const HITS_PER_RUN: usize = 32;

/// Many rays of a room.
struct LaneGroup {
    lanes: ShoeboxLanes,
    /// Squares of the components of each direction.
    weight: [Lanes; 3],
    /// For each listener.
    receiver_planes: Vec<ReceiverPlanes>,
    rays: [ShoeboxRay; LANES],
}

/// Rays of one lattice to follow in a room of mirrors.
#[derive(Debug)]
pub(super) struct ShoeboxTracer<'a> {
    pub(super) batch: RayBatch<'a>,
    pub(super) attenuation: &'a ShoeboxAttenuation,
}

impl Kernel for ShoeboxTracer<'_> {
    type Output = Accumulators;

    #[inline(always)]
    fn run(self) -> Accumulators {
        let context = self.batch.context;
        let mut acc = Accumulators::new(context);
        let mut waiting = self.batch.rays.clone();
        let mut group = LaneGroup {
            lanes: ShoeboxLanes::IDLE,
            weight: [[0.0; LANES]; 3],
            receiver_planes: vec![[[0.0; LANES]; 3]; context.receivers.len()],
            rays: [ShoeboxRay::NONE; LANES],
        };
        loop {
            for lane in 0..LANES {
                while group.lanes.last_m[lane] >= group.lanes.end_m[lane] {
                    if group.rays[lane].is_active {
                        self.evaluate(&mut group, lane, &mut acc);
                    } else if let Some(index) = waiting.next() {
                        self.launch(index, &mut group, lane, &mut acc);
                    } else {
                        break;
                    }
                }
            }
            if group.rays.iter().all(|ray| !ray.is_active) {
                return acc;
            }
            self.advance(&mut group, &mut acc);
        }
    }
}

impl ShoeboxTracer<'_> {
    /// Takes every ray a stretch further, past all listeners one after the other.
    #[inline(always)]
    fn advance(&self, group: &mut LaneGroup, acc: &mut Accumulators) {
        let context = self.batch.context;
        let begin = group.lanes;
        if context.receivers.is_empty() {
            group.lanes = begin.advance(HITS_PER_RUN);
        }
        for (number, receiver) in context.receivers.iter().enumerate() {
            let (weight, mut plane_m) = (group.weight, group.receiver_planes[number]);
            let mut lanes = begin;
            for _ in 0..HITS_PER_RUN {
                if let Some(crossing) = lanes.pass(&weight, &mut plane_m, receiver.radius2) {
                    self.score_crossings(
                        &group.rays,
                        receiver,
                        &crossing,
                        &mut acc.histograms[number],
                    );
                }
            }
            (group.lanes, group.receiver_planes[number]) = (lanes, plane_m);
        }
        group.rebase(&mut acc.balance.free_paths_sum_m2);
    }

    /// Counts rays that pass through a listener's ball.
    #[inline(always)]
    fn score_crossings(
        &self,
        rays: &[ShoeboxRay; LANES],
        receiver: &ReceiverSphere,
        crossing: &ReceiverCrossing,
        bins: &mut EnergyBins,
    ) {
        for lane in 0..LANES {
            let half_chord2 = crossing.half_chord2[lane];
            if half_chord2 > 0.0 {
                let ray = &rays[lane];
                let hits = [0, 1, 2].map(|axis| crossing.hits[axis][lane]);
                let closest_m = ray.path_m + crossing.closest_m[lane];
                let path_m = receiver.distance_m(closest_m, half_chord2);
                let order = ray.order + hits[0] + hits[1] + hits[2];
                if !receiver.is_in_image_list(order, 0, path_m) {
                    let (left, _) = self.transmitted_and_absorbed(ray, hits, closest_m);
                    receiver.add(
                        bins,
                        path_m,
                        product(
                            ray.energy,
                            left,
                            receiver.track_length_weight(half_chord2, path_m),
                        ),
                    );
                }
            }
        }
    }

    /// The share of a ray's energy that is left since it was last settled, and the share that is lost.
    #[inline(always)]
    fn transmitted_and_absorbed(
        &self,
        ray: &ShoeboxRay,
        hits: [u32; 3],
        path_m: f32,
    ) -> (BandVector, BandVector) {
        let walls = ray.wall_attenuation(hits);
        let air_m = path_m - ray.evaluated_m;
        transmitted_and_absorbed(std::array::from_fn(|band| {
            walls[band] + self.attenuation.air[band] * air_m
        }))
    }

    /// Puts a new ray into a lane, at its first hit.
    #[inline(never)]
    fn launch(&self, index: u64, group: &mut LaneGroup, lane: usize, acc: &mut Accumulators) {
        let RayBatch { context, directions, seed, first, .. } = &self.batch;
        let direction = directions.direction(index);
        let at = context.speaker.to_array().map(to_f32);
        let dir = direction.to_array().map(|component| nonzero_component(to_f32(component)));
        let energy = band_vector(context.emission.energy(direction));
        let (mut next_wall, mut opposite_wall) = ([[0.0; BAND_COUNT]; 3], [[0.0; BAND_COUNT]; 3]);
        let lanes = &mut group.lanes;
        for axis in 0..3 {
            let (size, steep) = (context.size[axis], dir[axis].abs());
            let far = dir[axis] > 0.0;
            lanes.wall_m[axis][lane] = if far { size - at[axis] } else { at[axis] } / steep;
            lanes.period_m[axis][lane] = size / steep;
            lanes.hits[axis][lane] = 0;
            group.weight[axis][lane] = dir[axis] * dir[axis];
            for (receiver_planes, receiver) in
                group.receiver_planes.iter_mut().zip(&context.receivers)
            {
                receiver_planes[axis][lane] = (receiver.centre[axis] - at[axis]) / dir[axis];
            }
            let wall = |far: bool| self.wall(2 * axis + usize::from(far), steep);
            (next_wall[axis], opposite_wall[axis]) = (wall(far), wall(!far));
        }
        lanes.squares_m2[lane] = 0.0;
        let first_wall_m = [0, 1, 2].map(|axis| lanes.wall_m[axis][lane]);
        let first_m = group.first_hit(lane);
        let stream = Stream::new(*seed, first + index);
        let ray = ShoeboxRay {
            is_active: true,
            energy,
            next_wall,
            opposite_wall,
            first_m,
            path_m: first_m,
            first_wall_m,
            stream,
            ..ShoeboxRay::NONE
        };
        group.rays[lane] = ray;
        group.lanes.end_m[lane] = self.end_m(&ray, group.hits_per_m(lane));
        for band in 0..BAND_COUNT {
            acc.balance.emitted[band] += f64::from(energy[band]);
        }
    }

    /// Halvings a hit on one of the six walls.
    #[inline(always)]
    fn wall(&self, surface: usize, cos: f32) -> BandVector {
        let TraceContext { surface_materials, reflectance, .. } = self.batch.context;
        let (step, part) = reflectance.position(surface_materials.material(surface), cos);
        let (low, high) =
            (self.attenuation.walls[step as usize], self.attenuation.walls[step as usize + 1]);
        std::array::from_fn(|band| low[band] + part * (high[band] - low[band]))
    }

    /// How far a ray that was just settled has still to run from where its stretch began: until it has
    /// gone as far as anyone wants to know, or until it will be below the floor in every band by
    /// what it loses a metre on average.
    #[inline(always)]
    fn end_m(&self, ray: &ShoeboxRay, hits_per_m: [f32; 3]) -> f32 {
        let context = self.batch.context;
        let mut spent_m = 0f32;
        for band in 0..BAND_COUNT {
            let mut per_m = self.attenuation.air[band];
            for axis in 0..3 {
                per_m += 0.5
                    * hits_per_m[axis]
                    * (ray.next_wall[axis][band] + ray.opposite_wall[axis][band]);
            }
            let above = approx_log2(ray.energy[band]) - approx_log2(context.floor);
            let band_m = if above > 0.0 { above / per_m } else { 0.0 };
            spent_m = if band_m > spent_m { band_m } else { spent_m };
        }
        let evaluated_m = ray.evaluated_m + spent_m;
        (if evaluated_m < context.longest_m { evaluated_m } else { context.longest_m }) - ray.path_m
    }

    /// Works out what a ray that has come to its end has lost since it was last settled. It has gone as
    /// far as anyone wants to know, or a draw retires or strengthens it.
    #[inline(never)]
    fn evaluate(&self, group: &mut LaneGroup, lane: usize, acc: &mut Accumulators) {
        let hits = [0, 1, 2].map(|axis| group.lanes.hits[axis][lane]);
        let periods_m = [0, 1, 2].map(|axis| group.lanes.period_m[axis][lane]);
        let ray = &mut group.rays[lane];
        let path_m = ray.path_m + group.lanes.last_m[lane];
        let energy = self.split_losses(ray, periods_m, hits, path_m, acc);
        let balance = &mut acc.balance;
        let enough = path_m > self.batch.context.longest_m;
        let survives = !enough
            && energy.iter().any(|&e| e > 0.0)
            && ray.stream.next() < crate::ray_tracing::bounce::SURVIVAL_PROBABILITY;
        let weight =
            if survives { 1.0 / crate::ray_tracing::bounce::SURVIVAL_PROBABILITY } else { 0.0 };
        let account = if enough { &mut balance.truncated } else { &mut balance.roulette };
        for band in 0..BAND_COUNT {
            ray.energy[band] = energy[band] * weight;
            account[band] += f64::from(energy[band]) - f64::from(ray.energy[band]);
        }
        ray.order += hits.iter().sum::<u32>();
        ray.evaluated_m = path_m;
        for axis in 0..3 {
            group.lanes.hits[axis][lane] = 0;
            if hits[axis] % 2 == 1 {
                std::mem::swap(&mut ray.next_wall[axis], &mut ray.opposite_wall[axis]);
            }
        }
        if survives {
            let ray = *ray;
            group.lanes.end_m[lane] = self.end_m(&ray, group.hits_per_m(lane));
            return;
        }
        ray.is_active = false;
        balance.segments += u64::from(ray.order);
        balance.free_paths += u64::from(ray.order) - 1;
        balance.free_paths_sum_m += f64::from(path_m) - f64::from(ray.first_m);
    }

    /// Enters what walls and air took from a ray since it was last settled; what is left.
    ///
    /// What both took together is exact. For a division between them the first hits are gone through
    /// one by one, and the rest of the ray as if all its hits, and the flights before them, were
    /// alike: of each such step the air takes 1 − 2⁻ᵃ first, and both together 1 − 2⁻⁽ᵃ⁺ˢ⁾.
    #[inline(always)]
    fn split_losses(
        &self,
        ray: &ShoeboxRay,
        periods_m: [f32; 3],
        hits: [u32; 3],
        path_m: f32,
        acc: &mut Accumulators,
    ) -> BandVector {
        let (left, _) = self.transmitted_and_absorbed(ray, hits, path_m);
        let energy: BandVector = std::array::from_fn(|band| ray.energy[band] * left[band]);
        let begin = if ray.order == 0 && !self.batch.context.air.is_lossless {
            ray.first_hits(&self.attenuation.air, periods_m, hits.iter().sum())
        } else {
            FirstHits { energy: ray.energy, ..FirstHits::NONE }
        };
        let rest = hits.iter().sum::<u32>() - begin.hits.iter().sum::<u32>();
        let steps = rest.max(1) as f32;
        let (all, first) = (ray.wall_attenuation(hits), ray.wall_attenuation(begin.hits));
        let air_m = path_m - ray.evaluated_m - begin.path_m;
        let by_air = self.attenuation.air.map(|per_m| per_m * air_m / steps);
        let by_both = std::array::from_fn(|b| by_air[b] + (all[b] - first[b]) / steps);
        let ((_, air), (_, both)) =
            (transmitted_and_absorbed(by_air), transmitted_and_absorbed(by_both));
        for band in 0..BAND_COUNT {
            let lost = f64::from(ray.energy[band]) - f64::from(energy[band]);
            let later = begin.energy[band] - energy[band];
            let share = if both[band] > 0.0 { air[band] / both[band] } else { 0.0 };
            let air = f64::from(begin.by_air[band] + later * share);
            acc.balance.air_absorbed[band] += air;
            acc.balance.absorbed[band] += lost - air;
        }
        energy
    }
}

impl LaneGroup {
    /// Moves a new ray to its first wall, and counts from there.
    fn first_hit(&mut self, lane: usize) -> f32 {
        let lanes = &mut self.lanes;
        let first_m = lanes.wall_m.iter().map(|wall| wall[lane]).fold(f32::INFINITY, f32::min);
        for axis in 0..3 {
            let wall_m = lanes.wall_m[axis][lane];
            let hit = wall_m <= first_m;
            lanes.hits[axis][lane] = u32::from(hit);
            lanes.wall_m[axis][lane] += if hit { lanes.period_m[axis][lane] } else { 0.0 };
            lanes.wall_m[axis][lane] -= first_m;
            for receiver_planes in &mut self.receiver_planes {
                let plane_m = receiver_planes[axis][lane];
                receiver_planes[axis][lane] =
                    if hit { 2.0 * wall_m - plane_m } else { plane_m } - first_m;
            }
        }
        lanes.last_m[lane] = 0.0;
        first_m
    }

    /// Hits a metre across each axis.
    fn hits_per_m(&self, lane: usize) -> [f32; 3] {
        [0, 1, 2].map(|axis| 1.0 / self.lanes.period_m[axis][lane])
    }

    /// Counts all distances from the last hits on, so that they stay small and exact.
    #[inline(always)]
    fn rebase(&mut self, squares_m2: &mut f64) {
        let Self { lanes, receiver_planes, rays, .. } = self;
        let last_m = lanes.last_m;
        for distances_m in lanes.wall_m.iter_mut().chain(receiver_planes.iter_mut().flatten()) {
            for i in 0..LANES {
                distances_m[i] -= last_m[i];
            }
        }
        for i in 0..LANES {
            lanes.end_m[i] -= last_m[i];
            lanes.last_m[i] = 0.0;
            rays[i].path_m += last_m[i];
            *squares_m2 += f64::from(lanes.squares_m2[i]);
            lanes.squares_m2[i] = 0.0;
        }
    }
}

/// The binary logarithm, to a tenth: the bits of a number are its exponent and then its fraction. It
/// decides only where a ray is drawn, which is right anywhere.
#[inline(always)]
fn approx_log2(energy: f32) -> f32 {
    energy.to_bits() as f32 * (1.0 / 8_388_608.0) - 127.0
}
