//! What the bass says beside its responses, and how it joins the rest: spacing of modes, how far a
//! build reaches down, and the bottom of an impulse response.
#![allow(clippy::format_collect, reason = "a scene of a few lines")]

use crate::fixtures::impedance_room::{Case, still_air};
use crate::fixtures::{FIRST_LISTENER, FIRST_SPEAKER};
use earline_engine::medium::materials::PorousAbsorber;
use earline_engine::response::LowFrequencyResponse;
use earline_engine::response::{ImpulseResponse, SAMPLE_RATE_HZ};
use earline_engine::scene::Room;
use earline_engine::simulate::{Request, ResponseRequest, simulate};
use earline_engine::wave_field::{
    MIN_ABSORPTION, WaveFieldSolver, deeper_build_for, lower_limit_hz, modal_spacing,
};
use num_complex::Complex64;
use std::f64::consts::TAU;

const FOOT_M: f64 = 0.3048;

fn room(length_m: f64, width_m: f64, height_m: f64) -> Room {
    Room { length_m, width_m, height_m }
}

/// Modes per third of an octave of three rooms (computed by enumeration), and whether they keep to
/// Bonello's rule (JAES 29, 1981; read in a thesis that sums it up): 6 × 4 × 2.5 m and 23 × 17 × 9 ft do,
/// the latter also by the *Handbook for Sound Engineers*, p. 133 (read); a 3 m cube does not.
#[test]
fn thirds_of_an_octave_hold_the_modes_of_the_table() {
    let table: [(Room, f64, &[usize], bool); 3] = [
        (room(6.0, 4.0, 2.5), 343.2, &[1, 1, 1, 2, 6, 7, 14, 26, 49], true),
        (
            room(23.0 * FOOT_M, 17.0 * FOOT_M, 9.0 * FOOT_M),
            343.2,
            &[1, 1, 1, 1, 6, 6, 11, 24, 39, 78],
            true,
        ),
        (room(3.0, 3.0, 3.0), 343.2, &[3, 3, 1, 12, 9, 22], false),
    ];
    for (room, speed, counts, rises) in table {
        let found = modal_spacing(&room, speed);
        let modes: Vec<usize> = found.thirds.iter().map(|third| third.modes).collect();
        assert_eq!(modes, counts);
        assert_eq!(found.monotonic, rises);
    }
    // Three axial modes of a cube coincide at once.
    let cube = modal_spacing(&room(3.0, 3.0, 3.0), 343.2);
    assert!(cube.coincident.contains(&0) && !cube.too_close.is_empty());
}

/// 23 × 17 × 9 ft at 1130 ft/s: the handbook's text notes how close 4,0,0 (98.26 Hz) and 0,3,0
/// (99.71 Hz) are (read). Of its axial modes, 24.57 Hz and multiples, 33.24 and 62.78, those about them
/// are more than 20 Hz away (computed).
#[test]
fn close_axial_modes_are_those_of_the_handbook() {
    let found = modal_spacing(&room(23.0 * FOOT_M, 17.0 * FOOT_M, 9.0 * FOOT_M), 1130.0 * FOOT_M);
    let named = |all: &[[f64; 2]], wanted: [f64; 2]| {
        all.iter().any(|[a, b]| (a - wanted[0]).abs() < 0.02 && (b - wanted[1]).abs() < 0.02)
    };
    assert!(named(&found.too_close, [98.26, 99.71]), "{:?}", found.too_close);
    assert!(named(&found.too_far_apart, [73.70, 98.26]), "{:?}", found.too_far_apart);
    assert!(named(&found.too_far_apart, [99.71, 122.83]), "{:?}", found.too_far_apart);
}

/// What is said to reach a frequency does, and a centimetre less does not; thicker reaches farther.
#[test]
fn builds_reach_down_as_far_as_they_take() {
    let air = still_air();
    let build = PorousAbsorber::single(0.05, 12_000.0, 0.0);
    let hz = lower_limit_hz(&build, &air).unwrap();
    assert!(MIN_ABSORPTION <= build.normal_incidence_at(1.001 * hz, &air));
    assert!(build.normal_incidence_at(0.97 * hz, &air) < MIN_ABSORPTION);
    let thicker = lower_limit_hz(&PorousAbsorber::single(0.2, 12_000.0, 0.0), &air).unwrap();
    assert!(thicker < hz / 2.0, "{thicker} {hz}");
    let farther = deeper_build_for(&build, 63.0, &air).unwrap();
    for (thickness, gap) in [(farther.thickness_m.unwrap(), 0.0), (0.05, farther.gap_m.unwrap())] {
        let taken = |less: f64| {
            let tried = if gap > 0.0 {
                PorousAbsorber::single(thickness, 12_000.0, gap - less)
            } else {
                PorousAbsorber::single(thickness - less, 12_000.0, 0.0)
            };
            tried.normal_incidence_at(63.0, &air)
        };
        assert!(MIN_ABSORPTION <= taken(0.0) && taken(0.011) < MIN_ABSORPTION, "{thickness} {gap}");
    }
}

