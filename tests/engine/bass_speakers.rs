//! Speakers in the wave field: what their directivity does to the bass.

use crate::fixtures::impedance_room::{Case, speed};
use crate::fixtures::{FIRST_LISTENER, FIRST_SPEAKER};
use earline_engine::medium::directivity::sphere::{SphereSource, legendre};
use earline_engine::medium::directivity::{AxialMultipoles, Cabinet, Directivity};
use earline_engine::scene::{NoAttachments, Scene, Speaker};
use earline_engine::wave_field::{WaveFieldRequest, WaveFieldSolver, solve_wave_field};
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;

const HZ: [f64; 6] = [31.0, 48.0, 67.0, 92.0, 131.0, 176.0];
const SPEAKER: [f64; 3] = [1.6, 1.1, 1.2];
const LISTENER: [f64; 3] = [3.3, 2.4, 1.3];

/// An uneven room, and the same with a directivity in place of that of the even speaker.
fn rooms(directivity: &str) -> [Scene; 2] {
    let case = Case {
        size: [5.2, 3.9, 2.5],
        zeta: [[12.0, -3.0], [8.0, 0.0], [14.0, 0.0], [14.0, 0.0], [20.0, 0.0], [10.0, -4.0]],
        speaker: SPEAKER,
        listeners: &[LISTENER],
        more: "",
    };
    let even = case.text();
    let directional = even.replace("kind = \"omni\"", directivity);
    assert_ne!(even, directional);
    [even, directional].map(|text| Scene::parse(&text, &NoAttachments).unwrap().scene)
}

fn pressure(scene: &Scene) -> Vec<Complex64> {
    let request = WaveFieldRequest {
        speakers: vec![FIRST_SPEAKER],
        listeners: vec![FIRST_LISTENER],
        hz: HZ.to_vec(),
        head_half_m: 0.0,
        curves_to_hz: None,
    };
    let field = solve_wave_field(scene, &scene.variant(None).unwrap(), &request, &()).unwrap();
    field.pairs[0].pressure.clone()
}

/// By reciprocity a dipole at the speaker is heard at a point as a gradient microphone at the speaker hears that
/// point (Morse and Ingard, Theoretical Acoustics, from memory): a cardioid is half the pressure and half of its
/// slope along the axis over jk.
#[test]
fn a_cardioid_is_half_pressure_and_half_slope() {
    let [even, cardioid] = rooms("kind = \"cardioid\"");
    let axis = cardioid.speakers()[0].axis;
    let at = DVec3::from(SPEAKER);
    let solver = WaveFieldSolver::new(&even, &even.variant(None).unwrap(), &HZ).unwrap();
    let step_m = 0.03;
    let places = [at, at + step_m * axis, at - step_m * axis];
    let heard = solver.pressure(&[DVec3::from(LISTENER)], &places);
    let usual = heard.iter().map(|bin| bin[0][0].norm()).sum::<f64>() / HZ.len() as f64;
    let mut differs = false;
    for ((hz, bin), found) in HZ.iter().zip(&heard).zip(pressure(&cardioid)) {
        let k = TAU * hz / speed();
        let slope = (bin[0][1] - bin[0][2]) / Complex64::new(0.0, 2.0 * step_m * k);
        let wanted = 0.5 * (bin[0][0] + slope);
        assert!((found - wanted).norm() < 0.01 * usual, "{hz} Hz: {found} {wanted}");
        differs |= (found - bin[0][0]).norm() > 0.2 * usual;
    }
    assert!(differs);
}

/// The same to second order for a large cabinet, whose small differences ask most of the solution: the listener
/// is heard at three places about the acoustic centre, twice as far apart as the points that stand for the speaker.
#[test]
fn a_cabinet_is_heard_as_its_multipoles_hear() {
    let [even, boxed] = rooms(
        "kind = \"piston\", diameter = \"250 mm\", cabinet = [\"560 mm\", \"330 mm\", \"360 mm\"]",
    );
    let Speaker { at, axis, directivity, .. } = &boxed.speakers()[0];
    let centre = *at - directivity.acoustic_centre().behind_m * *axis;
    let solver = WaveFieldSolver::new(&even, &even.variant(None).unwrap(), &HZ).unwrap();
    let step_m = 0.06;
    let places = [centre, centre + step_m * *axis, centre - step_m * *axis];
    let heard = solver.pressure(&[DVec3::from(LISTENER)], &places);
    let usual = heard.iter().map(|bin| bin[0][0].norm()).sum::<f64>() / HZ.len() as f64;
    for ((hz, bin), found) in HZ.iter().zip(&heard).zip(pressure(&boxed)) {
        let [middle, ahead, behind] = [bin[0][0], bin[0][1], bin[0][2]];
        let step = TAU * hz / speed() * step_m;
        let slope = (ahead - behind) / Complex64::new(0.0, 2.0 * step);
        let bend = (2.0 * middle - ahead - behind) / (step * step);
        let AxialMultipoles { monopole, dipole, quadrupole } =
            directivity.axial_multipoles(*hz, speed());
        // P2(cos) = (3 cos^2 - 1)/2, and the bend is cos^2 of the sound.
        let wanted = monopole * middle + dipole * slope + quadrupole * (1.5 * bend - 0.5 * middle);
        assert!((found - wanted).norm() < 0.02 * usual, "{hz} Hz: {found} {wanted}");
    }
}

/// A small cabinet is even at the bottom of the bass and turns forward above.
#[test]
fn a_cabinet_is_even_where_it_is_small() {
    let [even, boxed] = rooms(
        "kind = \"piston\", diameter = \"160 mm\", cabinet = [\"340 mm\", \"220 mm\", \"270 mm\"]",
    );
    let level_db = |p: Complex64| 20.0 * p.norm().log10();
    let off_db: Vec<f64> =
        pressure(&even).iter().zip(pressure(&boxed)).map(|(a, b)| level_db(b / a).abs()).collect();
    // The cabinet radiates from its middle, 15 cm behind its front: that alone moves every dip a little.
    assert!(off_db[0] < 1.0, "{off_db:?}");
    assert!(off_db[3..].iter().any(|db| *db > 0.5), "{off_db:?}");
}

/// Three terms of the series are nearly all of it below 200 Hz.
#[test]
fn multipoles_are_nearly_the_whole_sphere() {
    let cabinet = Cabinet { height_m: 0.34, width_m: 0.22, depth_m: 0.27 };
    let directivity = Directivity::Piston { diameter_m: 0.16, cabinet };
    let radius_m = directivity.acoustic_centre().behind_m;
    for (hz, allowed) in [(30.0, 0.001), (100.0, 0.01), (200.0, 0.05)] {
        let AxialMultipoles { monopole, dipole, quadrupole } =
            directivity.axial_multipoles(hz, 343.2);
        let ka = TAU * hz / 343.2 * radius_m;
        let sphere = SphereSource::new(ka);
        let mut polynomials = vec![0.0; sphere.len()];
        for angle in [0.0, 60.0, 120.0, 180.0f64] {
            let cos = angle.to_radians().cos();
            legendre(cos, &mut polynomials);
            // The sphere's phase is that of its source, a radius nearer along the axis.
            let whole = sphere.pressure(cos, &polynomials) * Complex64::cis(ka * cos);
            let three = monopole + dipole * cos + quadrupole * polynomials[2];
            assert!((three - whole).norm() < allowed, "{hz} Hz, {angle}: {three} {whole}");
        }
    }
}
