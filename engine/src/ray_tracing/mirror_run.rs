//! A run of rays in a room of six mirrors, where a ray's energy need not be known on its way.
//!
//! Among mirrors that are the same all over, a ray meets each wall at one angle for ever. What is left of
//! its energy is then 2⁻ʰ, with h the sum of walls met and metres run, each with what it takes; so
//! only hits are counted on the way, and the energy is worked out where someone asks: at a listener,
//! where the ray is spent and where it ends. Where anything stands in the room, scatters, or covers
//! a part of a wall, [`super::chunk::Chunk`] follows packets from hit to hit.

use super::bins::Bins;
use super::chunk::{Chunk, Course, Tally};
use super::ear_ball::EarBall;
use super::halvings::{halvings, left_and_lost};
use super::listen::product;
use super::mirror_path::{LANES, Lanes, Passage, Path, Planes};
use super::mirror_ray::{Begin, Ray};
use super::packet::not_zero;
use super::skin::{Row, row, single};
use super::stream::Stream;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::numerics::simd_dispatch::Kernel;
use std::f64::consts::LN_2;

/// Six mirrors, and the air between them.
#[derive(Debug)]
pub(super) struct Mirrors {
    /// Halvings a hit, at each place of the table of [`super::skin::Skins`].
    walls: Vec<Row>,
    /// Halvings a metre.
    air: Row,
}

impl Mirrors {
    /// From what the walls reflect, and the nepers of energy that the air takes a metre.
    pub(super) fn new(reflected: &[Row], nepers_per_m: PerBand<f64>) -> Self {
        let wall = |row_: &Row| row_.map(|share| single(halvings(f64::from(share))));
        Self {
            walls: reflected.iter().map(wall).collect(),
            air: row(nepers_per_m.map(|nepers| nepers / LN_2)),
        }
    }
}

/// Hits from one look at the rays to the next.
const STRETCH: usize = 32;

/// Many rays of a room.
struct Group {
    path: Path,
    /// Squares of the components of each direction.
    weight: [Lanes; 3],
    /// For each listener.
    planes: Vec<Planes>,
    rays: [Ray; LANES],
}

/// Rays of one lattice to follow in a room of mirrors.
#[derive(Debug)]
pub(super) struct MirrorRun<'a> {
    pub(super) chunk: Chunk<'a>,
    pub(super) mirrors: &'a Mirrors,
}

impl Kernel for MirrorRun<'_> {
    type Output = Tally;

    #[inline(always)]
    fn run(self) -> Tally {
        let course = self.chunk.course;
        let mut tally = Tally::new(course);
        let mut waiting = self.chunk.rays.clone();
        let mut group = Group {
            path: Path::IDLE,
            weight: [[0.0; LANES]; 3],
            planes: vec![[[0.0; LANES]; 3]; course.ears.len()],
            rays: [Ray::NONE; LANES],
        };
        loop {
            for lane in 0..LANES {
                while group.path.last_m[lane] >= group.path.end_m[lane] {
                    if group.rays[lane].runs {
                        self.settle(&mut group, lane, &mut tally);
                    } else if let Some(index) = waiting.next() {
                        self.launch(index, &mut group, lane, &mut tally);
                    } else {
                        break;
                    }
                }
            }
            if group.rays.iter().all(|ray| !ray.runs) {
                return tally;
            }
            self.stretch(&mut group, &mut tally);
        }
    }
}

