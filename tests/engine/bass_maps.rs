//! Maps of the bass and how it rings, against the response itself and closed forms.
#![allow(clippy::format_collect, reason = "a scene of a few lines")]

use crate::fixtures::impedance_room::{Case, solve, speed};
use crate::fixtures::{ATTIC, FIRST_LISTENER, FIRST_PAIR, FIRST_SPEAKER, parsed};
use earline_engine::scene::{ListenerId, Scene, SpeakerId};
use earline_engine::wave_field::{
    MapPlane, NarrowBandDecay, NarrowBandDecayRequest, SeatMapRequest, WaveFieldError,
    log_spaced_hz, narrow_band_decay, pressure_map, seat_map,
};
use std::f64::consts::PI;

/// An even room with a speaker off the middle and a seat on the maps' grids.
fn even_room(zeta: f64) -> Scene {
    let case = Case {
        size: [6.0, 4.0, 2.5],
        zeta: [[zeta, 0.0]; 6],
        speaker: [0.6, 1.1, 1.0],
        listeners: &[[4.0, 2.0, 1.25]],
        more: "",
    };
    case.scene()
}

fn attic() -> Scene {
    parsed(ATTIC)
}

fn seats(scene: &Scene, speakers: &[SpeakerId], height_m: f64, step_m: f64) -> SeatMapRequest {
    assert!(speakers.iter().all(|&speaker| scene.speaker(speaker).is_some()));
    SeatMapRequest { speakers: speakers.to_vec(), height_m, step_m, hz: log_spaced_hz(30.0, 200.0) }
}

/// A map says of a place what the response there says.
#[test]
fn a_map_agrees_with_the_response_at_the_seat() {
    let scene = even_room(30.0);
    let state = scene.variant(None).unwrap();
    let hz = log_spaced_hz(30.0, 200.0);
    let seat = &solve(&scene, &hz).pairs[0];
    // From 0.2 m to 5.8 m and to 3.8 m: 0.2 m apart, so that 4 m and 2 m are on it.
    let map = seat_map(&scene, &state, &seats(&scene, &[FIRST_SPEAKER], 1.25, 0.2)).unwrap();
    let at = |all: &[f64], m: f64| all.iter().position(|x| (x - m).abs() < 1e-9).unwrap();
    let found = map.unevenness_db[at(&map.x_m, 4.0)][at(&map.y_m, 2.0)];
    assert!((found - seat.unevenness_db.unwrap()).abs() < 1e-6, "{found}");
    for plane in [MapPlane::Plan { height_m: 1.25 }, MapPlane::Section { left_m: 2.0 }] {
        let map = pressure_map(&scene, &state, &[FIRST_SPEAKER], hz[20], plane, 0.25).unwrap();
        let other_m = if matches!(plane, MapPlane::Plan { .. }) { 2.0 } else { 1.25 };
        let found = map.level_db[at(&map.x_m, 4.0)][at(&map.ordinate_m, other_m)];
        // The range of frequencies that are solved together is another one.
        assert!((found - seat.level_db[20]).abs() < 0.02, "{found} {}", seat.level_db[20]);
    }
}

/// A room and pair that are their own mirror image have a map that is. The flattest place is in front
/// of the speakers and clear of both, and no other seat on the grid is flatter.
#[test]
fn a_seat_map_is_symmetric_and_its_flattest_is_a_seat() {
    let more = "[[speaker]]\nname = \"t\"\nat = [0.6, 2.9, 1.0]\ndirectivity = { kind = \"omni\" }\n\
                [[keep_out]]\nname = \"stairs\"\ncorner = [2.0, 1.0]\nsize = [2.5, 2.0]\n";
    let case = Case {
        size: [6.0, 4.0, 2.5],
        zeta: [[25.0, 0.0]; 6],
        speaker: [0.6, 1.1, 1.0],
        listeners: &[[5.0, 2.0, 1.25]],
        more,
    };
    let scene = case.scene();
    let map =
        seat_map(&scene, &scene.variant(None).unwrap(), &seats(&scene, &FIRST_PAIR, 1.2, 0.3))
            .unwrap();
    for row in &map.unevenness_db {
        for (one, other) in row.iter().zip(row.iter().rev()) {
            assert!((one - other).abs() < 1e-6, "{one} {other}");
        }
    }
    let best = map.flattest.unwrap();
    for (x, (row, seats)) in map.x_m.iter().zip(map.unevenness_db.iter().zip(&map.clearance_m)) {
        for (y, (db, clear_m)) in map.y_m.iter().zip(row.iter().zip(seats)) {
            let kept_out = (2.0..=4.5).contains(x) && (1.0..=3.0).contains(y);
            let beside = [1.1, 2.9].iter().any(|s| (x - 0.6).hypot(y - s).hypot(0.2) < 1.0);
            let is_seat = 0.0 <= *clear_m;
            assert_eq!(is_seat, !kept_out && !beside && 0.6 <= *x, "{x} {y}");
            assert!(!is_seat || best.unevenness_db <= *db);
        }
    }
    let between = map.flattest_on_median.unwrap();
    assert!((between.at.y - 2.0).abs() < 1e-9 && between.at.x > 4.5 || between.at.x < 2.0);
}

