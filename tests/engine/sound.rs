//! What a pair sounds like: responses against the list, the head, the microphones and the meter.

use crate::fixtures::{
    ATTIC, BEDROOM, BoxRoom, FIRST_LISTENER, FIRST_SPEAKER, GARAGE, STUDY, TEACHING_BOX, open_but,
    parsed,
};
use earline_engine::auralization::{
    CEILING_DB, ImpulseResponseSet, PRE_ROLL_S, PairResponses, TARGET_LUFS, auralize, coherence,
    head_shadow, loudness, normalize_loudness, shadow_alpha,
};
use earline_engine::medium::bands::{BAND_COUNT, PerBand, energy_db, exact_hz};
use earline_engine::metrics::hearing::interaural_delay_high_s;
use earline_engine::response::LowFrequencyResponse;
use earline_engine::response::{ArrivalSet, ImpulseResponse, ReceiverGain, SAMPLE_RATE_HZ};
use earline_engine::scene::Scene;
use earline_engine::simulate::{RayRequest, Request, simulate_with};
use earline_engine::wave_field::WaveFieldSolver;
use num_complex::Complex64;
use rustfft::FftPlanner;
use std::f64::consts::{PI, TAU};
use std::fmt::Write;

#[path = "../meter/mod.rs"]
mod meter;

use meter::meter;

const HEAD: [f64; 3] = [3.0, 2.5, 1.4];

/// A room 6 by 5 by 3 m whose named surfaces are mirrors and all others swallow everything, still
/// air, one omnidirectional speaker, and a listener at [`HEAD`] who faces the front wall.
fn room(speaker: [f64; 3], mirrors: &[&str]) -> Scene {
    let room = BoxRoom::new([6.0, 5.0, 3.0], open_but(mirrors)).scattering(0.0);
    room.omni(speaker).listener("l", HEAD).scene()
}

const DEMOS: [&str; 5] = [ATTIC, BEDROOM, GARAGE, STUDY, TEACHING_BOX];

fn heard(scene: &Scene, rays: Option<u64>) -> ImpulseResponseSet {
    let everything = Request::everything(scene);
    let request = match rays {
        Some(rays) => everything.with_rays(RayRequest::fixed(rays)),
        None => everything,
    };
    auralize(scene, &scene.variant(None).unwrap(), &request, &()).unwrap()
}

/// The only pair of [`room`] without rays.
fn alone(speaker: [f64; 3]) -> PairResponses {
    heard(&room(speaker, &[]), None).pairs.remove(0)
}

/// A place 1.5 m from the head, at an azimuth and an elevation in degrees.
fn place(azimuth_deg: f64, elevation_deg: f64) -> [f64; 3] {
    let (azimuth, elevation) = (azimuth_deg.to_radians(), elevation_deg.to_radians());
    let ahead = azimuth.cos() * elevation.cos();
    let left = azimuth.sin() * elevation.cos();
    // Ahead is toward the front wall, x = 0; left toward the left wall, y = 0.
    [HEAD[0] - 1.5 * ahead, HEAD[1] - 1.5 * left, HEAD[2] + 1.5 * elevation.sin()]
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

/// Delay of a response in samples as its phase turns between two frequencies (group delay, weighted
/// with energy).
fn delay_samples(samples: &[f64], from_hz: f64, to_hz: f64) -> f64 {
    let line = spectrum(samples);
    let bin = |hz: f64| (hz / SAMPLE_RATE_HZ * line.len() as f64) as usize;
    let turn: Complex64 = (bin(from_hz)..bin(to_hz)).map(|i| line[i + 1] * line[i].conj()).sum();
    (-turn.arg()).rem_euclid(TAU) / TAU * line.len() as f64
}

/// Phase slope against path length, for direct sounds between samples and for a reflection that is
/// cut out of the response.
#[test]
fn arrivals_stand_at_their_computed_sample() {
    for azimuth_deg in [0.0, 17.0, 90.0, 143.0] {
        let pair = alone(place(azimuth_deg, 10.0));
        let computed = (PRE_ROLL_S + 1.5 / 343.2) * SAMPLE_RATE_HZ;
        assert!((pair.direct_sample - computed).abs() < 0.05, "speed of sound at 20 °C");
        let found = delay_samples(&pair.omni.samples, 200.0, 11_000.0);
        assert!((found - pair.direct_sample).abs() < 0.05, "{found} {}", pair.direct_sample);
    }
    let scene = room([1.0, 2.0, 1.4], &["front", "left"]);
    let sounds = heard(&scene, None);
    let traced = &sounds.simulation.pairs[0];
    assert_eq!(traced.reflections.len(), 3, "front, left, and both");
    for reflection in &traced.reflections {
        let sample = sounds.pairs[0].direct_sample + reflection.delay_s * SAMPLE_RATE_HZ;
        // The next arrival is 80 samples away; what others ring here is below a ten-thousandth.
        let cut: Vec<f64> = sounds.pairs[0]
            .omni
            .samples
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let away = (i as f64 - sample).abs() / 40.0;
                if away < 1.0 { s * (PI / 2.0 * away).cos().powi(2) } else { 0.0 }
            })
            .collect();
        let found = delay_samples(&cut, 2000.0, 11_000.0);
        assert!((found - sample).abs() < 0.05, "{found} for {sample}");
    }
}

