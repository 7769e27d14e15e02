//! The bass against handbook tables, closed forms, and sums of images.
#![allow(clippy::format_collect, reason = "a scene of a few lines")]

use crate::fixtures::FIRST_LISTENER;
use crate::fixtures::impedance_room::{Case, RIGID, line, speed};
use earline_engine::scene::{Room, Surface};
use earline_engine::wave_field::{
    DampedMode, ExtremumCause, UNEVENNESS_BAND_HZ, WaveFieldRequest, log_spaced_hz, modes_up_to,
    solve_wave_field, unevenness_db,
};
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

fn room(length_m: f64, width_m: f64, height_m: f64) -> Room {
    Room { length_m, width_m, height_m }
}

/// Eigenfrequencies of 6 × 4 × 2.5 m at 343.2 m/s to 120 Hz (computed from the formula of several
/// handbooks), to their printed hundredth.
#[test]
fn eigenfrequencies_are_those_of_the_table() {
    let printed = [
        (28.60, [1, 0, 0]),
        (42.90, [0, 1, 0]),
        (51.56, [1, 1, 0]),
        (57.20, [2, 0, 0]),
        (68.64, [0, 0, 1]),
        (71.50, [2, 1, 0]),
        (74.36, [1, 0, 1]),
        (80.94, [0, 1, 1]),
        (85.85, [1, 1, 1]),
        (90.44, [1, 2, 0]),
        (99.11, [2, 1, 1]),
        (117.96, [3, 1, 1]),
    ];
    let modes = modes_up_to(&room(6.0, 4.0, 2.5), TAU * 120.0 / 343.2);
    for (hz, n) in printed {
        let mode = modes.iter().find(|mode| mode.n == n).unwrap();
        assert!((mode.hz(343.2) - hz).abs() < 0.005 + 1e-9, "{n:?} {}", mode.hz(343.2));
    }
    // Counts up to 100, 200 and 300 Hz, the even pressure left out (computed, exact).
    for (hz, count) in [(100.0, 15), (200.0, 77), (300.0, 233)] {
        assert_eq!(modes_up_to(&room(6.0, 4.0, 2.5), TAU * hz / 343.2).len() - 1, count, "{hz}");
    }
}

/// Axial modes of 16 × 12 × 8 ft at 1130 ft/s (*Handbook for Sound Engineers*, chapter 6, table 6-4, read).
#[test]
fn axial_modes_are_those_of_the_handbook() {
    const FOOT_M: f64 = 0.3048;
    let room = room(16.0 * FOOT_M, 12.0 * FOOT_M, 8.0 * FOOT_M);
    let modes = modes_up_to(&room, TAU * 220.0 / (1130.0 * FOOT_M));
    for (axis, first) in [(0, 35.31), (1, 47.08), (2, 70.63)] {
        for times in 1..=3 {
            let mode = modes
                .iter()
                .find(|mode| mode.n[axis] == times && mode.varying_axes() == 1)
                .unwrap();
            let hz = mode.hz(1130.0 * FOOT_M);
            assert!((hz - first * times as f64).abs() < 0.02 * times as f64, "{hz}");
        }
    }
}

/// A tube with hard sides and absorbing ends: the mean over its section is a plane wave,
/// u₁(x₍)u₂(x₎)/W with W from both end admittances (closed form; the 1-D Green's function).
#[test]
fn a_terminated_tube_is_its_closed_form() {
    let (length, side) = (6.0, 0.8);
    let zeta = [Complex64::new(12.0, -5.0), Complex64::new(25.0, 4.0)];
    let case = |at: f64| {
        // An even grid over the section, on which cross modes add up to nothing.
        let cells = [0.125, 0.375, 0.625, 0.875].map(|part| part * side);
        let points: Vec<[f64; 3]> = cells.iter().flat_map(|&y| cells.map(|z| [at, y, z])).collect();
        let ends = zeta.map(|z| [z.re, z.im]);
        let zeta = [ends[0], ends[1], RIGID, RIGID, RIGID, RIGID];
        let hz: Vec<f64> = (3..16).map(|i| 10.0 * f64::from(i) + 3.0).collect();
        let speaker = [1.1, 0.27, 0.31];
        let found =
            Case { size: [length, side, side], zeta, speaker, listeners: &points, more: "" };
        let found = found.solve(&hz);
        let mean = |i: usize| {
            found.pairs.iter().map(|pair| pair.pressure[i]).sum::<Complex64>() / points.len() as f64
        };
        hz.iter().enumerate().map(|(i, &hz)| (hz, mean(i))).collect::<Vec<_>>()
    };
    for at in [2.3, 5.2] {
        let found = case(at);
        let off = found.iter().map(|&(hz, found)| {
            let k = TAU * hz / speed();
            let jk = Complex64::new(0.0, k);
            let u1 = |x: f64| (jk * x).cosh() + zeta[0].inv() * (jk * x).sinh();
            let u2 =
                |x: f64| (jk * (length - x)).cosh() + zeta[1].inv() * (jk * (length - x)).sinh();
            let slope = -jk * ((jk * length).sinh() + zeta[1].inv() * (jk * length).cosh());
            let wronskian = jk * zeta[0].inv() * u2(0.0) - slope;
            let exact = 4.0 * PI / (side * side) * u1(1.1) * u2(at) / wronskian;
            (20.0 * (found.norm() / exact.norm()).log10()).abs()
        });
        let off: Vec<f64> = off.collect();
        let mean = off.iter().sum::<f64>() / off.len() as f64;
        assert!(mean < 0.01, "{at} m: {mean} dB on average, {off:.2?}");
    }
}