/// At the lowest mode of a room that damps it little, the pressure is cos(πx/L): nothing half-way down
/// the room, and half of it (−6 dB) at a third (closed form).
#[test]
fn a_map_at_the_lowest_mode_is_its_cosine() {
    let scene = even_room(2000.0);
    let state = scene.variant(None).unwrap();
    let hz = speed() / 2.0 / 6.0;
    let map =
        pressure_map(&scene, &state, &[FIRST_SPEAKER], hz, MapPlane::Section { left_m: 3.0 }, 0.5)
            .unwrap();
    for (x, column) in map.x_m.iter().zip(&map.level_db) {
        for level in column {
            let below = level - map.level_db[0][0];
            let cosine = 20.0 * (PI * x / 6.0).cos().abs().log10();
            if (x - 3.0).abs() < 1e-9 {
                assert!(below < -30.0, "{below}");
            } else {
                assert!((below - cosine).abs() < 0.3, "{x}: {below} {cosine}");
            }
        }
    }
}

/// The lowest mode, alone in its band, rings off in the time its own damping gives it.
#[test]
fn the_lowest_mode_rings_as_long_as_its_damping_says() {
    for zeta in [20.0, 30.0, 45.0] {
        let case = Case {
            size: [6.0, 4.0, 2.5],
            zeta: [[zeta, 0.0]; 6],
            speaker: [0.2, 0.2, 0.2],
            listeners: &[[5.8, 3.8, 2.3]],
            more: "",
        };
        let scene = case.scene();
        let mode = solve(&scene, &[20.0, 40.0]).modes[0];
        let found = follow(&scene, FIRST_LISTENER);
        let (band, _) = found
            .band_hz
            .iter()
            .enumerate()
            .min_by(|a, b| (a.1 - mode.hz).abs().total_cmp(&(b.1 - mode.hz).abs()))
            .unwrap();
        // From two lengths of the filter on, so that its own smear is over, for 200 ms.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index")]
        let first =
            (2.0 * NarrowBandDecay::filter_duration_s(mode.hz) / found.time_step_s).ceil() as usize;
        let last = first + 40;
        let level = &found.level_db[band];
        let seconds = 40.0 * found.time_step_s;
        let decay_s = -60.0 * seconds / (level[last] - level[first]);
        let expected_s = mode.decay_s.unwrap();
        assert!((decay_s / expected_s - 1.0).abs() < 0.06, "{zeta}: {decay_s} {expected_s}");
    }
}

fn follow(scene: &Scene, listener: ListenerId) -> NarrowBandDecay {
    let plan = NarrowBandDecayRequest {
        speakers: vec![FIRST_SPEAKER],
        listeners: vec![listener],
        range_hz: [15.0, 120.0],
    };
    narrow_band_decay(scene, &scene.variant(None).unwrap(), &plan).unwrap().remove(0)
}

/// Decibels are re the greatest; 600 ms are followed; what is asked for twice is found twice.
#[test]
fn a_decay_begins_at_the_greatest_level() {
    let found = follow(&attic(), FIRST_LISTENER);
    let all = || found.level_db.iter().flatten();
    assert!(all().copied().fold(f64::NEG_INFINITY, f64::max).abs() < 1e-9);
    assert!(found.level_db.iter().all(|band| band.len() == 121) && found.peak_db.is_finite());
    assert!((found.time_step_s * 120.0 - 0.6).abs() < 1e-9);
    assert_eq!(found, follow(&attic(), FIRST_LISTENER));
}

#[test]
fn what_is_not_there_is_refused() {
    let scene = even_room(30.0);
    let state = scene.variant(None).unwrap();
    let plan = MapPlane::Plan { height_m: 1.2 };
    let map =
        |speakers: &[SpeakerId], hz, plane| pressure_map(&scene, &state, speakers, hz, plane, 0.5);
    assert_eq!(map(&[], 60.0, plan), Err(WaveFieldError::UnknownPosition));
    assert_eq!(map(&[SpeakerId::new(7)], 60.0, plan), Err(WaveFieldError::UnknownPosition));
    assert_eq!(
        map(&[FIRST_SPEAKER], 60.0, MapPlane::Plan { height_m: 2.6 }),
        Err(WaveFieldError::UnknownPosition)
    );
    assert_eq!(
        map(&[FIRST_SPEAKER], 60.0, MapPlane::Section { left_m: -0.1 }),
        Err(WaveFieldError::UnknownPosition)
    );
    assert_eq!(map(&[FIRST_SPEAKER], 900.0, plan), Err(WaveFieldError::InvalidFrequencies));
    let few = SeatMapRequest { hz: vec![31.0, 240.0], ..seats(&scene, &[FIRST_SPEAKER], 1.2, 0.5) };
    assert_eq!(seat_map(&scene, &state, &few), Err(WaveFieldError::TooFewFrequencies));
    assert!(seat_map(&scene, &state, &seats(&scene, &[FIRST_SPEAKER], 3.0, 0.5)).is_err());
    let wish = |listeners: Vec<ListenerId>, range_hz| NarrowBandDecayRequest {
        speakers: vec![FIRST_SPEAKER],
        listeners,
        range_hz,
    };
    assert_eq!(
        narrow_band_decay(&scene, &state, &wish(vec![ListenerId::new(3)], [15.0, 90.0])),
        Err(WaveFieldError::UnknownPosition)
    );
    assert_eq!(
        narrow_band_decay(&scene, &state, &wish(vec![FIRST_LISTENER], [80.0, 90.0])),
        Err(WaveFieldError::TooFewFrequencies)
    );
}