/// Every arrival of the demo rooms' lists, alone in a response, has in every octave the energy that
/// the list gives it to 0.1 dB, as far as it lies within 50 dB of the unobstructed direct sound.
#[test]
fn energies_match_the_list() {
    let mut checked = 0;
    for text in DEMOS {
        let scene = parsed(text);
        let state = scene.variant(None).unwrap();
        let plan = Request {
            speakers: vec![FIRST_SPEAKER],
            listeners: vec![FIRST_LISTENER],
            ..Request::everything(&scene)
        };
        {
            let (traced, found) = simulate_with(&scene, &state, &plan, &(), |arrival_set, _| {
                let early = arrival_set.arrivals.iter().filter(|a| a.order() <= 2);
                let of_one = |arrival| {
                    let arrivals = std::slice::from_ref(arrival);
                    let alone = ArrivalSet { arrivals, lead_s: PRE_ROLL_S, ..*arrival_set };
                    let sum = alone.sum(|_| ReceiverGain { delay_s: 0.0, gain: 1.0 });
                    let response = alone.response(&sum);
                    (arrival.band_energy, band_energy(&response.samples))
                };
                early.map(of_one).collect::<Vec<_>>()
            })
            .unwrap();
            let direct = 1.0 / traced.pairs[0].direct.distance_m.powi(2);
            for (listed, heard) in &found[0] {
                for band in (0..BAND_COUNT).filter(|&b| listed[b] > 1e-5 * direct) {
                    let off_db = energy_db(heard[band] / listed[band]);
                    assert!(off_db.abs() < 0.1, "{}, band {band}: {off_db} dB", scene.title());
                    checked += 1;
                }
            }
        }
    }
    assert!(checked > 1000, "{checked}");
}

/// The published interaural delay, 0.656 ms at 90° (Woodworth, r = 8.75 cm, c = 343 m/s, read in
/// several sources), within 10 µs, as the phases of the two ears turn against each other between 10
/// and 18 kHz. Lower down the head's shadow has a delay of its own, as real heads do.
#[test]
fn ears_are_as_far_apart_as_published() {
    let between_s = |pair: &PairResponses| {
        let [left, right] =
            [0, 1].map(|ear| delay_samples(&pair.ears[ear].samples, 10_000.0, 18_000.0));
        (right - left) / SAMPLE_RATE_HZ
    };
    let aside = between_s(&alone(place(90.0, 0.0)));
    assert!((aside - 0.656e-3).abs() < 10e-6, "{aside}");
    for azimuth_deg in [-90.0, -30.0, 0.0, 15.0, 30.0, 45.0, 60.0, 120.0, 180.0] {
        let found = between_s(&alone(place(azimuth_deg, 0.0)));
        let published = interaural_delay_high_s(azimuth_deg, 343.2);
        assert!((found - published).abs() < 10e-6, "{azimuth_deg}: {found} for {published}");
    }
    // Straight above both ears are reached at once.
    assert!(between_s(&alone(place(0.0, 89.0))).abs() < 1e-6);
}