/// The transform of a response at a frequency.
fn at(response: &ImpulseResponse, hz: f64) -> Complex64 {
    let step = Complex64::from_polar(1.0, -TAU * hz / SAMPLE_RATE_HZ);
    response.samples.iter().rev().fold(Complex64::ZERO, |sum, sample| sum * step + sample)
}

/// Below the crossover a response has the level of the wave field, above it its own, and between the
/// two, the sum that the filters say; these add up to one.
#[test]
fn a_response_is_waves_below_and_its_own_above() {
    let case = Case {
        size: [5.2, 3.9, 2.5],
        zeta: [[12.0, -3.0], [8.0, 0.0], [14.0, 0.0], [14.0, 0.0], [20.0, 0.0], [10.0, -4.0]],
        speaker: [1.2, 0.9, 1.1],
        listeners: &[[3.3, 2.4, 1.3]],
        more: "",
    };
    let scene = case.scene();
    let state = scene.variant(None).unwrap();
    let deep =
        LowFrequencyResponse::new(&scene, &state, &[(FIRST_SPEAKER, FIRST_LISTENER)], 0.6, &())
            .unwrap()
            .unwrap();
    let response = Some(ResponseRequest::early(0.3));
    let request = Request { response, ..Request::list(vec![FIRST_SPEAKER], vec![FIRST_LISTENER]) };
    let simulation = simulate(&scene, &state, &request, &()).unwrap();
    let own = simulation.pairs[0].response.as_ref().unwrap().early.response.clone();
    let whole = deep.splice(0, &own);
    let crossover = deep.crossover_hz;
    assert!((60.0..350.0).contains(&crossover), "{crossover}");
    let hz = [0.3, 0.45, 0.6, 0.8, 1.0, 1.2, 2.0, 4.0, 8.0].map(|share| share * crossover);
    let waves = WaveFieldSolver::new(&scene, &state, &hz[..6]).unwrap();
    let tones = waves.pressure(&[scene.speakers()[0].at], &[scene.listeners()[0].at]);
    let own_at = |hz: f64| at(&own, hz);
    let level = |i: usize| tones[i][0][0].norm();
    let usual = (0..6).map(level).sum::<f64>() / 6.0;
    for (i, &hz) in hz.iter().enumerate().take(6) {
        let [below, above] = deep.crossover_gains(hz);
        assert!(((below + above).norm() - 1.0).abs() < 0.03, "{hz} Hz");
        let wanted = tones[i][0][0] * below + own_at(hz) * above;
        let found = at(&whole, hz);
        assert!((found - wanted).norm() < 0.03 * usual, "{hz} Hz: {found} {wanted} of {usual}");
    }
    // The two do differ there, or nothing would be shown.
    assert!((0..3).any(|i| (own_at(hz[i]) - tones[i][0][0]).norm() > 0.2 * usual));
    // Both are half as large where they cross, and in phase.
    let [below, above] = deep.crossover_gains(crossover);
    assert!((below.norm() - 0.5).abs() < 0.01 && (below - above).norm() < 0.2);
    for &hz in &hz[6..] {
        assert!((at(&whole, hz).norm() - own_at(hz).norm()).abs() < 0.01 * usual, "{hz} Hz");
    }
}

/// Where nothing absorbs nothing ends a response, and there is no crossover.
#[test]
fn a_rigid_room_has_no_crossover() {
    let case = Case {
        size: [5.2, 3.9, 2.5],
        zeta: [[0.0, 3.0]; 6],
        speaker: [1.2, 0.9, 1.1],
        listeners: &[[3.3, 2.4, 1.3]],
        more: "",
    };
    let scene = case.scene();
    assert!(
        LowFrequencyResponse::new(
            &scene,
            &scene.variant(None).unwrap(),
            &[(FIRST_SPEAKER, FIRST_LISTENER)],
            0.3,
            &()
        )
        .unwrap()
        .is_none()
    );
}