/// Near the source the field is that of a source in the open: 1/r, from 0.3 m away, where the room adds
/// little beside it.
#[test]
fn near_the_source_it_is_the_open_field() {
    let soft = [1.6, 0.0];
    let case = Case {
        size: [7.0, 6.0, 5.0],
        zeta: [soft; 6],
        speaker: [3.4, 3.1, 2.4],
        listeners: &[[3.7, 3.1, 2.4], [3.4, 3.1, 2.75]],
        more: "",
    };
    for pair in case.solve(&[40.0, 90.0, 160.0]).pairs {
        let distance = if pair.listener == FIRST_LISTENER { 0.3f64 } else { 0.35 };
        for level in pair.level_db {
            assert!((level + 20.0 * distance.log10()).abs() < 1.0, "{level}");
        }
    }
}

/// Swapping source and receiver changes nothing.
#[test]
fn source_and_receiver_may_change_places() {
    let more = "[[panel]]\nname = \"p\"\non = \"left\"\ncentre = [2.0, 1.2]\nsize = [1.2, 0.6]\n\
                material = \"skin back\"\n";
    let zeta = [[8.0, -2.0], [3.0, 1.0], [20.0, 0.0], [20.0, 0.0], [40.0, 0.0], [12.0, 3.0]];
    let (a, b) = ([1.2, 0.9, 1.1], [3.3, 2.4, 1.3]);
    let at = |speaker, listener: [f64; 3]| {
        let case = Case { size: [5.0, 3.9, 2.5], zeta, speaker, listeners: &[listener], more };
        case.solve(&[31.0, 62.0, 111.0, 190.0]).pairs[0].pressure.clone()
    };
    for (one, other) in at(a, b).into_iter().zip(at(b, a)) {
        assert!((one - other).norm() < 1e-9 * one.norm(), "{one} {other}");
    }
}

/// A room that is its own mirror image sounds the same at mirrored places.
#[test]
fn mirrored_places_sound_alike() {
    let zeta = [[8.0, -2.0], [3.0, 1.0], [20.0, 0.0], [20.0, 0.0], [40.0, 0.0], [12.0, 3.0]];
    let at = |speaker: [f64; 3], listener: [f64; 3]| {
        Case { size: [5.0, 4.0, 2.5], zeta, speaker, listeners: &[listener], more: "" }
            .solve(&[31.0, 62.0, 111.0, 190.0])
            .pairs[0]
            .pressure
            .clone()
    };
    let one = at([1.2, 0.9, 1.1], [3.3, 2.4, 1.3]);
    let other = at([1.2, 3.1, 1.1], [3.3, 1.6, 1.3]);
    for (one, other) in one.into_iter().zip(other) {
        assert!((one - other).norm() < 1e-9 * one.norm());
    }
}