/// Each ear against the formula of the head's shadow, band by band; and the low-frequency delay is longer,
/// as Kuhn 1977 has it (3(r/c) sin θ, read second-hand; the filter comes to 5 % of it).
#[test]
fn ears_are_shadowed_by_the_formula() {
    let pair = alone(place(90.0, 0.0));
    let omni = band_energy(&pair.omni.samples);
    for (ear, incidence) in [(0, 0.0), (1, PI)] {
        let found = band_energy(&pair.ears[ear].samples);
        for band in 0..BAND_COUNT {
            let mid = head_shadow(shadow_alpha(incidence), exact_hz(band), 343.2).norm_sqr();
            let off_db = energy_db(found[band] / omni[band] / mid);
            // The formula at the middle of a band stands for its mean.
            assert!(off_db.abs() < 0.25, "ear {ear}, band {band}: {off_db} dB");
        }
    }
    let [left, right] = [0, 1].map(|ear| delay_samples(&pair.ears[ear].samples, 60.0, 200.0));
    let low_s = (right - left) / SAMPLE_RATE_HZ;
    let kuhn_s = 3.0 * 0.0875 / 343.2;
    assert!((low_s / kuhn_s - 1.0).abs() < 0.15, "{low_s} for {kuhn_s}");
}

/// Directions come back from the four channels: the sums of W·X, W·Y and W·Z point at the arrival; and
/// X² + Y² + Z² = W², as first-order components of SN3D have the peak of W (`AmbiX`, from memory).
#[test]
fn directions_come_back_from_first_order() {
    for (azimuth_deg, elevation_deg) in [(0.0, 0.0), (30.0, 0.0), (-110.0, 20.0), (75.0, -40.0)] {
        let pair = alone(place(azimuth_deg, elevation_deg));
        let [w, y, z, x] = &pair.ambisonic;
        assert_eq!(*w, pair.omni);
        let with = |other: &[f64]| -> f64 {
            w.samples.iter().zip(other).map(|(w, other)| w * other).sum()
        };
        let [x, y, z] = [x, y, z].map(|axis| with(&axis.samples) / with(&w.samples));
        assert!((y.atan2(x).to_degrees() - azimuth_deg).abs() < 0.01, "{azimuth_deg}");
        assert!((z.asin().to_degrees() - elevation_deg).abs() < 0.01, "{elevation_deg}");
        assert!((x * x + y * y + z * z - 1.0).abs() < 1e-6);
    }
}

/// In a room of rough walls nearly all that comes late is scattered. Each figure of eight gets a third
/// of its energy, and the ears are no more alike than the head lets them be.
#[test]
fn late_sound_comes_from_everywhere() {
    let mut scene = "[room]\nlength = 6\nwidth = 5\nheight = 3\n[surfaces]\n".to_owned();
    for name in ["front", "back", "left", "right", "floor", "ceiling"] {
        writeln!(scene, "{name} = \"rough\"").unwrap();
    }
    scene += "[[material]]\nname = \"rough\"\nabsorption = 0.1\nscattering = 0.9\n\
              source = \"test\"\n[[speaker]]\nname = \"s\"\nat = [1, 2, 1.2]\n\
              directivity = { kind = \"omni\" }\n[[listener]]\nname = \"l\"\nat = [4, 3, 1.4]";
    let sounds = heard(&parsed(&scene), Some(20_000));
    let pair = &sounds.pairs[0];
    let late = ((PRE_ROLL_S + 0.15) * SAMPLE_RATE_HZ) as usize;
    let [w, y, z, x] = pair.ambisonic.each_ref().map(|r| band_energy(&r.samples[late..]));
    let [left, right] = pair.ears.each_ref().map(|r| spectrum(&r.samples[late..]));
    for axis in [x, y, z] {
        for band in 3..BAND_COUNT {
            // A draw of noise that dies away in a tenth of a second: 4.3/√(BT) dB of each, three times over.
            let width_hz = exact_hz(band) / 2f64.sqrt();
            let allowed_db = 3.0 * 6.1 / (width_hz * 0.1).sqrt();
            let off_db = energy_db(3.0 * axis[band] / w[band]);
            assert!(off_db.abs() < allowed_db, "band {band}: {off_db} of {allowed_db} dB");
        }
    }
    // Ears die away with the microphone to the last, and nothing comes before the direct sound.
    let energy = |samples: &[f64]| samples.iter().map(|s| s * s).sum::<f64>();
    let end = pair.omni.samples.len() - (0.1 * SAMPLE_RATE_HZ) as usize;
    let before = pair.direct_sample as usize - 100;
    for ear in &pair.ears {
        let off_db = energy_db(energy(&ear.samples[end..]) / energy(&pair.omni.samples[end..]));
        assert!(off_db.abs() < 3.0, "{off_db} dB");
        assert!(energy(&ear.samples[..before]) < 1e-4 * energy(&ear.samples));
    }
    for (from_hz, to_hz) in [(60.0, 140.0), (1000.0, 2000.0), (4000.0, 8000.0)] {
        let bin = |hz: f64| (hz / SAMPLE_RATE_HZ * left.len() as f64) as usize;
        let sum = |value: &dyn Fn(usize) -> f64| (bin(from_hz)..bin(to_hz)).map(value).sum::<f64>();
        let cross = sum(&|i| (left[i] * right[i].conj()).re);
        let own = sum(&|i| left[i].norm_sqr()) * sum(&|i| right[i].norm_sqr());
        let found = cross / own.sqrt();
        let steps = 50;
        let expected: f64 = (0..steps)
            .map(|i| from_hz + (f64::from(i) + 0.5) / f64::from(steps) * (to_hz - from_hz))
            .map(|hz| coherence(hz, 343.2))
            .sum::<f64>()
            / f64::from(steps);
        let allowed = 3.0 / ((to_hz - from_hz) * 0.1).sqrt();
        assert!((found - expected).abs() < allowed, "{from_hz} Hz: {found} for {expected}");
    }
}

