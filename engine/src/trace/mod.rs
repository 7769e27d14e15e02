//! The main job: from a scene to what arrives at each seat from each speaker.

mod request;

pub use request::{MAX_ORDER, MAX_WINDOW_S, Request, RequestError};

use crate::geometry::enclosure::Enclosure;
use crate::image_source::{Arrival, EdgeModel, Path, Propagation, SearchLimit, enumerate};
use crate::medium::bands::PerBand;
use crate::medium::directivity::Radiator;
use crate::ray_tracing::ImageCoverage;
use crate::response::{ArrivalSet, EarlyResponse, EnergyTime};
use crate::scene::{Listener, Scene, Speaker, Variant};
use glam::DVec3;
use rayon::prelude::*;
use std::f64::consts::PI;

/// What one speaker leaves at one listener, without the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct PairList {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// The direct sound.
    pub direct: Direct,
    /// Its arrival, unobstructed: what levels of reflections relate to.
    pub unobstructed: Arrival,
    /// Reflections as [`PairSimulation::reflections`] has them.
    pub reflections: Vec<Reflection>,
}

/// Everything traced, one entry for each speaker at each listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Simulation {
    /// Speed of sound in metres a second.
    pub speed_of_sound_m_s: f64,
    /// Air attenuation in decibels a metre.
    pub attenuation_db_per_m: PerBand<f64>,
    /// For each listener of the plan, each speaker of the plan.
    pub pairs: Vec<PairSimulation>,
}

/// What arrives at one listener from one speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSimulation {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// The direct sound.
    pub direct: Direct,
    /// Reflections sorted by time; those more than 60 dB below the direct sound in every band are
    /// left out.
    pub reflections: Vec<Reflection>,
    /// Energy against time, as far as every path is followed; [`crate::whole_decay`] adds the rest.
    pub energy_time: EnergyTime,
    /// The response behind it.
    pub early: EarlyResponse,
    /// Which mirror paths are in `arrivals`; all others are left to rays.
    pub coverage: ImageCoverage,
    /// Every arrival followed, the direct sound included, in order of time.
    pub arrivals: Vec<ArrivalEnergy>,
}

/// How much arrives over one path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArrivalEnergy {
    /// Length of the path, metres.
    pub distance_m: f64,
    /// Energy per band, relative to the speaker's own at 1 m on axis in a free field.
    pub band_energy: PerBand<f64>,
}

/// The direct sound at a listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Direct {
    /// Distance from the speaker's reference point to the middle of the head, metres.
    pub distance_m: f64,
    /// Time of travel, seconds.
    pub time_s: f64,
    /// Direction it comes from as the listener faces; positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Direction it comes from, positive upward, degrees.
    pub elevation_deg: f64,
    /// Whether something stands in its way.
    pub occluded: bool,
    /// Level in each band relative to the same speaker at 1 m on axis in a free field, decibels;
    /// with what bodies in and beside its way leave of it, where the model's `edges` are on.
    pub band_level_db: PerBand<f64>,
}

/// A reflection at a listener, relative to the direct sound of the same speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Reflection {
    /// Its path and pressure.
    pub arrival: Arrival,
    /// Delay after the direct sound, seconds.
    pub delay_s: f64,
    /// Level over 1–8 kHz relative to the unobstructed direct sound, decibels.
    pub level_db: f64,
    /// Level in each band relative to the unobstructed direct sound, decibels.
    pub band_level_db: PerBand<f64>,
    /// Direction it comes from as the listener faces; positive to the left, degrees.
    pub azimuth_deg: f64,
    /// Direction it comes from, positive upward, degrees.
    pub elevation_deg: f64,
}

/// About so many images are followed for a curve; it is complete up to the sphere that holds them,
/// 0.1 s in a room of 60 m³.
const CURVE_IMAGES: f64 = 3000.0;

/// Traces a scene in one of its states.
///
/// # Errors
/// A plan that names speakers or listeners the scene does not have, or asks for times or orders
/// that are not traced.
pub fn trace(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &Request,
) -> Result<Simulation, RequestError> {
    Ok(trace_and(scene, variant, plan, |_, _| ())?.0)
}