/// Hard walls but one, 0.86 m behind the speaker in an otherwise open space: the first dip lies at
/// c/4d = 99.8 Hz far in front (Allison 1974, AES preprint 951; read), here at c/2Δ of the geometry.
#[test]
fn a_wall_behind_a_speaker_makes_its_dip() {
    // An impedance of 1.6 takes most at random incidence; the room is large, so that little comes back.
    let open = [1.6, 0.0];
    let case = Case {
        size: [11.0, 10.0, 9.0],
        zeta: [RIGID, open, open, open, open, open],
        speaker: [0.86, 5.0, 4.5],
        listeners: &[[2.36, 5.0, 4.5]],
        more: "",
    };
    let hz: Vec<f64> = (0..25).map(|i| 76.0 + 2.0 * f64::from(i)).collect();
    let found = case.solve(&hz);
    let pair = &found.pairs[0];
    let lowest = pair.level_db.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1)).unwrap().0;
    // On the axis the reflection is 2d longer whatever the distance: exactly c/4d.
    assert!((hz[lowest] - 99.8).abs() < 5.0, "{} Hz", hz[lowest]);
    let named = pair.extrema.iter().any(|extreme| {
        extreme.causes.iter().any(|cause| {
            matches!(cause, ExtremumCause::Boundary(b) if b.surface == Surface::Front && (b.null_hz - 99.8).abs() < 0.3)
        })
    });
    assert!(named, "{:?}", pair.extrema);
    // A speaker half as far away cancels twice as high.
    let scene = case.scene();
    let null =
        pair.extrema.iter().flat_map(|extreme| &extreme.causes).find_map(|cause| match cause {
            ExtremumCause::Boundary(found) if found.surface == Surface::Front => Some(*found),
            _ => None,
        });
    let null = null.unwrap();
    assert!((null.distance_m - 0.86).abs() < 1e-9 && (null.head_distance_m - 2.36).abs() < 1e-9);
    let moved_hz = null.null_when_moved_hz(&scene, FIRST_LISTENER, -0.43).unwrap();
    assert!((moved_hz - 2.0 * null.null_hz).abs() < 1e-6, "{moved_hz}");
    assert_eq!(null.null_when_moved_hz(&scene, FIRST_LISTENER, -0.9), None);
}

/// A pair plays one signal: its peaks and dips lie on the curve of both together, their causes are of both
/// speakers, and what is called likely lies at the frequency itself.
#[test]
fn a_pair_has_peaks_and_dips_of_its_own() {
    let speaker = |name: &str, side: &str, y: f64| {
        format!(
            "[[speaker]]\nname = \"{name}\"\npair = \"p\"\nside = \"{side}\"\nat = [0.9, {y:?}, 1.2]\n\
             directivity = {{ kind = \"omni\" }}\n"
        )
    };
    let more = speaker("l", "left", 1.2) + &speaker("r", "right", 2.8);
    let skin = [8.0, 0.0];
    let case = Case {
        size: [5.0, 4.0, 2.5],
        zeta: [skin; 6],
        speaker: [2.5, 2.0, 0.3],
        listeners: &[[2.4, 2.0, 1.2]],
        more: &more,
    };
    let hz = log_spaced_hz(30.0, 200.0);
    let found = case.solve(&hz);
    let [sum] = &found.coherent_sums[..] else { panic!("{:?}", found.coherent_sums) };
    assert!(!sum.extrema.is_empty());
    let mut both = std::collections::BTreeSet::new();
    for extreme in &sum.extrema {
        let i = hz.iter().position(|&f| f.to_bits() == extreme.hz.to_bits()).unwrap();
        let (before, here, after) = (sum.level_db[i - 1], sum.level_db[i], sum.level_db[i + 1]);
        assert_eq!(here < before, extreme.prominence_db < 0.0);
        assert_eq!(here < after || here.to_bits() == after.to_bits(), extreme.prominence_db < 0.0);
        for cause in extreme.likely_causes(&found.modes) {
            assert!(extreme.causes.contains(&cause));
            let cause_hz = match cause {
                ExtremumCause::Mode { hz, .. } => hz,
                ExtremumCause::Boundary(found) => {
                    both.insert(found.speaker);
                    found.null_hz
                }
            };
            let mode = found.modes.iter().find(|mode| mode.hz.to_bits() == cause_hz.to_bits());
            let half_hz = mode.and_then(DampedMode::bandwidth_hz).map_or(0.0, |hz| 0.5 * hz);
            assert!((cause_hz - extreme.hz).abs() <= half_hz.max(0.05 * extreme.hz) + 1e-9);
        }
    }
    assert_eq!(both, sum.speakers.iter().copied().collect());
}

