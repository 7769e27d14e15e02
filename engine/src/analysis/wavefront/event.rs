//! Events of a wavefront: the surfaces it strikes, and the listeners it reaches.

use crate::geometry::enclosure::Enclosure;
use crate::geometry::{FaceId, SAME_POINT_M};
use crate::image_source::{Arrival, EdgeModel, Path, Propagation, SearchLimit, enumerate};
use crate::scene::{ListenerId, Scene};
use crate::simulate::defaults;
use glam::DVec3;

/// An event.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Length of way since emission, metres.
    pub distance_m: f64,
    /// Time since emission, seconds.
    pub time_s: f64,
    /// Its kind.
    pub kind: EventKind,
}

/// Kind of an event.
#[derive(Debug, Clone, PartialEq)]
pub enum EventKind {
    /// The direct sound first touches a surface of the room or a thing in it.
    StrikesSurface(FaceId),
    /// The direct sound passes a listener.
    DirectReachesListener {
        /// The listener.
        listener: ListenerId,
        /// Whether the direct path is occluded, so that it does not arrive as drawn.
        shadowed: bool,
    },
    /// A reflection passes a listener.
    ReflectionReachesListener {
        /// The listener.
        listener: ListenerId,
        /// Its rank among the reflections of a trace's list.
        rank: ReflectionRank,
        /// Its path.
        arrival: Box<Arrival>,
        /// Its level over 1–8 kHz relative to the unobstructed direct sound there, decibels.
        level_db: f64,
    },
}

/// Rank of a reflection.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReflectionRank {
    /// The first to arrive, where it is not also the loudest.
    First,
    /// The loudest.
    Loudest,
    /// Both at once.
    FirstAndLoudest,
}

/// Reflections of up to so many bounces are looked at for the first and the loudest: those of the list.
const ORDER: usize = defaults::ORDER as usize;

/// All events up to a path length, in order of time.
pub(super) fn events(
    scene: &Scene,
    ear: &Propagation<'_>,
    listeners: &[ListenerId],
    reach_m: f64,
) -> Vec<Event> {
    let speed = ear.enclosure.speed_of_sound_m_s();
    let mut all = meetings(ear.enclosure, ear.speaker);
    for &listener in listeners {
        let at = Propagation { listener: scene[listener].at, ..*ear };
        all.extend(at_listener(&at, listener, reach_m, EdgeModel::of(scene)));
    }
    all.retain(|(distance_m, _)| *distance_m <= reach_m);
    all.sort_by(|one, other| one.0.total_cmp(&other.0));
    all.into_iter()
        .map(|(distance_m, kind)| Event { distance_m, time_s: distance_m / speed, kind })
        .collect()
}

/// First contact of the direct sound with each surface and object, where the path to it is not
/// occluded.
fn meetings(enclosure: &Enclosure<'_>, from: DVec3) -> Vec<(f64, EventKind)> {
    let faces = enclosure.faces();
    let mut nearest: Vec<(f64, FaceId)> = Vec::new();
    for face in faces.all() {
        let is_own = face.transparent_from.is_some_and(|own| own.distance(from) < SAME_POINT_M);
        if is_own || face.rectangle.signed_distance_m(from) <= SAME_POINT_M {
            continue;
        }
        let point = face.rectangle.closest_point(from);
        if faces.is_occluded(from, point) {
            continue;
        }
        let distance_m = point.distance(from);
        match nearest.iter_mut().find(|(_, known)| is_of_one_thing(*known, face.id)) {
            Some(known) if distance_m < known.0 => *known = (distance_m, face.id),
            Some(_) => {}
            None => nearest.push((distance_m, face.id)),
        }
    }
    nearest
        .into_iter()
        .map(|(distance_m, face)| (distance_m, EventKind::StrikesSurface(face)))
        .collect()
}

fn is_of_one_thing(one: FaceId, other: FaceId) -> bool {
    match (one, other) {
        (FaceId::Surface(a), FaceId::Surface(b)) => a == b,
        (FaceId::Screen { index: a, .. }, FaceId::Screen { index: b, .. })
        | (FaceId::Furniture { index: a, .. }, FaceId::Furniture { index: b, .. }) => a == b,
        (FaceId::Cabinet { speaker: a, .. }, FaceId::Cabinet { speaker: b, .. }) => a == b,
        _ => false,
    }
}

/// The direct sound and the reflections of a trace's list, edges treated as there, so that a reflection has
/// one level in both.
fn at_listener(
    ear: &Propagation<'_>,
    listener: ListenerId,
    reach_m: f64,
    edges: EdgeModel,
) -> Vec<(f64, EventKind)> {
    let straight = Path::direct(ear.speaker);
    let direct = ear.arrival(&straight);
    let shadowed = !straight.is_clear(ear.enclosure.faces(), ear.speaker, ear.listener);
    let mut all =
        vec![(direct.distance_m, EventKind::DirectReachesListener { listener, shadowed })];
    let reach = SearchLimit { order: ORDER, distance_m: reach_m };
    let paths = enumerate(ear.enclosure, ear.speaker, ear.listener, reach, 0.0, edges);
    let reflections: Vec<(f64, Arrival)> = paths
        .iter()
        .filter(|path| !path.vertices.is_empty())
        .map(|path| ear.arrival_by(path, edges))
        .filter(|arrival| arrival.is_significant(&direct))
        .map(|arrival| (arrival.level_db(&direct), arrival))
        .collect();
    // Paths come in order of length.
    let first = (!reflections.is_empty()).then_some(0);
    let loudest = (0..reflections.len())
        .reduce(|best, next| if reflections[best].0 < reflections[next].0 { next } else { best });
    let chosen = match (first, loudest) {
        (Some(first), Some(loudest)) if first == loudest => {
            vec![(first, ReflectionRank::FirstAndLoudest)]
        }
        (Some(first), Some(loudest)) => {
            vec![(first, ReflectionRank::First), (loudest, ReflectionRank::Loudest)]
        }
        _ => Vec::new(),
    };
    all.extend(chosen.into_iter().map(|(index, rank)| {
        let (level_db, arrival) = &reflections[index];
        let arrival = Box::new(arrival.clone());
        let distance_m = arrival.distance_m;
        (
            distance_m,
            EventKind::ReflectionReachesListener { listener, rank, arrival, level_db: *level_db },
        )
    }));
    all
}