/// Traces as [`trace`] does, and gives what `also` makes, for each pair, of the arrivals behind its
/// response and the index of its listener.
///
/// # Errors
/// As [`trace`].
pub fn trace_and<T: Send>(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &Request,
    also: impl Fn(&ArrivalSet, usize) -> T + Sync,
) -> Result<(Simulation, Vec<T>), RequestError> {
    plan.check(scene)?;
    let enclosure = Enclosure::new(scene, variant);
    let both = each_pair(scene, &enclosure, plan, |propagation, speaker, listener| {
        pair(scene, plan, propagation, [speaker, listener], &also)
    });
    let (pairs, made) = both.into_iter().unzip();
    let speed_of_sound_m_s = enclosure.speed_of_sound_m_s();
    let attenuation_db_per_m = enclosure.attenuation_db_per_m();
    Ok((Simulation { speed_of_sound_m_s, attenuation_db_per_m, pairs }, made))
}

/// The lists of reflections alone, the same as [`trace`] has them, in a fraction of its time: for
/// searches that try many layouts. The plan's `curve_s` does not matter.
///
/// # Errors
/// As [`trace`].
pub fn list(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &Request,
) -> Result<Vec<PairList>, RequestError> {
    plan.check(scene)?;
    let enclosure = Enclosure::new(scene, variant);
    Ok(each_pair(scene, &enclosure, plan, |propagation, speaker, listener| {
        let followed = PathSet::new(scene, plan, propagation, 0.0);
        let head = &scene.listeners()[listener];
        let direct = followed.direct(scene, propagation, head);
        let unobstructed = followed.direct.clone();
        let reflections = followed.reflections(plan, propagation, head);
        PairList { speaker, listener, direct, unobstructed, reflections }
    }))
}

/// Does something for each listener of the plan with each of its speakers, in that order.
fn each_pair<T: Send>(
    scene: &Scene,
    enclosure: &Enclosure,
    plan: &Request,
    of_pair: impl Fn(&Propagation, usize, usize) -> T + Sync,
) -> Vec<T> {
    let radiator = |&speaker: &usize| {
        let Speaker { directivity, axis, .. } = &scene.speakers()[speaker];
        Radiator::new(directivity, *axis, scene.air(), enclosure.grid())
    };
    let radiators: Vec<Radiator> = plan.speakers.iter().map(radiator).collect();
    let voices = || plan.speakers.iter().zip(&radiators);
    let wanted: Vec<(usize, (&usize, &Radiator))> = plan
        .listeners
        .iter()
        .flat_map(|&listener| voices().map(move |voice| (listener, voice)))
        .collect();
    wanted
        .into_par_iter()
        .map(|(listener, (&speaker, radiator))| {
            let propagation = Propagation {
                enclosure,
                radiator,
                speaker: scene.speakers()[speaker].at,
                listener: scene.listeners()[listener].at,
            };
            of_pair(&propagation, speaker, listener)
        })
        .collect()
}

/// Traces one speaker at one listener, and makes something of the arrivals.
fn pair<T>(
    scene: &Scene,
    plan: &Request,
    propagation: &Propagation,
    [speaker, listener]: [usize; 2],
    also: impl Fn(&ArrivalSet, usize) -> T,
) -> (PairSimulation, T) {
    let head = &scene.listeners()[listener];
    let speed = propagation.enclosure.speed_of_sound_m_s();
    let straight_m = propagation.speaker.distance(propagation.listener);
    let curve_m = curve_reach_m(scene, plan, straight_m, speed);
    let followed = PathSet::new(scene, plan, propagation, curve_m);
    let arrivals = &followed.arrivals;
    let energies = arrivals
        .iter()
        .map(|a| ArrivalEnergy { distance_m: a.distance_m, band_energy: a.band_energy });
    let coverage = ImageCoverage {
        max_order: u32::try_from(plan.order).unwrap_or(u32::MAX),
        max_length_m: followed.window_m.max(curve_m),
        every_order_m: curve_m,
    };
    let in_curve = arrivals.partition_point(|a| a.distance_m <= curve_m);
    let grid = propagation.enclosure.grid();
    let early =
        EarlyResponse::new(&arrivals[..in_curve], &followed.direct, grid, speed, curve_m / speed);
    let energy_time = EnergyTime::new(&early.response, &early, early.window.from_s);
    let arrivals = &arrivals[..in_curve];
    let arrival_set =
        ArrivalSet { arrivals, grid, speed_of_sound_m_s: speed, early: &early, lead_s: 0.0 };
    let made = also(&arrival_set, listener);
    let traced = PairSimulation {
        speaker,
        listener,
        direct: followed.direct(scene, propagation, head),
        energy_time,
        early,
        coverage,
        arrivals: energies.collect(),
        reflections: followed.reflections(plan, propagation, head),
    };
    (traced, made)
}