/// Below its crossover the microphone has the pressure of the wave field, which is worked out a second
/// time here, and both ears have nearly its level. Without rays there is no crossover.
#[test]
fn the_bottom_is_the_wave_field() {
    // With even speakers: what others do to the bass is checked in `bass_speakers`.
    let is_even = |line: &&str| !line.starts_with("directivity");
    let text: Vec<&str> = DEMOS[0].lines().filter(is_even).collect();
    let scene = parsed(&text.join("\n"));
    let sounds = heard(&scene, Some(4000));
    let crossover_hz = sounds.simulation.crossover_hz.unwrap();
    assert!((120.0..300.0).contains(&crossover_hz), "{crossover_hz}");
    let hz = [55.0, 65.0, 75.0, 85.0, 95.0, 105.0];
    let waves = WaveFieldSolver::new(&scene, &scene.variant(None).unwrap(), &hz).unwrap();
    let pair = &sounds.pairs[0];
    let places = [[scene.speakers()[0].at], [scene.listeners()[0].at]];
    let tones = waves.pressure(&places[0], &places[1]);
    let usual = tones.iter().map(|tone| tone[0][0].norm()).sum::<f64>() / hz.len() as f64;
    let images = heard(&scene, None);
    assert_eq!(images.simulation.crossover_hz, None);
    let at = |response: &ImpulseResponse, hz: f64| {
        let step = Complex64::cis(-TAU * hz / SAMPLE_RATE_HZ);
        let samples = response.samples.iter().rev();
        let pressure = samples.fold(Complex64::ZERO, |sum, sample| sum * step + sample);
        // From emission on.
        pressure * Complex64::cis(TAU * hz * PRE_ROLL_S)
    };
    let deep = LowFrequencyResponse::new(
        &scene,
        &scene.variant(None).unwrap(),
        &[(FIRST_SPEAKER, FIRST_LISTENER)],
        0.1,
        &(),
    )
    .unwrap()
    .unwrap();
    for (hz, tone) in hz.iter().zip(&tones) {
        let [below, above] = deep.crossover_gains(*hz);
        let off = (at(&pair.omni, *hz) - tone[0][0] * below).norm();
        // Images and rays have their own share, and what rings after the end is cut off.
        let allowed = 0.05 * usual + 2.0 * above.norm();
        assert!(allowed < 0.15 * usual && off < allowed, "{hz} Hz: {off} of {usual}, {allowed}");
    }
    // A microphone that hears along an axis gives the slope of the pressure over jk (Euler's equation),
    // here over four times the distance.
    let [ahead, left, up] = scene.listeners()[0].frame();
    for (channel, axis) in [(1, left), (2, up), (3, ahead)] {
        let ends = [0.04, -0.04].map(|way| scene.listeners()[0].at + way * axis);
        for (hz, tone) in hz.iter().zip(waves.pressure(&places[0], &ends)) {
            let k = TAU * hz / scene.air().speed_of_sound_m_s();
            let slope = (tone[0][0] - tone[0][1]) / Complex64::new(0.0, 0.08 * k);
            let [below, above] = deep.crossover_gains(*hz);
            let off = (at(&pair.ambisonic[channel], *hz) - slope * below).norm();
            assert!(
                off < 0.06 * usual + 2.0 * above.norm(),
                "{channel}, {hz} Hz: {off} of {usual}"
            );
        }
    }
    let apart = |(hz, tone): (&f64, &Vec<Vec<Complex64>>)| {
        (at(&images.pairs[0].omni, *hz) - tone[0][0]).norm()
    };
    assert!(hz.iter().zip(&tones).map(apart).fold(0.0, f64::max) > 0.2 * usual);
    let omni = band_energy(&pair.omni.samples)[1];
    for ear in &pair.ears {
        assert!(energy_db(band_energy(&ear.samples)[1] / omni).abs() < 1.0);
    }
}