impl MirrorRun<'_> {
    /// Takes every ray a stretch further, past all listeners one after the other.
    #[inline(always)]
    fn stretch(&self, group: &mut Group, tally: &mut Tally) {
        let course = self.chunk.course;
        let begin = group.path;
        if course.ears.is_empty() {
            group.path = begin.run(STRETCH);
        }
        for (number, ear) in course.ears.iter().enumerate() {
            let (weight, mut plane_m) = (group.weight, group.planes[number]);
            let mut path = begin;
            for _ in 0..STRETCH {
                if let Some(passage) = path.pass(&weight, &mut plane_m, ear.radius2) {
                    self.hear(&group.rays, ear, &passage, &mut tally.histograms[number]);
                }
            }
            (group.path, group.planes[number]) = (path, plane_m);
        }
        group.begin_anew(&mut tally.ledger.flights_m2);
    }

    /// Counts rays that pass through a listener's ball.
    #[inline(always)]
    fn hear(&self, rays: &[Ray; LANES], ear: &EarBall, passage: &Passage, bins: &mut Bins) {
        for lane in 0..LANES {
            let half_chord2 = passage.half_chord2[lane];
            if half_chord2 > 0.0 {
                let ray = &rays[lane];
                let hits = [0, 1, 2].map(|axis| passage.hits[axis][lane]);
                let closest_m = ray.run_m + passage.closest_m[lane];
                let run_m = ear.distance_m(closest_m, half_chord2);
                let order = ray.order + hits[0] + hits[1] + hits[2];
                if !ear.holds(order, 0, run_m) {
                    let (left, _) = self.left_and_lost(ray, hits, closest_m);
                    ear.add(bins, run_m, product(ray.energy, left, ear.share(half_chord2, run_m)));
                }
            }
        }
    }

    /// The share of a ray's energy that is left since it was last settled, and the share that is lost.
    #[inline(always)]
    fn left_and_lost(&self, ray: &Ray, hits: [u32; 3], run_m: f32) -> (Row, Row) {
        let walls = ray.by_walls(hits);
        let air_m = run_m - ray.settled_m;
        left_and_lost(std::array::from_fn(|band| walls[band] + self.mirrors.air[band] * air_m))
    }

    /// Puts a new ray into a lane, at its first hit.
    #[inline(never)]
    fn launch(&self, index: u64, group: &mut Group, lane: usize, tally: &mut Tally) {
        let Chunk { course, lattice, seed, first, .. } = &self.chunk;
        let direction = lattice.direction(index);
        let at = course.speaker.to_array().map(single);
        let way = direction.to_array().map(|component| not_zero(single(component)));
        let energy = row(course.emission.energy(direction));
        let (mut next, mut other) = ([[0.0; BAND_COUNT]; 3], [[0.0; BAND_COUNT]; 3]);
        let path = &mut group.path;
        for axis in 0..3 {
            let (size, steep) = (course.size[axis], way[axis].abs());
            let far = way[axis] > 0.0;
            path.wall_m[axis][lane] = if far { size - at[axis] } else { at[axis] } / steep;
            path.period_m[axis][lane] = size / steep;
            path.hits[axis][lane] = 0;
            group.weight[axis][lane] = way[axis] * way[axis];
            for (planes, ear) in group.planes.iter_mut().zip(&course.ears) {
                planes[axis][lane] = (ear.centre[axis] - at[axis]) / way[axis];
            }
            let wall = |far: bool| self.wall(2 * axis + usize::from(far), steep);
            (next[axis], other[axis]) = (wall(far), wall(!far));
        }
        path.squares_m2[lane] = 0.0;
        let first_wall_m = [0, 1, 2].map(|axis| path.wall_m[axis][lane]);
        let first_m = group.first_hit(lane);
        let stream = Stream::new(*seed, first + index);
        let ray = Ray {
            runs: true,
            energy,
            next,
            other,
            first_m,
            run_m: first_m,
            first_wall_m,
            stream,
            ..Ray::NONE
        };
        group.rays[lane] = ray;
        group.path.end_m[lane] = self.end_m(&ray, group.steepness(lane));
        for band in 0..BAND_COUNT {
            tally.ledger.emitted[band] += f64::from(energy[band]);
        }
    }

    /// Halvings a hit on one of the six walls.
    #[inline(always)]
    fn wall(&self, surface: usize, cos: f32) -> Row {
        let Course { places, skins, .. } = self.chunk.course;
        let (step, part) = skins.step(places.material(surface), cos);
        let (low, high) =
            (self.mirrors.walls[step as usize], self.mirrors.walls[step as usize + 1]);
        std::array::from_fn(|band| low[band] + part * (high[band] - low[band]))
    }

    /// How far a ray that was just settled has still to run from where its stretch began: until it has
    /// gone as far as anyone wants to know, or until it will be below the floor in every band by
    /// what it loses a metre on average.
    #[inline(always)]
    fn end_m(&self, ray: &Ray, hits_per_m: [f32; 3]) -> f32 {
        let course = self.chunk.course;
        let mut spent_m = 0f32;
        for band in 0..BAND_COUNT {
            let mut per_m = self.mirrors.air[band];
            for axis in 0..3 {
                per_m += 0.5 * hits_per_m[axis] * (ray.next[axis][band] + ray.other[axis][band]);
            }
            let above = rough_log2(ray.energy[band]) - rough_log2(course.floor);
            let band_m = if above > 0.0 { above / per_m } else { 0.0 };
            spent_m = if band_m > spent_m { band_m } else { spent_m };
        }
        let settled_m = ray.settled_m + spent_m;
        (if settled_m < course.longest_m { settled_m } else { course.longest_m }) - ray.run_m
    }

    /// Works out what a ray that has come to its end has lost since it was last settled. It has gone as
    /// far as anyone wants to know, or a draw retires or strengthens it.
    #[inline(never)]
    fn settle(&self, group: &mut Group, lane: usize, tally: &mut Tally) {
        let hits = [0, 1, 2].map(|axis| group.path.hits[axis][lane]);
        let periods_m = [0, 1, 2].map(|axis| group.path.period_m[axis][lane]);
        let ray = &mut group.rays[lane];
        let run_m = ray.run_m + group.path.last_m[lane];
        let energy = self.take_losses(ray, periods_m, hits, run_m, tally);
        let ledger = &mut tally.ledger;
        let enough = run_m > self.chunk.course.longest_m;
        let survives = !enough
            && energy.iter().any(|&e| e > 0.0)
            && ray.stream.next() < super::bounce::SURVIVAL;
        let weight = if survives { 1.0 / super::bounce::SURVIVAL } else { 0.0 };
        let account = if enough { &mut ledger.alive } else { &mut ledger.drawn };
        for band in 0..BAND_COUNT {
            ray.energy[band] = energy[band] * weight;
            account[band] += f64::from(energy[band]) - f64::from(ray.energy[band]);
        }
        ray.order += hits.iter().sum::<u32>();
        ray.settled_m = run_m;
        for axis in 0..3 {
            group.path.hits[axis][lane] = 0;
            if hits[axis] % 2 == 1 {
                std::mem::swap(&mut ray.next[axis], &mut ray.other[axis]);
            }
        }
        if survives {
            let ray = *ray;
            group.path.end_m[lane] = self.end_m(&ray, group.steepness(lane));
            return;
        }
        ray.runs = false;
        ledger.segments += u64::from(ray.order);
        ledger.flights += u64::from(ray.order) - 1;
        ledger.flights_m += f64::from(run_m) - f64::from(ray.first_m);
    }

    /// Enters what walls and air took from a ray since it was last settled; what is left.
    ///
    /// What both took together is exact. For a division between them the first hits are gone through
    /// one by one, and the rest of the ray as if all its hits, and the flights before them, were
    /// alike: of each such step the air takes 1 − 2⁻ᵃ first, and both together 1 − 2⁻⁽ᵃ⁺ˢ⁾.
    #[inline(always)]
    fn take_losses(
        &self,
        ray: &Ray,
        periods_m: [f32; 3],
        hits: [u32; 3],
        run_m: f32,
        tally: &mut Tally,
    ) -> Row {
        let (left, _) = self.left_and_lost(ray, hits, run_m);
        let energy: Row = std::array::from_fn(|band| ray.energy[band] * left[band]);
        let begin = if ray.order == 0 && !self.chunk.course.air.still {
            ray.first_hits(&self.mirrors.air, periods_m, hits.iter().sum())
        } else {
            Begin { energy: ray.energy, ..Begin::NONE }
        };
        let rest = hits.iter().sum::<u32>() - begin.hits.iter().sum::<u32>();
        let steps = rest.max(1) as f32;
        let (all, first) = (ray.by_walls(hits), ray.by_walls(begin.hits));
        let air_m = run_m - ray.settled_m - begin.run_m;
        let by_air = self.mirrors.air.map(|per_m| per_m * air_m / steps);
        let by_both = std::array::from_fn(|b| by_air[b] + (all[b] - first[b]) / steps);
        let ((_, air), (_, both)) = (left_and_lost(by_air), left_and_lost(by_both));
        for band in 0..BAND_COUNT {
            let lost = f64::from(ray.energy[band]) - f64::from(energy[band]);
            let later = begin.energy[band] - energy[band];
            let share = if both[band] > 0.0 { air[band] / both[band] } else { 0.0 };
            let air = f64::from(begin.by_air[band] + later * share);
            tally.ledger.air[band] += air;
            tally.ledger.absorbed[band] += lost - air;
        }
        energy
    }
}

