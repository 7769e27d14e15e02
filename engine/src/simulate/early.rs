//! Early sound of every pair: direct sound, list of reflections, and early response.

use super::request::Request;
use super::result::{ArrivalEnergy, PairResponse, PairSimulation};
use crate::geometry::enclosure::Enclosure;
use crate::image_source::{
    Arrival, Direct, EdgeModel, Path, Propagation, Reflection, SearchLimit, enumerate,
};
use crate::medium::directivity::Radiator;
use crate::ray_tracing::ImageCoverage;
use crate::response::{ArrivalSet, EarlyResponse};
use crate::scene::{Listener, ListenerId, Scene, Speaker, SpeakerId};
use rayon::prelude::*;
use std::f64::consts::PI;

/// Images followed for a response, about; it is complete up to the sphere that holds them, 0.1 s in a
/// room of 60 m³.
const RESPONSE_IMAGES: f64 = 3000.0;

/// Early sound of each speaker at each listener of a request, and what `per_pair` makes of the
/// arrivals behind each response, where there is one.
pub(super) fn early_sound<T: Send>(
    scene: &Scene,
    enclosure: &Enclosure,
    request: &Request,
    per_pair: &(impl Fn(&ArrivalSet, ListenerId) -> T + Sync),
) -> (Vec<PairSimulation>, Vec<T>) {
    let radiator = |&speaker: &SpeakerId| {
        let Speaker { directivity, axis, .. } = &scene[speaker];
        Radiator::new(directivity, *axis, scene.air(), enclosure.grid())
    };
    let radiators: Vec<Radiator> = request.speakers.iter().map(radiator).collect();
    let sources = || request.speakers.iter().zip(&radiators);
    let pairs: Vec<(ListenerId, (&SpeakerId, &Radiator))> = request
        .listeners
        .iter()
        .flat_map(|&listener| sources().map(move |source| (listener, source)))
        .collect();
    let (pairs, made): (Vec<_>, Vec<_>) = pairs
        .into_par_iter()
        .map(|(listener, (&speaker, radiator))| {
            let propagation = Propagation {
                enclosure,
                radiator,
                speaker: scene[speaker].at,
                listener: scene[listener].at,
            };
            pair(scene, request, &propagation, (speaker, listener), per_pair)
        })
        .unzip();
    (pairs, made.into_iter().flatten().collect())
}

fn pair<T>(
    scene: &Scene,
    request: &Request,
    propagation: &Propagation,
    (speaker, listener): (SpeakerId, ListenerId),
    per_pair: impl Fn(&ArrivalSet, ListenerId) -> T,
) -> (PairSimulation, Option<T>) {
    let head = &scene[listener];
    let straight_m = propagation.speaker.distance(propagation.listener);
    let speed_m_s = propagation.enclosure.speed_of_sound_m_s();
    let response_m = request
        .response
        .map(|response| response_length_m(scene, straight_m + response.early_s * speed_m_s));
    let paths = PathSet::new(scene, request, propagation, response_m.unwrap_or(0.0));
    let (response, made) = match response_m {
        Some(length_m) => {
            let response = paths.response(request.order, propagation, length_m);
            let set = ArrivalSet {
                arrivals: paths.within(length_m),
                grid: propagation.enclosure.grid(),
                speed_of_sound_m_s: speed_m_s,
                early: &response.early,
                lead_s: 0.0,
            };
            let made = per_pair(&set, listener);
            (Some(response), Some(made))
        }
        None => (None, None),
    };
    let pair = PairSimulation {
        speaker,
        listener,
        direct: paths.direct(scene, propagation, head),
        unobstructed: paths.direct.clone(),
        reflections: paths.reflections(request, propagation, head),
        response,
    };
    (pair, made)
}

/// Every arrival from one speaker at one listener.
struct PathSet {
    /// The unobstructed direct sound, the reference of every level.
    direct: Arrival,
    /// Longest path of the list, metres.
    window_m: f64,
    /// Arrivals in order of time.
    arrivals: Vec<Arrival>,
}

