//! The whole energy-time curve and response: arrivals and rays as one.

use crate::fixtures::{BoxRoom, FIRST_LISTENER, FIRST_SPEAKER};
use earline_engine::image_source::{EnergyPlan, box_energy};
use earline_engine::medium::bands::exact_hz;
use earline_engine::response::{EarlyResponse, EnergyTime, NoiseSeed, SAMPLE_RATE_HZ};
use earline_engine::scene::Scene;
use earline_engine::simulate::defaults::FLOOR_DB;
use earline_engine::simulate::{
    Curve, PairDecay, RayRequest, Request, ResponseRequest, Simulation, simulate,
};

const SIZE: [f64; 3] = [6.0, 4.0, 2.5];

/// Mirror walls, all of one absorption, air without losses.
fn mirror_box(absorption: f64) -> Scene {
    let room = BoxRoom::alike(SIZE, [1.26, 1.24, 1.17], [3.78, 2.28, 1.3], absorption);
    room.scattering(0.0).scene()
}

fn merged(scene: &Scene, rays: u64, seed: u64) -> Simulation {
    let response = ResponseRequest {
        rays: Some(RayRequest { seed, ..RayRequest::fixed(rays) }),
        curve: Curve::Geometrical,
        ..ResponseRequest::early(0.5)
    };
    let request = Request { response: Some(response), ..Request::everything(scene) };
    simulate(scene, &scene.variant(None).unwrap(), &request, &()).unwrap()
}

fn curve_of(simulation: &Simulation) -> &EnergyTime {
    simulation.pairs[0].energy_time().unwrap()
}

fn early_of(simulation: &Simulation) -> &EarlyResponse {
    &simulation.pairs[0].response.as_ref().unwrap().early
}

fn decay_of(simulation: &Simulation) -> &PairDecay {
    &simulation.decay.as_ref().unwrap().pairs[0]
}

/// Energy of a curve between two times after emission, linear and unscaled.
fn between(curve: &EnergyTime, band: usize, from_s: f64, to_s: f64) -> f64 {
    let step = |time_s: f64| (time_s / curve.step_s) as usize;
    let levels = &curve.band_level_db[band][step(from_s)..step(to_s)];
    levels.iter().map(|db| 10f64.powf(db / 10.0)).sum()
}

/// Speaker and listener moved to the other side of a box hear what they heard there: the expected curve is the
/// same but for the error of the rays, and that is a small part of what two draws of noise differ by.
#[test]
fn mirrored_sides_are_expected_alike() {
    let sides = [(1.24, 2.28, 1), (4.0 - 1.24, 4.0 - 2.28, 2)].map(|(speaker, listener, seed)| {
        let room = BoxRoom::alike(SIZE, [1.26, speaker, 1.17], [3.78, listener, 1.3], 0.2);
        merged(&room.scattering(0.3).scene(), 20_000, seed)
    });
    let curves = sides.each_ref().map(curve_of);
    let mean_db = |level_db: fn(&EnergyTime) -> &Vec<f64>| -> f64 {
        let [left, right] = curves.map(|curve| &level_db(curve)[300..900]);
        left.iter().zip(right).map(|(left, right)| (left - right).abs()).sum::<f64>() / 600.0
    };
    let (expected, drawn) = (mean_db(|curve| &curve.expected_db), mean_db(|curve| &curve.level_db));
    assert!(4.0 * expected < drawn, "{expected} {drawn}");
}