/// Heights are those of the curve itself: where surfaces take much, what is written out as modes is far
/// from the whole, and alone it would have peaks and dips that nobody hears.
#[test]
fn peaks_and_dips_lie_on_the_curve() {
    let taking = [1.2, 0.0];
    let case = Case {
        size: [6.0, 5.0, 4.0],
        zeta: [taking, taking, RIGID, taking, taking, taking],
        speaker: [1.5, 2.0, 2.0],
        listeners: &[[4.5, 2.0, 2.0]],
        more: "",
    };
    let hz: Vec<f64> = (0..70).map(|i| 30.0 * 2f64.powf(f64::from(i) / 24.0)).collect();
    let found = case.solve(&hz);
    let pair = &found.pairs[0];
    // Two paths, 3 m and 5 m: one dip at c/2Δ = 85.8 Hz within these frequencies.
    assert!(!pair.extrema.is_empty());
    for extreme in &pair.extrema {
        let i = hz.iter().position(|&f| f.to_bits() == extreme.hz.to_bits()).unwrap();
        let near: Vec<f64> = (0..hz.len())
            .filter(|&j| (hz[j] / extreme.hz).log2().abs() <= 0.5)
            .map(|j| 10f64.powf(0.1 * pair.level_db[j]))
            .collect();
        let mean_db = 10.0 * (near.iter().sum::<f64>() / near.len() as f64).log10();
        assert!((extreme.prominence_db - (pair.level_db[i] - mean_db)).abs() < 1e-9, "{extreme:?}");
    }
}

/// More modes change little: the answer of a stretch that is solved as part of a longer one, with modes
/// to a higher cut, is the same to a quarter of a decibel on average.
#[test]
fn more_modes_change_little() {
    let more = "[[panel]]\nname = \"p\"\non = \"left\"\ncentre = [2.0, 1.2]\nsize = [1.2, 0.8]\n\
                material = \"skin back\"\n";
    let zeta = [[20.0, 0.0], [4.0, -3.0], [30.0, 0.0], [30.0, 0.0], [40.0, 0.0], [25.0, 0.0]];
    let case = Case {
        size: [5.2, 3.9, 2.5],
        zeta,
        speaker: [1.2, 0.9, 1.1],
        listeners: &[[3.3, 2.4, 1.3]],
        more,
    };
    let low = log_spaced_hz(60.0, 110.0);
    let alone = case.solve(&low).pairs[0].level_db.clone();
    // From 60 Hz a stretch goes to 120 Hz: its cut is that of the highest frequency in it.
    let mut longer = low.clone();
    longer.push(119.0);
    let together = case.solve(&longer).pairs[0].level_db.clone();
    let off: f64 = alone.iter().zip(&together).map(|(a, b)| (a - b).abs()).sum::<f64>();
    assert!(off / (alone.len() as f64) < 0.25, "{}", off / alone.len() as f64);
}

/// A surface that takes energy never makes a resonance ring longer, and none means none.
#[test]
fn absorption_shortens_every_mode() {
    let of = |zeta: f64| {
        let case = Case {
            size: [5.0, 4.0, 2.5],
            zeta: [[zeta, 0.0]; 6],
            speaker: [1.2, 0.9, 1.1],
            listeners: &[[3.3, 2.4, 1.3]],
            more: "",
        };
        case.solve(&[30.0, 100.0]).modes
    };
    let (hard, soft) = (of(60.0), of(20.0));
    for (DampedMode { decay_s: long, .. }, DampedMode { decay_s: short, .. }) in
        hard.iter().zip(&soft)
    {
        assert!(long.unwrap() > short.unwrap());
    }
    // An axial mode along the length between walls of admittance β all round: its damping is
    // c·β·(2·2/L + 2/W + 2/H)/2 in 1/s of amplitude, from D_NN in closed form.
    let beta = 1.0 / 20.0;
    let first = soft.iter().find(|row| row.mode.n == [1, 0, 0]).unwrap();
    let damping = beta * (2.0 * 2.0 / 5.0 + 2.0 / 4.0 + 2.0 / 2.5);
    let exact = 6.0 * 10f64.ln() / (speed() * damping);
    assert!((first.decay_s.unwrap() / exact - 1.0).abs() < 1e-9);
}

#[test]
fn unevenness_is_a_standard_deviation() {
    let hz: Vec<f64> = (0..10).map(|i| 30.0 + 15.0 * f64::from(i)).collect();
    let level: Vec<f64> = (0..10).map(|i| if i % 2 == 0 { 3.0 } else { -3.0 }).collect();
    assert!((unevenness_db(&hz, &level, UNEVENNESS_BAND_HZ).unwrap() - 3.0).abs() < 1e-12);
    let above = unevenness_db(&[250.0, 260.0, 270.0], &[1.0, 2.0, 3.0], UNEVENNESS_BAND_HZ);
    assert_eq!(above, None);
}

