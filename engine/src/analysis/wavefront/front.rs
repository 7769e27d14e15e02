//! Wavefronts in the cut at one moment: circles about mirror images, as far as nothing cuts them off.

use super::cut_plane::PlaneEquation;
use super::energy::energy_at_end;
use super::image_planes::ImagePlane;
use super::specular_path::{SpecularPath, follow};
use crate::geometry::FaceId;
use crate::image_source::Propagation;
use crate::medium::bands::PerBand;
use glam::DVec3;
use std::f64::consts::TAU;

/// An unbroken piece of a wavefront: all of it has met the same faces in the same order.
#[derive(Debug, Clone, PartialEq)]
pub struct Wavefront {
    /// Its reflections, from the speaker on; empty for the direct sound.
    pub history: Vec<PathStep>,
    /// Its points in order, each within [`ON_CUT_M`] of the cut.
    pub points: Vec<WavefrontPoint>,
    /// Whether it runs back into itself: the last point is the first again.
    pub closed: bool,
}

/// One reflection in the history of a wavefront.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PathStep {
    /// The face.
    pub face: FaceId,
    /// The panel on it, by its index in [`crate::scene::Scene::panels`].
    pub panel: Option<usize>,
}

/// A point of a wavefront.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WavefrontPoint {
    /// Its position, metres.
    pub at: DVec3,
    /// Energy per band, relative to the speaker's own at 1 m on axis in a free field.
    pub band_energy: PerBand<f64>,
    /// Whether the energy was computed here, and not between the nearest points where it was.
    pub computed: bool,
}

impl Wavefront {
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

/// Azimuth scan for wavefronts on one image of the cut plane at one time.
pub(super) struct AzimuthScan<'a> {
    pub(super) ear: &'a Propagation<'a>,
    pub(super) cut: &'a PlaneEquation,
    pub(super) image: &'a ImagePlane,
    /// Length of way since emission, metres.
    pub(super) length_m: f64,
}

/// A sampled ray.
struct RaySample {
    azimuth: f64,
    /// Its path and reflection history, where it ends in the cut plane.
    ended: Option<(SpecularPath, Vec<PathStep>)>,
}

impl RaySample {
    fn has_history_of(&self, other: &Self) -> bool {
        match (&self.ended, &other.ended) {
            (Some((_, mine)), Some((_, other))) => mine == other,
            (None, None) => true,
            _ => false,
        }
    }
}

impl AzimuthScan<'_> {
    /// All fronts on this image of the cut, in order of azimuth.
    pub(super) fn fronts(&self) -> Vec<Wavefront> {
        let Some((sine, cosine)) = self.cone() else { return Vec::new() };
        let step = (STEP_M / (self.length_m * sine).max(STEP_M)).min(STEP_RAD);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "72 and more")]
        let count = (TAU / step).ceil() as usize;
        let azimuth = |index: usize| TAU * index as f64 / count as f64;
        let cone_rays = Cone { scan: self, sine, cosine };
        let mut segments = Segments::default();
        let mut before = cone_rays.sample(azimuth(0));
        for index in 1..=count {
            let next = cone_rays.sample(azimuth(index));
            cone_rays.between(before, &next, &mut segments);
            before = next;
        }
        segments.push(before);
        let closed = segments.done.is_empty();
        segments
            .joined_at_zero()
            .into_iter()
            .filter_map(|segment| self.front(segment, closed))
            .collect()
    }

    /// Sine and cosine of the angle between the image's normal and the rays that end on it; `None`
    /// where it is out of reach.
    fn cone(&self) -> Option<(f64, f64)> {
        let PlaneEquation { normal, offset_m } = self.image.plane;
        let cosine = (offset_m - normal.dot(self.ear.speaker)) / self.length_m;
        (cosine.abs() < 1.0).then(|| ((1.0 - cosine * cosine).sqrt(), cosine))
    }

    /// A segment of rays with one history as a wavefront.
    fn front(&self, segment: Vec<RaySample>, closed: bool) -> Option<Wavefront> {
        let history = segment.first()?.ended.as_ref()?.1.clone();
        let chosen = chosen(&segment);
        let mut points: Vec<WavefrontPoint> = Vec::with_capacity(segment.len());
        let azimuths: Vec<f64> = segment.iter().map(|sample| sample.azimuth).collect();
        for (sample, computed) in segment.into_iter().zip(&chosen) {
            let (path, _) = sample.ended?;
            let at = path.end;
            let band_energy =
                if *computed { energy_at_end(self.ear, path, self.length_m) } else { [0.0; 8] };
            points.push(WavefrontPoint { at, band_energy, computed: *computed });
        }
        fill_between(&mut points, &azimuths);
        Some(Wavefront { history, points, closed })
    }
}

