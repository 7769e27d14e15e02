//! Wavefronts against closed forms, against the trace, and against what any room must have.

use earline_engine::analysis::wavefront::{
    CutPlane, EventKind, ON_CUT_M, ReflectionRank, Wavefront, WavefrontError, WavefrontPlan,
    WavefrontPoint, WavefrontTracer, early_level_db,
};
use earline_engine::geometry::FaceId;
use earline_engine::geometry::enclosure::Enclosure;
use earline_engine::image_source::{Arrival, EdgeModel, Propagation, SearchLimit, enumerate};
use earline_engine::medium::bands::{EARLY_BANDS, PerBand};
use earline_engine::scene::{Furniture, ListenerId, Scene, SpeakerId, Surface};
use earline_engine::simulate::{Request, simulate};
use glam::DVec3;

mod rooms;

use crate::fixtures::{FIRST_LISTENER, FIRST_SPEAKER, parsed};
use rooms::{BOX, CUTS, SEAT, after, furnished, wave};

/// Distance of a point from a front, metres.
fn off_m(front: &Wavefront, point: DVec3) -> f64 {
    let from_piece = |two: &[WavefrontPoint]| {
        let (a, b) = (two[0].at, two[1].at);
        let along = b - a;
        let part = (point - a).dot(along) / along.length_squared().max(1e-30);
        (a + along * part.clamp(0.0, 1.0)).distance(point)
    };
    front.points.windows(2).map(from_piece).fold(f64::INFINITY, f64::min)
}

/// How far a chord of 8 cm, the widest between neighbours, is inside a circle of 30 cm, doubled.
const CHORD_M: f64 = 2.0 * 0.08 * 0.08 / (8.0 * 0.3);

/// Images of a point along one axis of a box up to a distance: 2nL ± s (Allen & Berkley, JASA 65,
/// 943, 1979, equation 8, read second-hand).
fn images_along(length_m: f64, at_m: f64, reach_m: f64) -> Vec<f64> {
    (-20..=20)
        .flat_map(|n| [1.0, -1.0].map(|sign| 2.0 * f64::from(n) * length_m + sign * at_m))
        .filter(|image| image.abs() <= reach_m + 2.0 * length_m)
        .collect()
}

/// In a bare box every point of a circle about an image is a point of a front, and no other is.
#[test]
fn fronts_of_a_bare_box_are_the_circles_about_its_images() {
    let scene = parsed(BOX);
    let (size, at) = (scene.room().size(), scene.speakers()[0].at);
    for (cut, distance_m) in
        [(CutPlane::Plan, 1.0), (CutPlane::Plan, 7.3), (CutPlane::Section, 6.1)]
    {
        let across = if cut == CutPlane::Plan { 2 } else { 1 };
        let [a, b] = if cut == CutPlane::Plan { [0, 1] } else { [0, 2] };
        let fronts = after(&wave(&scene, cut, 0.03), distance_m).fronts;
        let along: [Vec<f64>; 3] =
            std::array::from_fn(|axis| images_along(size[axis], at[axis], distance_m));
        let mut circles_m = 0.0;
        for &u in &along[a] {
            for &v in &along[b] {
                for &w in &along[across] {
                    let square = distance_m * distance_m - (w - at[across]).powi(2);
                    if square <= 0.0 {
                        continue;
                    }
                    let (radius_m, steps) = (square.sqrt(), 4000);
                    let mut inside = 0u32;
                    for step in 0..steps {
                        let angle = std::f64::consts::TAU * f64::from(step) / f64::from(steps);
                        let mut point = at;
                        point[a] = u + radius_m * angle.cos();
                        point[b] = v + radius_m * angle.sin();
                        let is_in = [a, b].iter().all(|&i| (0.0..=size[i]).contains(&point[i]));
                        inside += u32::from(is_in);
                        if is_in && step % 40 == 0 {
                            let near = fronts.iter().map(|f| off_m(f, point)).fold(9.0, f64::min);
                            assert!(near < CHORD_M, "{cut:?} {point} {near}");
                        }
                    }
                    circles_m +=
                        std::f64::consts::TAU * radius_m * f64::from(inside) / f64::from(steps);
                }
            }
        }
        let drawn_m: f64 = fronts.iter().map(Wavefront::length_m).sum();
        // Chords of 8 cm are short of their arcs by less than a thousandth from 0.5 m on.
        assert!((drawn_m / circles_m - 1.0).abs() < 0.005, "{cut:?}: {drawn_m} {circles_m}");
        for point in fronts.iter().flat_map(|front| &front.points) {
            let on_one = along[0].iter().any(|&x| {
                along[1].iter().any(|&y| {
                    along[2].iter().any(|&z| {
                        (DVec3::new(x, y, z).distance(point.at) - distance_m).abs() < 1e-6
                    })
                })
            });
            assert!(on_one, "{}", point.at);
        }
    }
}