#[test]
fn any_number_of_threads_gives_the_same() {
    let scene = parsed(DEMOS[1]);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| heard(&scene, Some(2000)).pairs)
    };
    let one = on(1);
    assert!(one == on(3));
    assert!(one.iter().all(|pair| pair.omni.samples.len() == one[0].omni.samples.len()));
}

fn sine(hz: f64, height: f64, seconds: f64) -> Vec<f64> {
    let count = (seconds * SAMPLE_RATE_HZ) as usize;
    (0..count).map(|i| height * (TAU * hz * i as f64 / SAMPLE_RATE_HZ).sin()).collect()
}

/// A sine of 997 Hz at full scale in one channel reads −3.01 LKFS (ITU-R BS.1770-4, from memory), on
/// the meter used and on the one of this file.
#[test]
fn meters_read_the_standard_tone() {
    let tone = sine(997.0, 1.0, 5.0);
    let programme = [tone.clone(), vec![0.0; tone.len()]];
    assert!((meter(&programme) + 3.01).abs() < 0.01, "{}", meter(&programme));
    let read = loudness(&programme).unwrap();
    assert!((read.integrated_lufs + 3.01).abs() < 0.01, "{}", read.integrated_lufs);
    assert!(read.true_peak_db.abs() < 0.1);
    assert_eq!(loudness(&[vec![0.0; 96_000], vec![0.0; 96_000]]), None);
    assert_eq!(loudness(&[vec![0.5; 4800], vec![0.5; 4800]]), None, "shorter than a block");
}

/// Programmes of other loudness and other peaks come out alike to 0.1 LU by the meter of this file,
/// at the target where their peaks let them and else lower together.
#[test]
fn programmes_are_matched() {
    let with_gaps = |height: f64| {
        let mut tone = sine(400.0, height, 4.0);
        tone.extend(sine(400.0, height * 0.01, 4.0));
        [tone.clone(), tone]
    };
    let mut soft = [with_gaps(0.01), [sine(3000.0, 0.9, 8.0), sine(120.0, 0.2, 8.0)]];
    let levelled = normalize_loudness(&mut soft).unwrap();
    for (programme, levelled) in soft.iter().zip(&levelled) {
        assert!((meter(programme) - TARGET_LUFS).abs() < 0.1);
        assert!((levelled.after.integrated_lufs - meter(programme)).abs() < 0.05);
    }
    // A click each second has a crest far above what full scale leaves over the target.
    let mut clicks = vec![0.0; 8 * 48_000];
    for click in clicks.iter_mut().step_by(48_000) {
        *click = 1.0;
    }
    let mut hard = [[clicks.clone(), clicks], with_gaps(0.3)];
    let levelled = normalize_loudness(&mut hard).unwrap();
    assert!((meter(&hard[0]) - meter(&hard[1])).abs() < 0.1);
    let peak_db = levelled.iter().map(|l| l.after.true_peak_db).fold(f64::MIN, f64::max);
    assert!((peak_db - CEILING_DB).abs() < 0.05, "{peak_db}");
    assert!(normalize_loudness(&mut [[vec![0.0; 48_000], vec![0.0; 48_000]]]).is_none());
}
