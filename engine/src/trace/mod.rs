//! The main job: from a scene to what arrives at each seat from each speaker.

mod plan;

pub use plan::{MAX_ORDER, MAX_WINDOW_S, Plan, TraceError};

use crate::geometry::enclosure::Enclosure;
use crate::image_source::{Arrival, Ear, Path, Reach, Rims, enumerate};
use crate::medium::bands::PerBand;
use crate::medium::directivity::Radiator;
use crate::ray_tracing::Held;
use crate::response::{EnergyTime, Specular, Strands};
use crate::scene::{Listener, Scene, Speaker, Variant};
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
    /// Reflections as [`PairTrace::reflections`] has them.
    pub reflections: Vec<Reflection>,
}

/// Everything traced, one entry for each speaker at each listener.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Speed of sound in metres a second.
    pub speed_of_sound_m_s: f64,
    /// Air attenuation in decibels a metre.
    pub attenuation_db_per_m: PerBand<f64>,
    /// For each listener of the plan, each speaker of the plan.
    pub pairs: Vec<PairTrace>,
}

/// What arrives at one listener from one speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct PairTrace {
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
    pub specular: Specular,
    /// Which mirror paths are in `arrivals`; all others are left to rays.
    pub held: Held,
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
    pub shadowed: bool,
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
    pub after_direct_s: f64,
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
pub fn trace(scene: &Scene, variant: &Variant<'_>, plan: &Plan) -> Result<Trace, TraceError> {
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
    plan: &Plan,
    also: impl Fn(&Strands, usize) -> T + Sync,
) -> Result<(Trace, Vec<T>), TraceError> {
    plan.check(scene)?;
    let enclosure = Enclosure::new(scene, variant);
    let both = each_pair(scene, &enclosure, plan, |ear, speaker, listener| {
        pair(scene, plan, ear, [speaker, listener], &also)
    });
    let (pairs, made) = both.into_iter().unzip();
    let speed_of_sound_m_s = enclosure.speed_of_sound_m_s();
    let attenuation_db_per_m = enclosure.attenuation_db_per_m();
    Ok((Trace { speed_of_sound_m_s, attenuation_db_per_m, pairs }, made))
}

/// The lists of reflections alone, the same as [`trace`] has them, in a fraction of its time: for
/// searches that try many layouts. The plan's `curve_s` does not matter.
///
/// # Errors
/// As [`trace`].
pub fn list(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &Plan,
) -> Result<Vec<PairList>, TraceError> {
    plan.check(scene)?;
    let enclosure = Enclosure::new(scene, variant);
    Ok(each_pair(scene, &enclosure, plan, |ear, speaker, listener| {
        let followed = Followed::new(scene, plan, ear, 0.0);
        let head = &scene.listeners()[listener];
        let direct = followed.direct(scene, ear, head);
        let unobstructed = followed.direct.clone();
        let reflections = followed.reflections(plan, ear, head);
        PairList { speaker, listener, direct, unobstructed, reflections }
    }))
}

/// Does something for each listener of the plan with each of its speakers, in that order.
fn each_pair<T: Send>(
    scene: &Scene,
    enclosure: &Enclosure,
    plan: &Plan,
    of_pair: impl Fn(&Ear, usize, usize) -> T + Sync,
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
            let ear = Ear {
                enclosure,
                radiator,
                speaker: scene.speakers()[speaker].at,
                listener: scene.listeners()[listener].at,
            };
            of_pair(&ear, speaker, listener)
        })
        .collect()
}