#[test]
fn the_direct_sound_is_a_circle_and_falls_with_distance() {
    let scene = parsed(BOX);
    for cut in CUTS {
        let wave = wave(&scene, cut, 0.03);
        for distance_m in [0.05, 0.4, 1.0] {
            let moment = after(&wave, distance_m);
            assert_eq!(moment.fronts.len(), 1, "nothing is met before 1.1 m");
            let front = &moment.fronts[0];
            assert!(front.history.is_empty() && front.closed);
            let [first, last] = [front.points.first(), front.points.last()].map(|p| p.unwrap().at);
            assert!(first.distance(last) < 1e-9);
            for point in &front.points {
                let from_speaker_m = point.at.distance(scene.speakers()[0].at);
                assert!((from_speaker_m - distance_m).abs() < 1e-9);
                // An even speaker in air that takes nothing: −20 lg r.
                let level_db = early_level_db(&point.band_energy);
                assert!((level_db + 20.0 * distance_m.log10()).abs() < 1e-9);
            }
        }
    }
}

/// The paths that a trace with sharp rims lists at a point.
fn arrivals_at(scene: &Scene, listener: DVec3, order: usize) -> Vec<Arrival> {
    let state = scene.variant(None).unwrap();
    let enclosure = Enclosure::new(scene, &state);
    let speaker = &scene.speakers()[0];
    let radiator = earline_engine::medium::directivity::Radiator::new(
        &speaker.directivity,
        speaker.axis,
        scene.air(),
        enclosure.grid(),
    );
    let propagation =
        Propagation { enclosure: &enclosure, radiator: &radiator, speaker: speaker.at, listener };
    let reach = SearchLimit { order, distance_m: 9.0 };
    let paths = enumerate(&enclosure, speaker.at, listener, reach, 0.0, EdgeModel::Geometric);
    paths.iter().map(|path| propagation.arrival(path)).collect()
}

fn met_by(arrival: &Arrival) -> Vec<(FaceId, Option<usize>)> {
    arrival.bounces.iter().map(|bounce| (bounce.face, bounce.panel)).collect()
}

fn met_of(front: &Wavefront) -> Vec<(FaceId, Option<usize>)> {
    front.history.iter().map(|met| (met.face, met.panel)).collect()
}

/// Whatever arrives at a listener passes it as a front at that moment, over the same faces.
#[test]
fn every_path_of_the_trace_is_a_front_that_passes_the_listener() {
    let scene = furnished(SEAT);
    let mut compared = 0;
    for cut in CUTS {
        let wave = wave(&scene, cut, 0.03);
        for listener in [[2.4, 2.0], [3.6, 1.1], [1.1, 3.3], [4.8, 2.9]] {
            let listener = if cut == CutPlane::Plan {
                DVec3::new(listener[0], listener[1], wave.offset_m())
            } else {
                DVec3::new(listener[0], wave.offset_m(), listener[1] * 0.6)
            };
            for arrival in arrivals_at(&scene, listener, 3) {
                let moment = after(&wave, arrival.distance_m);
                let same = moment.fronts.iter().filter(|f| met_of(f) == met_by(&arrival));
                let near = same.map(|front| off_m(front, listener)).fold(9.0, f64::min);
                assert!(near < CHORD_M, "{cut:?} {listener} {near} {:?}", met_by(&arrival));
                compared += 1;
            }
        }
    }
    assert!(compared > 150, "{compared}");
}

