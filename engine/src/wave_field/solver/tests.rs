//! Solution against sums of image sources, against itself with a larger basis, and against energy.
#![allow(clippy::unwrap_used, reason = "a test says what went wrong by failing")]

use super::sub_band::SURFACE_TRUNCATION;
use super::*;
use crate::scene::NoAttachments;

/// Room of 5.2 × 3.9 × 2.5 m with one impedance on all surfaces, a panel on the left wall and air
/// without absorption.
fn scene(wall: [f64; 2], patch: [f64; 2]) -> Scene {
    scene_with(wall, patch, "")
}

/// A sofa for [`scene_with`].
const SOFA: &str = "[[furniture]]\nname = \"sofa\"\ncorner = [3.9, 1.0, 0.0]\nsize = [0.9, 1.8, 0.5]\n\
                    material = \"p\"\n";

fn scene_with(wall: [f64; 2], patch: [f64; 2], more: &str) -> Scene {
    let material = |name: &str, zeta: [f64; 2]| {
        let all = vec![format!("{zeta:?}"); 8].join(", ");
        format!("[[material]]\nname = \"{name}\"\nimpedance = [{all}]\n")
    };
    let text = format!(
        "[room]\nlength = 5.2\nwidth = 3.9\nheight = 2.5\n[air]\nabsorption = false\n\
         [surfaces]\nfront = \"w\"\nback = \"w\"\nleft = \"w\"\nright = \"w\"\nfloor = \"w\"\n\
         ceiling = \"w\"\n{}{}[[panel]]\nname = \"p\"\non = \"left\"\ncentre = [2.0, 1.2]\n\
         size = [1.2, 0.8]\nmaterial = \"p\"\n[[speaker]]\nname = \"s\"\nat = [1.2, 0.9, 1.1]\n\
         directivity = {{ kind = \"omni\" }}\n[[listener]]\nname = \"l\"\nat = [3.3, 2.4, 1.3]\n{more}",
        material("w", wall),
        material("p", patch),
    );
    Scene::parse(&text, &NoAttachments).unwrap().scene
}

const SOURCE: DVec3 = DVec3::new(1.2, 0.9, 1.1);
const RECEIVER: DVec3 = DVec3::new(3.3, 2.4, 1.3);

/// Pressure of the source at a point.
fn pressure(system: &FrequencySystem<'_>, sub_band: &SubBand, at: DVec3) -> Complex64 {
    let points = [SOURCE, at].map(|point| sub_band.basis_at(point));
    let remainders = sub_band.remainders(&[SOURCE], &[at]);
    let mut field = FieldAtReceivers::with_capacity(1, 1, sub_band.modes.len());
    let points = Points { sources: &points[..1], receivers: &points[1..], layers: None };
    system.field(&points, &remainders, &mut field);
    field.pressure[0][0]
}

/// A rigid room with a loss on the way that ends the sum is the sum of all image sources (exact); some
/// 900 000 of them lie within 240 m.
#[test]
fn a_rigid_room_is_the_sum_of_its_images() {
    let scene = scene([1e9, 0.0], [1e9, 0.0]);
    let variant = scene.variant(None).unwrap();
    for hz in [31.0, 66.0, 104.0, 171.0] {
        let solver = WaveFieldSolver::new(&scene, &variant, &[hz]).unwrap();
        let real = TAU * hz / solver.air.speed_of_sound_m_s();
        let k = Complex64::new(real, -0.06);
        let sub_band = &solver.sub_bands[0];
        let system = FrequencySystem::new(&solver.room, &solver.boundary, sub_band, hz, k);
        let found = pressure(&system, sub_band, RECEIVER);
        let size = solver.room.size();
        let offsets_m = |axis: usize| {
            (-49..50).flat_map(move |n| {
                [1.0, -1.0].map(|sign| {
                    2.0 * f64::from(n) * size[axis] + sign * SOURCE[axis] - RECEIVER[axis]
                })
            })
        };
        let mut exact = Complex64::ZERO;
        for x in offsets_m(0) {
            for y in offsets_m(1) {
                for z in offsets_m(2) {
                    let metres = DVec3::new(x, y, z).length();
                    if metres < 240.0 {
                        exact += (-Complex64::I * k * metres).exp() / metres;
                    }
                }
            }
        }
        assert!((found - exact).norm() < 1e-3 * exact.norm(), "{hz} Hz: {found} {exact}");
    }
}

