//! Wavefronts in the cut at one moment: circles about mirror images, as far as nothing cuts them off.

use super::course::{Course, follow};
use super::cut::Plane;
use super::energy::energy_at_end;
use super::image_planes::ImagePlane;
use crate::geometry::FaceId;
use crate::image_source::Propagation;
use crate::medium::bands::PerBand;
use glam::DVec3;
use std::f64::consts::TAU;

/// An unbroken piece of a wavefront: all of it has met the same faces in the same order.
#[derive(Debug, Clone, PartialEq)]
pub struct Front {
    /// What it has met, from the speaker on; nothing for the direct sound.
    pub met: Vec<Met>,
    /// Its points in order, each within [`ON_CUT_M`] of the cut.
    pub points: Vec<FrontPoint>,
    /// Whether it runs back into itself: the last point is the first again.
    pub closed: bool,
}

/// A bounce in the story of a front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Met {
    /// The face.
    pub face: FaceId,
    /// The panel on it, by its index in [`crate::scene::Scene::panels`].
    pub panel: Option<usize>,
}

/// A point of a wavefront.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrontPoint {
    /// Where, metres.
    pub at: DVec3,
    /// Energy per band, relative to the speaker's own at 1 m on axis in a free field.
    pub band_energy: PerBand<f64>,
    /// Whether the energy was computed here, and not between the nearest points where it was.
    pub computed: bool,
}

impl Front {
    /// Its length, metres.
    pub fn length_m(&self) -> f64 {
        self.points.windows(2).map(|two| two[0].at.distance(two[1].at)).sum()
    }
}

/// A ray belongs to the picture if it ends this close to the cut, metres.
pub const ON_CUT_M: f64 = 1e-6;

/// Neighbours on a front are at most this far apart, metres.
const STEP_M: f64 = 0.08;

/// Neighbours on a front are at most this much of a turn apart, radians: 5°.
const STEP_RAD: f64 = TAU / 72.0;

/// The end of a front is found this exactly, metres.
const END_M: f64 = 1e-3;

/// Energy is computed at directions at most this far apart, radians (2.5°), and taken in proportion
/// between them.
const ENERGY_STEP_RAD: f64 = TAU / 144.0;

/// What is needed to look for fronts on one image of the cut at one moment.
pub(super) struct Sweep<'a> {
    pub(super) ear: &'a Propagation<'a>,
    pub(super) cut: &'a Plane,
    pub(super) image: &'a ImagePlane,
    /// Length of way since emission, metres.
    pub(super) length_m: f64,
}

/// A ray that was tried.
struct Tried {
    azimuth: f64,
    /// Where it ended and what it met, where that is in the cut.
    ended: Option<(Course, Vec<Met>)>,
}

impl Tried {
    fn has_the_story_of(&self, other: &Self) -> bool {
        match (&self.ended, &other.ended) {
            (Some((_, mine)), Some((_, other))) => mine == other,
            (None, None) => true,
            _ => false,
        }
    }
}

impl Sweep<'_> {
    /// All fronts on this image of the cut, in order of azimuth.
    pub(super) fn fronts(&self) -> Vec<Front> {
        let Some((sine, cosine)) = self.cone() else { return Vec::new() };
        let step = (STEP_M / (self.length_m * sine).max(STEP_M)).min(STEP_RAD);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "72 and more")]
        let count = (TAU / step).ceil() as usize;
        let azimuth = |index: usize| TAU * index as f64 / count as f64;
        let aim = Aim { sweep: self, sine, cosine };
        let mut runs = Runs::default();
        let mut before = aim.tried(azimuth(0));
        for index in 1..=count {
            let next = aim.tried(azimuth(index));
            aim.between(before, &next, &mut runs);
            before = next;
        }
        runs.push(before);
        let closed = runs.done.is_empty();
        runs.joined_at_nought().into_iter().filter_map(|run| self.front(run, closed)).collect()
    }

    /// Sine and cosine of the angle between the image's normal and the rays that end on it; `None`
    /// where it is out of reach.
    fn cone(&self) -> Option<(f64, f64)> {
        let Plane { normal, offset_m } = self.image.plane;
        let cosine = (offset_m - normal.dot(self.ear.speaker)) / self.length_m;
        (cosine.abs() < 1.0).then(|| ((1.0 - cosine * cosine).sqrt(), cosine))
    }

    /// A run of rays with one story as a front.
    fn front(&self, run: Vec<Tried>, closed: bool) -> Option<Front> {
        let met = run.first()?.ended.as_ref()?.1.clone();
        let chosen = chosen(&run);
        let mut points: Vec<FrontPoint> = Vec::with_capacity(run.len());
        let azimuths: Vec<f64> = run.iter().map(|tried| tried.azimuth).collect();
        for (tried, computed) in run.into_iter().zip(&chosen) {
            let (course, _) = tried.ended?;
            let at = course.end;
            let band_energy =
                if *computed { energy_at_end(self.ear, course, self.length_m) } else { [0.0; 8] };
            points.push(FrontPoint { at, band_energy, computed: *computed });
        }
        fill_between(&mut points, &azimuths);
        Some(Front { met, points, closed })
    }
}