/// Rays of one cone.
struct Cone<'a> {
    scan: &'a AzimuthScan<'a>,
    sine: f64,
    cosine: f64,
}

impl Cone<'_> {
    fn sample(&self, azimuth: f64) -> RaySample {
        let ended = if self.scan.image.is_open(azimuth) { self.ended(azimuth) } else { None };
        RaySample { azimuth, ended }
    }

    fn ended(&self, azimuth: f64) -> Option<(SpecularPath, Vec<PathStep>)> {
        let AzimuthScan { ear, cut, image, length_m } = *self.scan;
        let (sin, cos) = azimuth.sin_cos();
        let [x, y] = image.frame;
        let way = image.plane.normal * self.cosine + (x * cos + y * sin) * self.sine;
        let path = follow(ear.enclosure.faces(), ear.speaker, way, length_m)?;
        if ON_CUT_M < cut.distance_m(path.end) {
            return None;
        }
        let history = path.vertices.iter().map(|vertex| PathStep {
            face: ear.enclosure.faces().all()[vertex.face].id,
            panel: ear.enclosure.panel_at(vertex.face, vertex.point),
        });
        let history = history.collect();
        Some((path, history))
    }

    /// Notes a ray and what lies between it and the next one.
    fn between(&self, one: RaySample, next: &RaySample, segments: &mut Segments) {
        let apart_m = (next.azimuth - one.azimuth) * self.scan.length_m;
        if one.has_history_of(next) {
            segments.push(one);
        } else if apart_m < END_M {
            segments.push(one);
            segments.close();
        } else {
            let middle = self.sample(f64::midpoint(one.azimuth, next.azimuth));
            self.between(one, &middle, segments);
            self.between(middle, next, segments);
        }
    }
}

/// Segments of rays with the same history.
#[derive(Default)]
struct Segments {
    done: Vec<Vec<RaySample>>,
    open: Vec<RaySample>,
}

impl Segments {
    fn push(&mut self, sample: RaySample) {
        if sample.ended.is_some() {
            self.open.push(sample);
        }
    }

    fn close(&mut self) {
        self.done.push(std::mem::take(&mut self.open));
    }

    /// All runs. One that ends at the full turn goes on where another begins at azimuth 0.
    fn joined_at_zero(mut self) -> Vec<Vec<RaySample>> {
        let Self { done, open: last } = &mut self;
        match done.first_mut() {
            Some(first) if first.first().is_some_and(|sample| sample.azimuth == 0.0) => {
                last.pop();
                for sample in first.iter_mut() {
                    sample.azimuth += TAU;
                }
                last.append(first);
                std::mem::swap(first, last);
            }
            _ => self.close(),
        }
        self.done.retain(|segment| 1 < segment.len());
        self.done
    }
}

/// Samples of a segment where the energy is computed: both ends, and within a step of each other.
fn chosen(segment: &[RaySample]) -> Vec<bool> {
    let mut last = f64::NEG_INFINITY;
    let count = segment.len();
    let choose = |(index, sample): (usize, &RaySample)| {
        let next = segment.get(index + 1).map_or(f64::INFINITY, |next| next.azimuth);
        let here = index == 0 || index + 1 == count || ENERGY_STEP_RAD < next - last;
        if here {
            last = sample.azimuth;
        }
        here
    };
    segment.iter().enumerate().map(choose).collect()
}

/// Gives points between those with energy their share of it, in proportion to azimuth.
fn fill_between(points: &mut [WavefrontPoint], azimuths: &[f64]) {
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