/// Whatever else is asked for, the field at a frequency is the same to the last bit.
#[test]
fn a_frequency_is_solved_alike_alone_and_among_others() {
    let scene = scene([30.0, 0.0], [1.6, -1.2]);
    let variant = scene.variant(None).unwrap();
    let of = |hz: &[f64]| {
        let solver = WaveFieldSolver::new(&scene, &variant, hz).unwrap();
        solver.pressure(&[SOURCE], &[RECEIVER])
    };
    let many = [31.0, 44.0, 60.0, 61.5, 63.0, 71.0, 120.0];
    let together = of(&many);
    for (hz, pressure) in many.into_iter().zip(together) {
        assert_eq!(of(&[hz]), [pressure], "{hz}");
    }
}

/// Convergence: with twice as many basis functions the level changes by less than 0.05 dB on average,
/// with a strong absorber on a hard wall.
#[test]
fn more_cosines_change_little() {
    let scene = scene([30.0, 0.0], [1.6, -1.2]);
    let variant = scene.variant(None).unwrap();
    let hz: Vec<f64> = (0..18).map(|i| 30.0 + 10.0 * f64::from(i)).collect();
    let solver = WaveFieldSolver::new(&scene, &variant, &hz).unwrap();
    let mut change_db = 0.0;
    for sub_band in &solver.sub_bands {
        let highest = sub_band.edges_per_m[1];
        let truncation = 1.5 * (SURFACE_TRUNCATION.0 * highest + SURFACE_TRUNCATION.1);
        let basis = solver.boundary.surface_basis(&solver.room, truncation);
        let richer = SubBand::new(&solver.room, basis, &sub_band.hz, sub_band.edges_per_m);
        assert!(2 * sub_band.basis.functions.len() < richer.basis.functions.len() + 40);
        for &hz in &sub_band.hz {
            let magnitude = |sub_band: &SubBand| {
                pressure(&solver.system(sub_band, hz), sub_band, RECEIVER).norm().log10()
            };
            change_db += 20.0 * (magnitude(sub_band) - magnitude(&richer)).abs();
        }
    }
    let mean_db = change_db / hz.len() as f64;
    assert!(mean_db < 0.05, "{mean_db} dB");
}

/// Passive surfaces never feed energy to a source: its power is −Im p at its own place, k in a free
/// field, and never negative.
#[test]
fn surfaces_that_absorb_give_nothing() {
    for patch in [[0.2, 0.0], [1.0, -3.0], [0.01, 0.5], [1e-3, -8.0], [5.0, 20.0]] {
        let scene = scene([25.0, -10.0], patch);
        let variant = scene.variant(None).unwrap();
        let hz: Vec<f64> = (0..23).map(|i| 20.0 + 8.0 * f64::from(i)).collect();
        let solver = WaveFieldSolver::new(&scene, &variant, &hz).unwrap();
        for sub_band in &solver.sub_bands {
            for &hz in &sub_band.hz {
                let own = pressure(&solver.system(sub_band, hz), sub_band, SOURCE);
                assert!(own.im < 0.0, "{patch:?} at {hz} Hz: {own}");
            }
        }
    }
}

/// The factorized solver agrees to rounding, which grows near resonances of the rigid room.
#[test]
fn the_factorized_solver_agrees() {
    for more in ["", SOFA] {
        the_factorized_solver_agrees_with(more);
    }
}