/// Rays of one cone.
struct Aim<'a> {
    sweep: &'a Sweep<'a>,
    sine: f64,
    cosine: f64,
}

impl Aim<'_> {
    fn tried(&self, azimuth: f64) -> Tried {
        let ended = if self.sweep.image.is_open(azimuth) { self.ended(azimuth) } else { None };
        Tried { azimuth, ended }
    }

    fn ended(&self, azimuth: f64) -> Option<(Course, Vec<Met>)> {
        let Sweep { ear, cut, image, length_m } = *self.sweep;
        let (sin, cos) = azimuth.sin_cos();
        let [x, y] = image.frame;
        let way = image.plane.normal * self.cosine + (x * cos + y * sin) * self.sine;
        let course = follow(ear.enclosure.faces(), ear.speaker, way, length_m)?;
        if ON_CUT_M < cut.distance_m(course.end) {
            return None;
        }
        let met = course.vertices.iter().map(|vertex| Met {
            face: ear.enclosure.faces().all()[vertex.face].id,
            panel: ear.enclosure.panel_at(vertex.face, vertex.point),
        });
        let met = met.collect();
        Some((course, met))
    }

    /// Notes a ray and what lies between it and the next one.
    fn between(&self, one: Tried, next: &Tried, runs: &mut Runs) {
        let apart_m = (next.azimuth - one.azimuth) * self.sweep.length_m;
        if one.has_the_story_of(next) {
            runs.push(one);
        } else if apart_m < END_M {
            runs.push(one);
            runs.close();
        } else {
            let middle = self.tried(f64::midpoint(one.azimuth, next.azimuth));
            self.between(one, &middle, runs);
            self.between(middle, next, runs);
        }
    }
}

/// Rays with the same story, one run after another.
#[derive(Default)]
struct Runs {
    done: Vec<Vec<Tried>>,
    open: Vec<Tried>,
}

impl Runs {
    fn push(&mut self, tried: Tried) {
        if tried.ended.is_some() {
            self.open.push(tried);
        }
    }

    fn close(&mut self) {
        self.done.push(std::mem::take(&mut self.open));
    }

    /// All runs. One that ends at the full turn goes on where another begins at azimuth nought.
    fn joined_at_nought(mut self) -> Vec<Vec<Tried>> {
        let Self { done, open: last } = &mut self;
        match done.first_mut() {
            Some(first) if first.first().is_some_and(|tried| tried.azimuth == 0.0) => {
                last.pop();
                for tried in first.iter_mut() {
                    tried.azimuth += TAU;
                }
                last.append(first);
                std::mem::swap(first, last);
            }
            _ => self.close(),
        }
        self.done.retain(|run| 1 < run.len());
        self.done
    }
}

/// Where the energy of a run is computed: at both ends, and within a step of each other.
fn chosen(run: &[Tried]) -> Vec<bool> {
    let mut last = f64::NEG_INFINITY;
    let count = run.len();
    let choose = |(index, tried): (usize, &Tried)| {
        let next = run.get(index + 1).map_or(f64::INFINITY, |next| next.azimuth);
        let here = index == 0 || index + 1 == count || ENERGY_STEP_RAD < next - last;
        if here {
            last = tried.azimuth;
        }
        here
    };
    run.iter().enumerate().map(choose).collect()
}

/// Gives points between those with energy their share of it, in proportion to azimuth.
fn fill_between(points: &mut [FrontPoint], azimuths: &[f64]) {
    let known: Vec<usize> = (0..points.len()).filter(|&i| points[i].computed).collect();
    for ends in known.windows(2) {
        let (from, to) = (ends[0], ends[1]);
        let whole = azimuths[to] - azimuths[from];
        let [low, high] = [points[from].band_energy, points[to].band_energy];
        for index in from + 1..to {
            let part = (azimuths[index] - azimuths[from]) / whole;
            points[index].band_energy =
                std::array::from_fn(|band| low[band] + (high[band] - low[band]) * part);
        }
    }
}
