//! Tracing of a batch of rays in the shoebox.

use super::attenuation::ShoeboxAttenuation;
use super::group::LaneGroup;
use super::lanes::{LANES, ReceiverCrossing};
use super::ray::{FirstHits, ShoeboxRay};
use crate::geometry::ray_cast::packet::nonzero_component;
use crate::medium::bands::BAND_COUNT;
use crate::numerics::simd_dispatch::Kernel;
use crate::numerics::single_precision::to_f32;
use crate::numerics::stream::Stream;
use crate::ray_tracing::band_vector::{BandVector, band_vector, product, weighted_product};
use crate::ray_tracing::bounce::SURVIVAL_PROBABILITY;
use crate::ray_tracing::energy_bins::EnergyBins;
use crate::ray_tracing::log2_attenuation::transmitted_and_absorbed;
use crate::ray_tracing::ray_batch::{Accumulators, RayBatch};
use crate::ray_tracing::receiver_sphere::ReceiverSphere;
use crate::ray_tracing::trace_context::TraceContext;

/// Hits from one check for finished rays to the next.
const HITS_PER_RUN: usize = 32;

/// Tracer of a batch.
#[derive(Debug)]
pub(in crate::ray_tracing) struct ShoeboxTracer<'a> {
    pub(in crate::ray_tracing) batch: RayBatch<'a>,
    pub(in crate::ray_tracing) attenuation: &'a ShoeboxAttenuation,
}

/// Path of a ray since its last evaluation.
#[derive(Debug, Clone, Copy)]
struct RayStretch {
    /// Hits across each axis.
    hits: [u32; 3],
    /// Path length from the speaker, metres.
    path_m: f32,
    /// Distance between walls across each axis along the ray, metres.
    periods_m: [f32; 3],
}

impl Kernel for ShoeboxTracer<'_> {
    type Output = Accumulators;

    #[inline(always)]
    fn run(self) -> Accumulators {
        let context = self.batch.context;
        let mut acc = Accumulators::new(context);
        let mut waiting = self.batch.rays.clone();
        let mut group = LaneGroup::empty(context.receivers.len());
        loop {
            for lane in 0..LANES {
                while group.is_at_end(lane) {
                    if group.rays[lane].is_active {
                        self.evaluate(&mut group, lane, &mut acc);
                    } else if let Some(index) = waiting.next() {
                        self.launch(index, &mut group, lane, &mut acc);
                    } else {
                        break;
                    }
                }
            }
            if group.is_empty() {
                return acc;
            }
            self.advance(&mut group, &mut acc);
        }
    }
}