impl Group {
    /// Moves a new ray to its first wall, and counts from there.
    fn first_hit(&mut self, lane: usize) -> f32 {
        let path = &mut self.path;
        let first_m = path.wall_m.iter().map(|wall| wall[lane]).fold(f32::INFINITY, f32::min);
        for axis in 0..3 {
            let wall_m = path.wall_m[axis][lane];
            let hit = wall_m <= first_m;
            path.hits[axis][lane] = u32::from(hit);
            path.wall_m[axis][lane] += if hit { path.period_m[axis][lane] } else { 0.0 };
            path.wall_m[axis][lane] -= first_m;
            for planes in &mut self.planes {
                let plane_m = planes[axis][lane];
                planes[axis][lane] = if hit { 2.0 * wall_m - plane_m } else { plane_m } - first_m;
            }
        }
        path.last_m[lane] = 0.0;
        first_m
    }

    /// Hits a metre across each axis.
    fn steepness(&self, lane: usize) -> [f32; 3] {
        [0, 1, 2].map(|axis| 1.0 / self.path.period_m[axis][lane])
    }

    /// Counts all distances from the last hits on, so that they stay small and exact.
    #[inline(always)]
    fn begin_anew(&mut self, squares_m2: &mut f64) {
        let Self { path, planes, rays, .. } = self;
        let last_m = path.last_m;
        for distances_m in path.wall_m.iter_mut().chain(planes.iter_mut().flatten()) {
            for i in 0..LANES {
                distances_m[i] -= last_m[i];
            }
        }
        for i in 0..LANES {
            path.end_m[i] -= last_m[i];
            path.last_m[i] = 0.0;
            rays[i].run_m += last_m[i];
            *squares_m2 += f64::from(path.squares_m2[i]);
            path.squares_m2[i] = 0.0;
        }
    }
}

/// The binary logarithm, to a tenth: the bits of a number are its exponent and then its fraction. It
/// decides only where a ray is drawn, which is right anywhere.
#[inline(always)]
fn rough_log2(energy: f32) -> f32 {
    energy.to_bits() as f32 * (1.0 / 8_388_608.0) - 127.0
}