/// Traces one speaker at one listener, and makes something of the arrivals.
fn pair<T>(
    scene: &Scene,
    plan: &Plan,
    ear: &Ear,
    [speaker, listener]: [usize; 2],
    also: impl Fn(&Strands, usize) -> T,
) -> (PairTrace, T) {
    let head = &scene.listeners()[listener];
    let speed = ear.enclosure.speed_of_sound_m_s();
    let straight_m = ear.speaker.distance(ear.listener);
    let curve_m = curve_reach_m(scene, plan, straight_m, speed);
    let followed = Followed::new(scene, plan, ear, curve_m);
    let arrivals = &followed.arrivals;
    let energies = arrivals
        .iter()
        .map(|a| ArrivalEnergy { distance_m: a.distance_m, band_energy: a.band_energy });
    let held = Held {
        order: u32::try_from(plan.order).unwrap_or(u32::MAX),
        list_m: followed.window_m.max(curve_m),
        every_order_m: curve_m,
    };
    let in_curve = arrivals.partition_point(|a| a.distance_m <= curve_m);
    let grid = ear.enclosure.grid();
    let specular =
        Specular::new(&arrivals[..in_curve], &followed.direct, grid, speed, curve_m / speed);
    let energy_time = EnergyTime::new(&specular.response, &specular, specular.fade.from_s);
    let arrivals = &arrivals[..in_curve];
    let strands =
        Strands { arrivals, grid, speed_of_sound_m_s: speed, specular: &specular, lead_s: 0.0 };
    let made = also(&strands, listener);
    let traced = PairTrace {
        speaker,
        listener,
        direct: followed.direct(scene, ear, head),
        energy_time,
        specular,
        held,
        arrivals: energies.collect(),
        reflections: followed.reflections(plan, ear, head),
    };
    (traced, made)
}

/// Every path followed from one speaker to one listener.
struct Followed {
    /// The unobstructed direct sound, the reference of every level.
    direct: Arrival,
    /// The longest path of the list, metres.
    window_m: f64,
    /// What arrives, in order of time.
    arrivals: Vec<Arrival>,
}

impl Followed {
    /// Follows the paths of the list, and those of every order as far as `curve_m`.
    fn new(scene: &Scene, plan: &Plan, ear: &Ear, curve_m: f64) -> Self {
        let speed = ear.enclosure.speed_of_sound_m_s();
        let direct = ear.arrival(&Path::direct(ear.speaker));
        let window_m = direct.distance_m + plan.window_s * speed;
        let rims = if scene.model().edges { Rims::Soft } else { Rims::Sharp };
        let list = Reach { order: plan.order, distance_m: window_m };
        let paths = enumerate(ear.enclosure, ear.speaker, ear.listener, list, curve_m, rims);
        // Beyond the order of the list, sharp rims will do: there a share of the many paths meets
        // each panel, and it is the share that counts.
        let arrival = |path: &Path| match rims {
            Rims::Soft if path.touches.len() <= plan.order => ear.finite_arrival(path),
            _ => ear.arrival(path),
        };
        let arrivals = paths.iter().map(arrival).filter(|a| a.is_heard_beside(&direct)).collect();
        Self { direct, window_m, arrivals }
    }

    fn direct(&self, scene: &Scene, ear: &Ear, head: &Listener) -> Direct {
        let straight = Path::direct(ear.speaker);
        let shadowed = !straight.is_clear(ear.enclosure.faces(), ear.speaker, ear.listener);
        let speed = ear.enclosure.speed_of_sound_m_s();
        if scene.model().edges {
            Direct::new(&ear.finite_arrival(&straight), head, speed, shadowed)
        } else {
            Direct::new(&self.direct, head, speed, shadowed)
        }
    }

    fn reflections(self, plan: &Plan, ear: &Ear, head: &Listener) -> Vec<Reflection> {
        let Self { direct, window_m, arrivals } = self;
        let speed = ear.enclosure.speed_of_sound_m_s();
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
fn curve_reach_m(scene: &Scene, plan: &Plan, direct_m: f64, speed: f64) -> f64 {
    let affordable_m = (CURVE_IMAGES * scene.room().volume_m3() * 3.0 / (4.0 * PI)).cbrt();
    affordable_m.min(direct_m + plan.curve_s * speed)
}

impl Direct {
    fn new(arrival: &Arrival, head: &Listener, speed: f64, shadowed: bool) -> Self {
        let [azimuth_deg, elevation_deg] = head.direction_deg(arrival.from);
        Self {
            distance_m: arrival.distance_m,
            time_s: arrival.distance_m / speed,
            azimuth_deg,
            elevation_deg,
            shadowed,
            band_level_db: arrival.band_energy.map(crate::medium::bands::energy_db),
        }
    }
}

impl Reflection {
    fn new(arrival: Arrival, direct: &Arrival, head: &Listener, speed: f64) -> Self {
        let [azimuth_deg, elevation_deg] = head.direction_deg(arrival.from);
        Self {
            after_direct_s: (arrival.distance_m - direct.distance_m) / speed,
            level_db: arrival.level_db(direct),
            band_level_db: arrival.band_level_db(direct),
            azimuth_deg,
            elevation_deg,
            arrival,
        }
    }
}
