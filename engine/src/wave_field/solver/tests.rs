//! The solution against sums of images, against itself with more cosines, and against energy.
#![allow(clippy::unwrap_used, reason = "a test says what went wrong by failing")]

use super::*;
use crate::scene::NoAttachments;
use crate::wave_field::solver::sub_band::SURFACE_TRUNCATION;

/// 5.2 × 3.9 × 2.5 m with an even impedance all round, a patch on the left wall, still air.
fn scene(wall: [f64; 2], patch: [f64; 2]) -> Scene {
    let skin = |name: &str, zeta: [f64; 2]| {
        let all = vec![format!("{zeta:?}"); 8].join(", ");
        format!("[[material]]\nname = \"{name}\"\nimpedance = [{all}]\n")
    };
    let text = format!(
        "[room]\nlength = 5.2\nwidth = 3.9\nheight = 2.5\n[air]\nabsorption = false\n\
         [surfaces]\nfront = \"w\"\nback = \"w\"\nleft = \"w\"\nright = \"w\"\nfloor = \"w\"\n\
         ceiling = \"w\"\n{}{}[[panel]]\nname = \"p\"\non = \"left\"\ncentre = [2.0, 1.2]\n\
         size = [1.2, 0.8]\nmaterial = \"p\"\n[[speaker]]\nname = \"s\"\nat = [1.2, 0.9, 1.1]\n\
         directivity = {{ kind = \"omni\" }}\n[[listener]]\nname = \"l\"\nat = [3.3, 2.4, 1.3]\n",
        skin("w", wall),
        skin("p", patch),
    );
    Scene::parse(&text, &NoAttachments).unwrap().scene
}

const SOURCE: DVec3 = DVec3::new(1.2, 0.9, 1.1);
const EAR: DVec3 = DVec3::new(3.3, 2.4, 1.3);

fn pressure(tone: &FrequencySystem<'_>, stretch: &SubBand, at: DVec3) -> Complex64 {
    let spots = [SOURCE, at].map(|point| stretch.spot(point));
    let rest = stretch.rest(SOURCE, at);
    tone.heard(&spots[..1], &spots[1..], &[rest]).pressure[0][0]
}

/// In a rigid room with a loss along the way that ends the sum, all images together (exact): some
/// 900 000 of them to 240 m.
#[test]
fn a_rigid_room_is_the_sum_of_its_images() {
    let scene = scene([1e9, 0.0], [1e9, 0.0]);
    let variant = scene.variant(None).unwrap();
    for hz in [31.0, 66.0, 104.0, 171.0] {
        let solver = BoundarySolver::new(&scene, &variant, &[hz / 1.18, hz, 1.18 * hz]);
        let real = TAU * hz / solver.air.speed_of_sound_m_s();
        let k = Complex64::new(real, -0.06);
        let tone = solver.tone_of(&solver.stretches[0], hz, k);
        let found = pressure(&tone, &solver.stretches[0], EAR);
        let size = solver.room.size();
        let along = |axis: usize| {
            (-49..50).flat_map(move |n| {
                [1.0, -1.0]
                    .map(|sign| 2.0 * f64::from(n) * size[axis] + sign * SOURCE[axis] - EAR[axis])
            })
        };
        let mut exact = Complex64::ZERO;
        for x in along(0) {
            for y in along(1) {
                for z in along(2) {
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

/// With so many more cosines that their number doubles, hardly anything changes: the mean over the
/// range by less than 0.05 dB, with a strong absorber on a hard wall.
#[test]
fn more_cosines_change_little() {
    let scene = scene([30.0, 0.0], [1.6, -1.2]);
    let variant = scene.variant(None).unwrap();
    let hz: Vec<f64> = (0..18).map(|i| 30.0 + 10.0 * f64::from(i)).collect();
    let solver = BoundarySolver::new(&scene, &variant, &hz);
    let mut off = 0.0;
    for stretch in &solver.stretches {
        let high = TAU * stretch.hz.last().unwrap() / solver.air.speed_of_sound_m_s();
        let cut = 1.5 * (SURFACE_TRUNCATION.0 * high + SURFACE_TRUNCATION.1);
        let low = high * stretch.hz[0] / stretch.hz.last().unwrap();
        let ripples = solver.surfaces.ripples(&solver.room, cut);
        let richer = SubBand::new(&solver.room, ripples, &stretch.hz, [low, high]);
        assert!(2 * stretch.ripples.all.len() < richer.ripples.all.len() + 40);
        for &hz in &stretch.hz {
            let of = |stretch: &SubBand| {
                pressure(&solver.tone(stretch, hz), stretch, EAR).norm().log10()
            };
            off += 20.0 * (of(stretch) - of(&richer)).abs();
        }
    }
    assert!(off / (hz.len() as f64) < 0.05, "{} dB", off / hz.len() as f64);
}

/// Nothing that only absorbs makes a source take energy in: its power is −Im p at its own place, k in
/// the open, and never less than nothing.
#[test]
fn surfaces_that_absorb_give_nothing() {
    for patch in [[0.2, 0.0], [1.0, -3.0], [0.01, 0.5], [1e-3, -8.0], [5.0, 20.0]] {
        let scene = scene([25.0, -10.0], patch);
        let variant = scene.variant(None).unwrap();
        let hz: Vec<f64> = (0..23).map(|i| 20.0 + 8.0 * f64::from(i)).collect();
        let solver = BoundarySolver::new(&scene, &variant, &hz);
        for stretch in &solver.stretches {
            for &hz in &stretch.hz {
                let tone = solver.tone(stretch, hz);
                let own = pressure(&tone, stretch, SOURCE);
                assert!(own.im < 0.0, "{patch:?} at {hz} Hz: {own}");
            }
        }
    }
}

/// Kept and asked anew: the same, to rounding, which grows near resonances of the rigid room.
#[test]
fn what_is_kept_is_what_is_solved() {
    let scene = scene([30.0, 0.0], [1.6, -1.2]);
    let hz: Vec<f64> = (0..12).map(|i| 30.0 + 15.0 * f64::from(i)).collect();
    let solver = BoundarySolver::new(&scene, &scene.variant(None).unwrap(), &hz);
    let points = [SOURCE, DVec3::new(1.2, 3.0, 1.1)];
    let ears = [EAR, DVec3::new(0.4, 0.3, 2.1), DVec3::new(4.0, 2.0, 0.2)];
    let kept = solver.factorize();
    let kept = kept.iter().flat_map(|stretch| stretch.pressure(&points, &ears));
    for (kept, solved) in kept.zip(solver.field(&points, &ears)) {
        for (kept, solved) in kept.iter().flatten().zip(solved.pressure.iter().flatten()) {
            assert!((kept - solved).norm() < 1e-6 * solved.norm(), "{kept} {solved}");
        }
    }
}