/// A listener put on a front hears it in a trace with sharp rims: at its time, with its level in
/// every band, over its faces.
#[test]
fn a_trace_of_a_listener_on_a_front_says_the_same() {
    let scene = furnished(SEAT);
    let by_way_of = |front: &Wavefront, test: &dyn Fn(FaceId) -> bool| {
        !front.history.is_empty() && front.history.iter().any(|met| test(met.face))
    };
    let (mut via_floor, mut via_inside, mut via_panel) = (0, 0, 0);
    for (cut, distance_m) in [
        (CutPlane::Plan, 0.8),
        (CutPlane::Plan, 3.1),
        (CutPlane::Plan, 5.2),
        (CutPlane::Section, 2.8),
        (CutPlane::Section, 4.6),
    ] {
        for front in after(&wave(&scene, cut, 0.03), distance_m).fronts {
            let computed: Vec<&WavefrontPoint> =
                front.points.iter().filter(|p| p.computed).collect();
            let Some(point) = computed.get(computed.len() / 2) else { continue };
            // On a rim or in a corner it is rounding that decides.
            if front.history.len() > 3 || front.length_m() < 0.05 || near_a_wall(&scene, point.at) {
                continue;
            }
            let there = furnished(point.at);
            let (speakers, listeners) =
                (there.speaker_ids().collect(), there.listener_ids().collect());
            let plan = Request { window_s: 0.03, ..Request::list(speakers, listeners) };
            let state = there.variant(None).unwrap();
            let pair = &simulate(&there, &state, &plan, &()).unwrap().pairs[0];
            let heard = std::iter::once(&pair.unobstructed)
                .chain(pair.reflections.iter().map(|r| &r.arrival))
                .find(|arrival| met_by(arrival) == met_of(&front));
            let Some(arrival) = heard else {
                // Only what is 60 dB below the direct sound is not in the list.
                assert!(is_below(&point.band_energy, &pair.unobstructed.band_energy, 1e-6));
                continue;
            };
            assert!((arrival.distance_m - distance_m).abs() < 1e-6);
            for (mine, other) in point.band_energy.iter().zip(arrival.band_energy) {
                assert!((mine - other).abs() <= 1e-6 * other, "{mine} {other} {:?}", front.history);
            }
            let is_floor = |face| face == FaceId::Surface(Surface::Floor);
            via_floor += usize::from(by_way_of(&front, &is_floor));
            let is_inside = |face| !matches!(face, FaceId::Surface(_));
            via_inside += usize::from(by_way_of(&front, &is_inside));
            via_panel += usize::from(front.history.iter().any(|met| met.panel.is_some()));
        }
    }
    assert!(
        via_floor > 5 && via_inside > 5 && via_panel > 2,
        "{via_floor} {via_inside} {via_panel}"
    );
}

fn near_a_wall(scene: &Scene, point: DVec3) -> bool {
    let size = scene.room().size();
    (0..3).any(|i| point[i] < 0.02 || size[i] - 0.02 < point[i])
}

fn is_below(one: &PerBand<f64>, other: &PerBand<f64>, share: f64) -> bool {
    one.iter().zip(other).all(|(one, other)| *one <= share * other)
}

/// Between the points at which it is computed the energy is within 0.2 dB of what is there.
#[test]
fn energy_between_computed_points_is_close() {
    let scene = furnished(SEAT);
    let mut worst_db = 0.0f64;
    for front in after(&wave(&scene, CutPlane::Plan, 0.03), 3.1).fronts {
        for point in front.points.iter().filter(|p| !p.computed).step_by(3) {
            let arrivals = arrivals_at(&scene, point.at, front.history.len());
            let there = arrivals
                .iter()
                .find(|a| met_by(a) == met_of(&front) && (a.distance_m - 3.1).abs() < 1e-6);
            let Some(there) = there else { continue };
            let level_db = early_level_db(&there.band_energy);
            if -40.0 < level_db {
                worst_db = worst_db.max((early_level_db(&point.band_energy) - level_db).abs());
            }
        }
    }
    assert!(0.0 < worst_db && worst_db < 0.2, "{worst_db}");
}

#[test]
fn no_front_is_outside_the_room_or_inside_a_thing() {
    let scene = furnished(SEAT);
    let size = scene.room().size();
    // Its own cabinet does not stop a speaker's direct sound: how that gets round it is in its
    // directivity.
    let own = scene.speakers()[0].solid_box().unwrap();
    let mut solids = vec![scene.speakers()[1].solid_box().unwrap()];
    solids.extend(scene.furniture().iter().map(Furniture::upright_box));
    for cut in CUTS {
        let wave = wave(&scene, cut, 0.03);
        for step in 1..=40 {
            let moment = after(&wave, 0.2 * f64::from(step));
            let reflected = moment.fronts.iter().filter(|front| !front.history.is_empty());
            let points = reflected.flat_map(|front| &front.points);
            assert!(points.map(|point| own.depth_m(point.at)).all(|depth_m| depth_m < 1e-6));
            for point in moment.fronts.iter().flat_map(|front| &front.points) {
                let at = point.at;
                assert!((at.dot(cut.normal()) - wave.offset_m()).abs() <= ON_CUT_M);
                assert!((0..3).all(|i| -1e-6 <= at[i] && at[i] <= size[i] + 1e-6), "{at}");
                assert!(solids.iter().all(|solid| solid.depth_m(at) < 1e-6), "{cut:?} {at}");
            }
        }
    }
}

/// Along every ray the energy falls, and with spreading taken out it falls at mirrors only.
#[test]
fn energy_only_falls() {
    let scene = furnished(SEAT);
    for cut in CUTS {
        let wave = wave(&scene, cut, 0.03);
        let mut bounced = 0;
        for track in wave.ray_paths(30) {
            bounced += usize::from(track.corners.len() > 2);
            let mut before = [f64::INFINITY; 8];
            for step in 1..=100 {
                let distance_m = 0.1 * f64::from(step);
                let Some(head) = wave.tip(&track, distance_m) else { break };
                let spread_out = head.band_energy.map(|e| e * distance_m * distance_m);
                let falls =
                    spread_out.iter().zip(before).all(|(now, then)| *now <= then * (1.0 + 1e-9));
                assert!(falls, "{cut:?} {distance_m}");
                before = spread_out;
            }
        }
        assert!(bounced > 20);
    }
}

