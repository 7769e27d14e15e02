//! What a pair sounds like: responses against the list, the head and the microphones.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by failing")]
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small counts"
)]

use earline_engine::bands::{BAND_COUNT, PerBand, energy_db, exact_hz};
use earline_engine::rays::RayCount;
use earline_engine::response::{Heard, SAMPLE_RATE_HZ, Strands};
use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::sound::{
    PairSound, SoundPlan, Sounds, Stereo, alternate, hear, level, loudness,
};
use earline_engine::trace::{Plan, trace_and};
use num_complex::Complex64;
use rustfft::FftPlanner;
use std::fmt::Write;

fn parsed(text: &str) -> Scene {
    Scene::parse(text, &NoAttachments).unwrap_or_else(|e| panic!("{e:?}\n{text}")).scene
}

fn demo(name: &str) -> Scene {
    let path = format!("{}/../scenes/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    parsed(&std::fs::read_to_string(path).unwrap())
}

fn spectrum(samples: &[f64]) -> Vec<Complex64> {
    let mut line: Vec<Complex64> = samples.iter().map(|&s| s.into()).collect();
    line.resize(samples.len().next_power_of_two() * 2, Complex64::ZERO);
    FftPlanner::new().plan_fft_forward(line.len()).process(&mut line);
    line
}

/// Mean energy of a response in every octave, evenly in log frequency, as band levels are defined.
fn band_energy(samples: &[f64]) -> PerBand<f64> {
    let line = spectrum(samples);
    let hz = |i: usize| i as f64 * SAMPLE_RATE_HZ / line.len() as f64;
    std::array::from_fn(|band| {
        let half = 10f64.powf(0.15);
        let inside = (1..line.len() / 2)
            .filter(|&i| exact_hz(band) / half <= hz(i) && hz(i) < exact_hz(band) * half);
        let (mut sum, mut weights) = (0.0, 0.0);
        for i in inside {
            sum += line[i].norm_sqr() / hz(i);
            weights += 1.0 / hz(i);
        }
        sum / weights
    })
}

/// Every arrival of a real room's list, alone in a response, has the energy that the list gives it.
#[test]
fn energies_match_the_list() {
    for name in ["attic", "bedroom", "garage", "study", "teaching-box"] {
        let scene = demo(name);
        let state = scene.state(None).unwrap();
        let plan = Plan { speakers: vec![0], listeners: vec![0], ..Plan::everything(&scene) };
        let (_, found) = trace_and(&scene, &state, &plan, |strands, _| {
            let early = strands.arrivals.iter().filter(|a| a.order() <= 2);
            early
                .map(|arrival| {
                    let alone = Strands { arrivals: std::slice::from_ref(arrival), ..*strands };
                    let sum = alone.sum(|_| Heard { later_s: 0.0, weight: 1.0 });
                    (
                        arrival.order(),
                        arrival.band_energy,
                        band_energy(&alone.response(&sum).samples),
                    )
                })
                .collect::<Vec<_>>()
        })
        .unwrap();
        let mut worst = [0.0f64; BAND_COUNT];
        for (order, listed, heard) in &found[0] {
            for band in 0..BAND_COUNT {
                let off = energy_db(heard[band] / listed[band]);
                if off.abs() > 0.3 {
                    println!("{order} {band} {off} {}", energy_db(listed[band]));
                }
                worst[band] = worst[band].max(off.abs());
            }
        }
        println!("{name} {worst:?} {}", found[0].len());
    }
}