fn the_factorized_solver_agrees_with(more: &str) {
    let scene = scene_with([30.0, 0.0], [1.6, -1.2], more);
    let hz: Vec<f64> = (0..12).map(|i| 30.0 + 15.0 * f64::from(i)).collect();
    let solver = WaveFieldSolver::new(&scene, &scene.variant(None).unwrap(), &hz).unwrap();
    let sources = [SOURCE, DVec3::new(1.2, 3.0, 1.1)];
    let receivers = [RECEIVER, DVec3::new(0.4, 0.3, 2.1), DVec3::new(4.0, 2.0, 0.2)];
    let factorized = solver.factorize().unwrap().pressure(&sources, &receivers);
    for (one, other) in factorized.iter().zip(solver.pressure(&sources, &receivers)) {
        for (one, other) in one.iter().flatten().zip(other.iter().flatten()) {
            assert!((one - other).norm() < 1e-6 * other.norm(), "{one} {other}");
        }
    }
}

/// Work that nobody waits for is refused before it begins, and told with its time.
#[test]
fn work_is_predicted_and_can_be_declined() {
    struct Declining;
    impl Progress for Declining {
        fn begin(&self, _: Stage, _: Option<u64>) {
            panic!("begun though it was declined");
        }
        fn accepts(&self, predicted_s: f64) -> bool {
            predicted_s <= 0.0
        }
    }
    let scene = scene([30.0, 0.0], [1.6, -1.2]);
    let variant = scene.variant(None).unwrap();
    let of = |hz: &[f64]| WaveFieldSolver::new(&scene, &variant, hz).unwrap();
    let [low, high] = [of(&[40.0]), of(&[200.0])];
    assert!(matches!(high.announced(&Declining), Err(WaveFieldError::TooLong { .. })));
    // Unknowns grow as the square of the frequency or faster, work as their cube.
    assert!(30.0 * low.predicted_s() < high.predicted_s());
    let both = of(&[40.0, 200.0]).predicted_s();
    assert!((both / (low.predicted_s() + high.predicted_s()) - 1.0).abs() < 1e-12);
}

/// However many processors there are, the systems in memory keep to its bound.
#[test]
fn systems_in_memory_are_bounded() {
    let scene = scene([30.0, 0.0], [1.6, -1.2]);
    let variant = scene.variant(None).unwrap();
    let solver = WaveFieldSolver::unlimited(&scene, &variant, &[60.0, 490.0]);
    for sub_band in &solver.sub_bands {
        let bytes = 4 * 16 * sub_band.unknowns().pow(2) * sub_band.systems_at_a_time();
        assert!((64..=crate::wave_field::limits::MAX_BYTES).contains(&bytes));
    }
}

/// Receivers on a plane, which share their sums line by line, have what each of them has alone: beside the source,
/// above it, and farther away along each axis.
#[test]
fn receivers_that_share_sums_have_their_own_remainder() {
    let scene = scene([20.0, -5.0], [3.0, 1.0]);
    let solver = WaveFieldSolver::new(&scene, &scene.variant(None).unwrap(), &[60.0]).unwrap();
    let sub_band = &solver.sub_bands[0];
    let plan = |x: f64| [0.3, 0.9, 1.0, 2.2, 3.6].map(|y| DVec3::new(x, y, 1.3));
    let section = |x: f64| [0.2, 1.1, 2.3].map(|z| DVec3::new(x, 2.0, z));
    for places in
        [[0.2, 1.1, 1.3, 2.4, 4.9].map(plan).concat(), [0.2, 1.2, 4.9].map(section).concat()]
    {
        let weights = sub_band.range().weights(Complex64::new(1.1, -1e-3));
        let shared = sub_band.remainders(&[SOURCE], &places);
        assert_eq!(shared.len(), places.len());
        for (shared, place) in shared.iter().zip(places) {
            let alone = sub_band.remainders(&[SOURCE], &[place])[0].at(&weights);
            assert!((shared.at(&weights) - alone).norm() < 1e-11 * (1.0 + alone.norm()), "{place}");
        }
    }
}