/// The tail of a ray ends at its head and is as long as asked.
#[test]
fn tails_end_at_heads() {
    let scene = parsed(BOX);
    let wave = wave(&scene, CutPlane::Plan, 0.03);
    for track in wave.ray_paths(12) {
        for distance_m in [0.3, 2.0, 7.7] {
            let head = wave.tip(&track, distance_m).unwrap();
            let tail = track.tail(distance_m, 1.0);
            let long_m: f64 = tail.windows(2).map(|two| two[0].distance(two[1])).sum();
            assert!((long_m - 1f64.min(distance_m)).abs() < 1e-9);
            assert!(tail.last().unwrap().distance(head.at) < 1e-9);
        }
    }
}

/// By hand: the speaker is 1.1 m from the front wall, 1.2 m above the floor, and the way over the
/// floor to a seat at the same height, d away, is √(d² + (2 · 1.2)²).
#[test]
fn the_story_is_that_of_the_tape_measure() {
    let scene = parsed(BOX);
    let wave = wave(&scene, CutPlane::Plan, 0.03);
    let story = wave.events(&[FIRST_LISTENER, ListenerId::new(7)]);
    assert!(story.windows(2).all(|two| two[0].time_s <= two[1].time_s));
    let met = |surface| {
        let of = |h: &&earline_engine::analysis::wavefront::Event| {
            h.kind == EventKind::StrikesSurface(FaceId::Surface(surface))
        };
        story.iter().find(of).unwrap().distance_m
    };
    assert!((met(Surface::Front) - 1.1).abs() < 1e-9 && (met(Surface::Back) - 4.0).abs() < 1e-9);
    assert!((met(Surface::Floor) - 1.2).abs() < 1e-9 && (met(Surface::Right) - 3.0).abs() < 1e-9);
    let straight_m = (1.8f64 * 1.8 + 0.9 * 0.9).sqrt();
    let passes =
        story.iter().find(|h| matches!(h.kind, EventKind::DirectReachesListener { .. })).unwrap();
    assert!((passes.distance_m - straight_m).abs() < 1e-9);
    assert!((passes.time_s * wave.speed_of_sound_m_s() - straight_m).abs() < 1e-9);
    let over_floor_m = (straight_m * straight_m + 2.4 * 2.4).sqrt();
    let first = story.iter().find_map(|h| match &h.kind {
        EventKind::ReflectionReachesListener {
            rank: ReflectionRank::First | ReflectionRank::FirstAndLoudest,
            arrival,
            level_db,
            ..
        } => Some((h.distance_m, arrival.bounces[0].face, *level_db)),
        _ => None,
    });
    let (distance_m, face, level_db) = first.unwrap();
    assert!((distance_m - over_floor_m).abs() < 1e-9 && face == FaceId::Surface(Surface::Floor));
    // √(1 − α) at each bounce: 10 lg 0.9 and spreading.
    let expected_db = 10.0 * 0.9f64.log10() - 20.0 * (over_floor_m / straight_m).log10();
    assert!((level_db - expected_db).abs() < 1e-9, "{level_db} {expected_db}");
}

#[test]
fn fronts_are_the_same_on_any_number_of_threads() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let scene = furnished(SEAT);
            let wave = wave(&scene, CutPlane::Plan, 0.03);
            (after(&wave, 6.4), wave.ray_paths(24), wave.events(&[FIRST_LISTENER]))
        })
    };
    let alone = on(1);
    assert!(alone.0.fronts.len() > 20);
    assert!(on(3) == alone);
}

#[test]
fn what_cannot_be_followed_is_refused() {
    let scene = parsed(BOX);
    let state = scene.variant(None).unwrap();
    let with = |speaker, until_s| {
        WavefrontTracer::new(
            &scene,
            &state,
            WavefrontPlan { speaker, cut: CutPlane::Plan, until_s },
        )
        .err()
    };
    assert_eq!(
        with(SpeakerId::new(3), 0.01),
        Some(WavefrontError::NoSuchSpeaker { index: 3, have: 1 })
    );
    for seconds in [0.0, -1.0, 0.3, f64::INFINITY] {
        assert_eq!(with(FIRST_SPEAKER, seconds), Some(WavefrontError::Until { seconds }));
    }
    assert!(matches!(with(FIRST_SPEAKER, f64::NAN), Some(WavefrontError::Until { .. })));
    assert!(after(&wave(&scene, CutPlane::Plan, 0.01), 0.0).fronts.is_empty());
    assert_eq!(EARLY_BANDS.len(), 4, "levels are the mean of four bands");
}