/// A mirror box: the curve holds the exact sum over images (Allen and Berkley 1979) while arrivals
/// stand in full, while they fade out and when all is noise, within what a band of that
/// width can hold a level to in that time: 1/√(BT), here for three standard deviations.
#[test]
fn a_mirror_box_keeps_its_energy_from_first_to_last() {
    let room = mirror_box(0.2);
    let merged = merged(&room, 200_000, 1);
    let curve = curve_of(&merged);
    let black = mirror_box(1.0);
    let alone = simulate(&black, &black.variant(None).unwrap(), &Request::everything(&black), &());
    let alone = curve_of(&alone.unwrap()).clone();
    let (s, r) = (room.speakers()[0].at, room.listeners()[0].at);
    let speed = room.air().speed_of_sound_m_s();
    let plan = EnergyPlan::from_absorption([[0.2; 8]; 6], speed, 1e-3, 400);
    let images = box_energy(room.room(), s, r, &plan);
    let direct = 1.0 / s.distance_squared(r);
    let fade = early_of(&merged).window;
    assert!((0.08..0.14).contains(&fade.to_s), "windows below stand about the fade: {fade:?}");
    for (from_ms, to_ms) in [(20, 80), (80, 130), (130, 200), (200, 300)] {
        let exact: f64 = images[from_ms..to_ms].iter().map(|bin| bin[0]).sum();
        let (from_s, to_s) = (from_ms as f64 * 1e-3, to_ms as f64 * 1e-3);
        for band in 2..8 {
            let found = between(curve, band, from_s, to_s) / between(&alone, band, 0.0, 0.07);
            let width_hz = exact_hz(band) / 2f64.sqrt();
            let allowed = 3.0 / (width_hz * (to_s - from_s)).sqrt() + 0.02;
            let off = found / (exact / direct) - 1.0;
            assert!(off.abs() < allowed, "band {band}, {from_ms} ms: {off} of {allowed}");
        }
    }
}

/// Before the first late energy the whole response is that of the arrivals alone, and the noise
/// begins no sooner than the direct sound.
#[test]
fn arrivals_stay_as_they_are() {
    let room = mirror_box(0.2);
    let merged = merged(&room, 4096, 1);
    let early = early_of(&merged);
    let whole = early.with_late(
        &decay_of(&merged).late,
        0.3,
        NoiseSeed::of_pair(1, (FIRST_SPEAKER, FIRST_LISTENER), 0),
    );
    let full = (early.window.from_s * SAMPLE_RATE_HZ) as usize;
    let width = (0.05 * early.window.from_s * SAMPLE_RATE_HZ) as usize;
    // Smoothing carries late energy forward by half a window at most.
    let before = full - width - (0.032 * SAMPLE_RATE_HZ) as usize;
    for (sample, alone) in whole.samples.iter().zip(&early.response.samples).take(before) {
        assert!((sample - alone).abs() < 1e-12);
    }
    assert!(whole.duration_s() >= 0.3);
}

/// A curve goes down to the floor asked for and says how far off it may be; four times the rays
/// halve that.
#[test]
fn a_curve_ends_at_its_floor_and_knows_its_error() {
    let room = mirror_box(0.2);
    let [few, many] = [8_192, 32_768].map(|rays| merged(&room, rays, 1));
    let (curve, decay) = (curve_of(&few), decay_of(&few));
    let left = &decay.curve_db[4];
    let at_end = (curve.complete_s - decay.late.start_s) / decay.bin_s;
    assert!(left[at_end.round() as usize].value < FLOOR_DB + 1.0);
    assert!(left[at_end.round() as usize - 10].value > FLOOR_DB - 5.0);
    let mean_error = |simulation: &Simulation| {
        let error = curve_of(simulation).error.clone().unwrap();
        let late: Vec<f64> = error.level_db[150..350].iter().flatten().copied().collect();
        late.iter().sum::<f64>() / late.len() as f64
    };
    let ratio = mean_error(&few) / mean_error(&many);
    assert!((1.5..2.7).contains(&ratio), "{ratio}");
}

/// The same seed draws the same noise, another seed another.
#[test]
fn noise_belongs_to_its_seed() {
    let room = mirror_box(0.2);
    let levels = |seed| curve_of(&merged(&room, 2048, seed)).level_db.clone();
    assert!(levels(1) == levels(1));
    assert!(levels(1) != levels(2));
}