/// Two absorbing end walls and hard sides: for each pair of counts across, the closed form of a line with
/// impedances at its ends, summed over all of them. Exact, in three dimensions.
#[test]
fn absorbing_ends_agree_with_the_exact_sum() {
    let ends = [Complex64::new(12.0, -5.0), Complex64::new(25.0, 4.0)];
    let (size, source, receiver) = ([5.2, 3.9, 2.5], [1.2, 0.9, 1.1], [3.3, 2.4, 1.3]);
    let [front, back] = ends.map(|z| [z.re, z.im]);
    let case = Case {
        size,
        zeta: [front, back, RIGID, RIGID, RIGID, RIGID],
        speaker: source,
        listeners: &[receiver],
        more: "",
    };
    let hz: Vec<f64> = (10..67).map(|i| 3.0 * f64::from(i)).collect();
    let found = case.solve(&hz).pairs[0].level_db.clone();
    let off = hz.iter().zip(&found).map(|(&hz, found)| {
        (found - 20.0 * exact(hz, size, ends, source, receiver).norm().log10()).abs()
    });
    let off: Vec<f64> = off.collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    assert!(mean < 0.01, "{mean} dB on average: {off:.2?}");
}

/// `4π Σ Y_b Y_b Z_c Z_c G_bc`, with G from decaying exponentials so that nothing overflows.
fn exact(
    hz: f64,
    [length, width, height]: [f64; 3],
    ends: [Complex64; 2],
    source: [f64; 3],
    receiver: [f64; 3],
) -> Complex64 {
    let k = TAU * hz / speed();
    let mut sum = Complex64::ZERO;
    let shapes = |n: u32, side: f64, a: f64, b: f64| {
        let kn = PI * f64::from(n) / side;
        (if n == 0 { 1.0 } else { 2.0 }) / side * (kn * a).cos() * (kn * b).cos()
    };
    for b in 0..60 {
        for c in 0..60 {
            let across = (PI * f64::from(b) / width).powi(2) + (PI * f64::from(c) / height).powi(2);
            let g = (Complex64::new(across - k * k, 1e-12)).sqrt();
            let admittances = ends.map(|zeta| zeta.inv());
            let line = line(g, k, length, admittances, [source[0], receiver[0]]);
            let y = shapes(b, width, source[1], receiver[1]);
            sum += line * y * shapes(c, height, source[2], receiver[2]);
        }
    }
    4.0 * PI * sum
}

/// Between the frequencies that were asked for a drawing has more, at most a couple of hertz apart; at those
/// frequencies it has the levels of the figures, and the figures are those without it.
#[test]
fn finer_curves_go_through_the_same_levels() {
    let scene = crate::fixtures::parsed(crate::fixtures::ATTIC);
    let state = scene.variant(None).unwrap();
    let request = WaveFieldRequest {
        speakers: scene.speaker_ids().collect(),
        listeners: scene.listener_ids().take(1).collect(),
        hz: log_spaced_hz(60.0, 130.0),
        head_half_m: 0.1,
        curves_to_hz: None,
    };
    let coarse = solve_wave_field(&scene, &state, &request, &()).unwrap();
    let drawn = WaveFieldRequest { curves_to_hz: Some(130.0), ..request.clone() };
    let mut found = solve_wave_field(&scene, &state, &drawn, &()).unwrap();
    let finer = found.curves.take().unwrap();
    assert_eq!(found, coarse);
    assert!(finer.hz.windows(2).all(|pair| 0.0 < pair[1] - pair[0] && pair[1] - pair[0] < 2.5));
    let at = |hz: f64| finer.hz.iter().position(|fine| fine.total_cmp(&hz).is_eq()).unwrap();
    let listener = request.listeners[0];
    let sum = &found.coherent_sums[0];
    let pair = &found.pairs[0];
    for (speakers, level_db, spread_db) in [
        (&[pair.speaker][..], &pair.level_db, &pair.spread_db),
        (&sum.speakers[..], &sum.level_db, &sum.spread_db),
    ] {
        let curve = finer.of_speakers(speakers, listener).unwrap();
        for (i, &hz) in found.hz.iter().enumerate() {
            assert_eq!(
                (curve.level_db[at(hz)], curve.spread_db[at(hz)]),
                (level_db[i], spread_db[i])
            );
        }
    }
}