impl PathSet {
    /// Paths of the list, and those of every order no longer than `every_order_m`.
    fn new(
        scene: &Scene,
        request: &Request,
        propagation: &Propagation,
        every_order_m: f64,
    ) -> Self {
        let Propagation { enclosure, speaker, listener, .. } = *propagation;
        let direct = propagation.arrival(&Path::direct(speaker));
        let window_m = direct.distance_m + request.window_s * enclosure.speed_of_sound_m_s();
        let edges = EdgeModel::of(scene);
        let list = SearchLimit { order: request.order, distance_m: window_m };
        let paths = enumerate(enclosure, speaker, listener, list, every_order_m, edges);
        // Beyond the order of the list geometric edges will do: there a share of the many paths meets
        // each panel, and it is the share that counts.
        let arrival = |path: &Path| {
            let is_listed = path.vertices.len() <= request.order;
            propagation.arrival_by(path, if is_listed { edges } else { EdgeModel::Geometric })
        };
        let arrivals = paths.iter().map(arrival).filter(|a| a.is_significant(&direct)).collect();
        Self { direct, window_m, arrivals }
    }

    /// Arrivals over paths no longer than this.
    fn within(&self, length_m: f64) -> &[Arrival] {
        &self.arrivals[..self.arrivals.partition_point(|a| a.distance_m <= length_m)]
    }

    /// Early response of paths of every order up to a length.
    fn response(&self, order: usize, propagation: &Propagation, length_m: f64) -> PairResponse {
        let (grid, speed_m_s) =
            (propagation.enclosure.grid(), propagation.enclosure.speed_of_sound_m_s());
        let arrivals = self.within(length_m);
        let energy =
            |a: &Arrival| ArrivalEnergy { distance_m: a.distance_m, band_energy: a.band_energy };
        PairResponse {
            early: EarlyResponse::new(
                arrivals,
                &self.direct,
                grid,
                speed_m_s,
                length_m / speed_m_s,
            ),
            coverage: ImageCoverage {
                max_order: u32::try_from(order).unwrap_or(u32::MAX),
                max_length_m: self.window_m.max(length_m),
                every_order_m: length_m,
            },
            arrivals: self.arrivals.iter().map(energy).collect(),
            energy_time: None,
        }
    }

    fn direct(&self, scene: &Scene, propagation: &Propagation, head: &Listener) -> Direct {
        let Propagation { enclosure, speaker, listener, .. } = *propagation;
        let straight = Path::direct(speaker);
        let occluded = !straight.is_clear(enclosure.faces(), speaker, listener);
        let speed_m_s = enclosure.speed_of_sound_m_s();
        if scene.model().edges {
            Direct::new(&propagation.diffracted_arrival(&straight), head, speed_m_s, occluded)
        } else {
            Direct::new(&self.direct, head, speed_m_s, occluded)
        }
    }

    fn reflections(
        self,
        request: &Request,
        propagation: &Propagation,
        head: &Listener,
    ) -> Vec<Reflection> {
        let Self { direct, window_m, arrivals } = self;
        let speed_m_s = propagation.enclosure.speed_of_sound_m_s();
        let listed =
            |a: &Arrival| 0 < a.order() && a.order() <= request.order && a.distance_m <= window_m;
        arrivals
            .into_iter()
            .filter(listed)
            .map(|arrival| Reflection::new(arrival, &direct, head, speed_m_s))
            .collect()
    }
}

/// Longest path of a response, metres: the requested length where that takes no more than about
/// [`RESPONSE_IMAGES`] images (one in every room volume), or else as far as those reach.
fn response_length_m(scene: &Scene, wanted_m: f64) -> f64 {
    let affordable_m = (RESPONSE_IMAGES * scene.room().volume_m3() * 3.0 / (4.0 * PI)).cbrt();
    affordable_m.min(wanted_m)
}