impl ShoeboxTracer<'_> {
    /// Advances every ray by a run of hits, past all receivers one after the other.
    #[inline(always)]
    fn advance(&self, group: &mut LaneGroup, acc: &mut Accumulators) {
        let context = self.batch.context;
        let begin = group.lanes;
        if context.receivers.is_empty() {
            group.lanes = begin.advance(HITS_PER_RUN);
        }
        for (number, receiver) in context.receivers.iter().enumerate() {
            let (weight, mut plane_m) = (group.weight, group.planes_m[number]);
            let mut lanes = begin;
            for _ in 0..HITS_PER_RUN {
                if let Some(crossing) = lanes.cross(&weight, &mut plane_m, receiver.radius2) {
                    let bins = &mut acc.histograms[number];
                    self.score_crossings(&group.rays, receiver, &crossing, bins);
                }
            }
            (group.lanes, group.planes_m[number]) = (lanes, plane_m);
        }
        group.rebase(&mut acc.balance.free_paths_sum_m2);
    }

    /// Scores rays that cross a receiver sphere.
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
                    let transmitted = self.transmitted(ray, hits, closest_m);
                    let weight = receiver.track_length_weight(half_chord2, path_m);
                    receiver.add(bins, path_m, weighted_product(ray.energy, transmitted, weight));
                }
            }
        }
    }

    /// Transmitted fraction of a ray's energy since its last evaluation.
    #[inline(always)]
    fn transmitted(&self, ray: &ShoeboxRay, hits: [u32; 3], path_m: f32) -> BandVector {
        let walls = ray.wall_attenuation(hits);
        let (air_per_m, air_m) = (&self.attenuation.air_per_m, path_m - ray.evaluated_m);
        let attenuation = std::array::from_fn(|band| walls[band] + air_per_m[band] * air_m);
        transmitted_and_absorbed(attenuation).0
    }

    /// Puts a new ray into a lane, at its first hit.
    #[inline(never)]
    fn launch(&self, index: u64, group: &mut LaneGroup, lane: usize, acc: &mut Accumulators) {
        let RayBatch { context, directions, seed, first, .. } = &self.batch;
        let TraceContext { surface_materials, reflectance, .. } = context;
        let direction = directions.direction(index);
        let origin = context.speaker.to_array().map(to_f32);
        let dir = direction.to_array().map(|component| nonzero_component(to_f32(component)));
        let energy = band_vector(context.emission.energy(direction));
        let (mut next_wall, mut opposite_wall) = ([[0.0; BAND_COUNT]; 3], [[0.0; BAND_COUNT]; 3]);
        let lanes = &mut group.lanes;
        for axis in 0..3 {
            let (size, cos) = (context.caster.size()[axis], dir[axis].abs());
            let is_far = dir[axis] > 0.0;
            lanes.wall_m[axis][lane] =
                if is_far { size - origin[axis] } else { origin[axis] } / cos;
            lanes.period_m[axis][lane] = size / cos;
            lanes.hits[axis][lane] = 0;
            group.weight[axis][lane] = dir[axis] * dir[axis];
            for (planes_m, receiver) in group.planes_m.iter_mut().zip(&context.receivers) {
                planes_m[axis][lane] = (receiver.centre[axis] - origin[axis]) / dir[axis];
            }
            let wall = |is_far: bool| {
                let material = surface_materials.material(2 * axis + usize::from(is_far));
                self.attenuation.wall(reflectance.position(material, cos))
            };
            (next_wall[axis], opposite_wall[axis]) = (wall(is_far), wall(!is_far));
        }
        lanes.squares_m2[lane] = 0.0;
        let first_wall_m = [0, 1, 2].map(|axis| lanes.wall_m[axis][lane]);
        let first_m = group.advance_to_first_hit(lane);
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

    /// Distance that a ray just evaluated has still to go in its lane: until its path is as long as the
    /// histograms, or until it will be below the floor in every band by its mean loss a metre.
    #[inline(always)]
    fn end_m(&self, ray: &ShoeboxRay, hits_per_m: [f32; 3]) -> f32 {
        let context = self.batch.context;
        let mut above_floor_m = 0f32;
        for band in 0..BAND_COUNT {
            let mut loss_per_m = self.attenuation.air_per_m[band];
            for axis in 0..3 {
                let both_walls = ray.next_wall[axis][band] + ray.opposite_wall[axis][band];
                loss_per_m += 0.5 * hits_per_m[axis] * both_walls;
            }
            let above = approx_log2(ray.energy[band]) - approx_log2(context.floor);
            let band_m = if above > 0.0 { above / loss_per_m } else { 0.0 };
            above_floor_m = if band_m > above_floor_m { band_m } else { above_floor_m };
        }
        let end_m = ray.evaluated_m + above_floor_m;
        (if end_m < context.longest_m { end_m } else { context.longest_m }) - ray.path_m
    }

    /// Evaluates the energy of a ray at its end: on a path longer than the histograms it is truncated,
    /// else it undergoes Russian roulette.
    #[inline(never)]
    fn evaluate(&self, group: &mut LaneGroup, lane: usize, acc: &mut Accumulators) {
        let stretch = RayStretch {
            hits: [0, 1, 2].map(|axis| group.lanes.hits[axis][lane]),
            path_m: group.rays[lane].path_m + group.lanes.last_m[lane],
            periods_m: [0, 1, 2].map(|axis| group.lanes.period_m[axis][lane]),
        };
        let RayStretch { hits, path_m, .. } = stretch;
        let ray = &mut group.rays[lane];
        let energy = self.split_losses(ray, &stretch, acc);
        let balance = &mut acc.balance;
        let is_truncated = path_m > self.batch.context.longest_m;
        let survives = !is_truncated
            && energy.iter().any(|&e| e > 0.0)
            && ray.stream.next() < SURVIVAL_PROBABILITY;
        let weight = if survives { 1.0 / SURVIVAL_PROBABILITY } else { 0.0 };
        let entry = if is_truncated { &mut balance.truncated } else { &mut balance.roulette };
        for band in 0..BAND_COUNT {
            ray.energy[band] = energy[band] * weight;
            entry[band] += f64::from(energy[band]) - f64::from(ray.energy[band]);
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

    /// Divides the losses of a ray since its last evaluation between walls and air; its energy.
    ///
    /// Their sum is exact. For the division the first hits are traced one by one, and the rest of the
    /// path as if all its hits, and the segments before them, were alike: of each such step the air
    /// absorbs 1 − 2⁻ᵃ first, and both together 1 − 2⁻⁽ᵃ⁺ˢ⁾.
    #[inline(always)]
    fn split_losses(
        &self,
        ray: &ShoeboxRay,
        &RayStretch { hits, path_m, periods_m }: &RayStretch,
        acc: &mut Accumulators,
    ) -> BandVector {
        let energy = product(ray.energy, self.transmitted(ray, hits, path_m));
        let air_per_m = &self.attenuation.air_per_m;
        let first = if ray.order == 0 && !self.batch.context.air.is_lossless {
            ray.first_hits(air_per_m, periods_m, hits.iter().sum())
        } else {
            FirstHits { energy: ray.energy, ..FirstHits::NONE }
        };
        let rest = hits.iter().sum::<u32>() - first.hits.iter().sum::<u32>();
        let steps = rest.max(1) as f32;
        let (all_walls, first_walls) =
            (ray.wall_attenuation(hits), ray.wall_attenuation(first.hits));
        let air_m = path_m - ray.evaluated_m - first.path_m;
        let of_air = air_per_m.map(|per_m| per_m * air_m / steps);
        let of_both = std::array::from_fn(|b| of_air[b] + (all_walls[b] - first_walls[b]) / steps);
        let (_, by_air) = transmitted_and_absorbed(of_air);
        let (_, by_both) = transmitted_and_absorbed(of_both);
        for band in 0..BAND_COUNT {
            let loss = f64::from(ray.energy[band]) - f64::from(energy[band]);
            let rest = first.energy[band] - energy[band];
            let fraction = if by_both[band] > 0.0 { by_air[band] / by_both[band] } else { 0.0 };
            let air = f64::from(first.air_absorbed[band] + rest * fraction);
            acc.balance.air_absorbed[band] += air;
            acc.balance.absorbed[band] += loss - air;
        }
        energy
    }
}

/// Binary logarithm to a tenth: the bits of a number are its exponent and then its fraction. It decides
/// only where Russian roulette takes place, which is unbiased anywhere.
#[inline(always)]
fn approx_log2(energy: f32) -> f32 {
    energy.to_bits() as f32 * (1.0 / 8_388_608.0) - 127.0
}