/// Every path followed from one speaker to one listener.
struct PathSet {
    /// The unobstructed direct sound, the reference of every level.
    direct: Arrival,
    /// The longest path of the list, metres.
    window_m: f64,
    /// What arrives, in order of time.
    arrivals: Vec<Arrival>,
}

impl PathSet {
    /// Follows the paths of the list, and those of every order as far as `curve_m`.
    fn new(scene: &Scene, plan: &Request, propagation: &Propagation, curve_m: f64) -> Self {
        let speed = propagation.enclosure.speed_of_sound_m_s();
        let direct = propagation.arrival(&Path::direct(propagation.speaker));
        let window_m = direct.distance_m + plan.window_s * speed;
        let edges = if scene.model().edges { EdgeModel::Diffracting } else { EdgeModel::Geometric };
        let list = SearchLimit { order: plan.order, distance_m: window_m };
        let paths = enumerate(
            propagation.enclosure,
            propagation.speaker,
            propagation.listener,
            list,
            curve_m,
            edges,
        );
        // Beyond the order of the list, sharp edges will do: there a share of the many paths meets
        // each panel, and it is the share that counts.
        let arrival = |path: &Path| match edges {
            EdgeModel::Diffracting if path.vertices.len() <= plan.order => {
                propagation.diffracted_arrival(path)
            }
            _ => propagation.arrival(path),
        };
        let arrivals = paths.iter().map(arrival).filter(|a| a.is_significant(&direct)).collect();
        Self { direct, window_m, arrivals }
    }

    fn direct(&self, scene: &Scene, propagation: &Propagation, head: &Listener) -> Direct {
        let straight = Path::direct(propagation.speaker);
        let occluded = !straight.is_clear(
            propagation.enclosure.faces(),
            propagation.speaker,
            propagation.listener,
        );
        let speed = propagation.enclosure.speed_of_sound_m_s();
        if scene.model().edges {
            Direct::new(&propagation.diffracted_arrival(&straight), head, speed, occluded)
        } else {
            Direct::new(&self.direct, head, speed, occluded)
        }
    }

    fn reflections(
        self,
        plan: &Request,
        propagation: &Propagation,
        head: &Listener,
    ) -> Vec<Reflection> {
        let Self { direct, window_m, arrivals } = self;
        let speed = propagation.enclosure.speed_of_sound_m_s();
        let listed =
            |a: &Arrival| 0 < a.order() && a.order() <= plan.order && a.distance_m <= window_m;
        arrivals
            .into_iter()
            .filter(listed)
            .map(|arrival| Reflection::new(arrival, &direct, head, speed))
            .collect()
    }
}

/// The longest path of a curve, metres: the whole curve where that takes no more than about
/// [`CURVE_IMAGES`] images (one in every room volume), or else as far as those reach.
fn curve_reach_m(scene: &Scene, plan: &Request, direct_m: f64, speed: f64) -> f64 {
    let affordable_m = (CURVE_IMAGES * scene.room().volume_m3() * 3.0 / (4.0 * PI)).cbrt();
    affordable_m.min(direct_m + plan.curve_s * speed)
}

impl Direct {
    fn new(arrival: &Arrival, head: &Listener, speed: f64, occluded: bool) -> Self {
        let [azimuth_deg, elevation_deg] = direction_deg(head, arrival.arrival_direction);
        Self {
            distance_m: arrival.distance_m,
            time_s: arrival.distance_m / speed,
            azimuth_deg,
            elevation_deg,
            occluded,
            band_level_db: arrival.band_energy.map(crate::medium::bands::energy_db),
        }
    }
}

impl Reflection {
    fn new(arrival: Arrival, direct: &Arrival, head: &Listener, speed: f64) -> Self {
        let [azimuth_deg, elevation_deg] = direction_deg(head, arrival.arrival_direction);
        Self {
            delay_s: (arrival.distance_m - direct.distance_m) / speed,
            level_db: arrival.level_db(direct),
            band_level_db: arrival.band_level_db(direct),
            azimuth_deg,
            elevation_deg,
            arrival,
        }
    }
}

/// Azimuth and elevation, in degrees, of a unit vector as a listener faces (ITU-R BS.2076:
/// azimuth positive to the left, elevation positive upward).
pub fn direction_deg(head: &Listener, toward: DVec3) -> [f64; 2] {
    let [ahead, left, up] = head.frame();
    let azimuth = toward.dot(left).atan2(toward.dot(ahead));
    let elevation = toward.dot(up).clamp(-1.0, 1.0).asin();
    [azimuth.to_degrees(), elevation.to_degrees()]
}
