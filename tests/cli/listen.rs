//! `earline listen`: the files as a sound editor and a measuring program would find them.

#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small counts"
)]

use super::{contents, earline, scene, stdout};
use hound::{SampleFormat, WavReader, WavSpec, WavWriter};
use serde_json::Value;
use std::collections::BTreeMap;
use std::f64::consts::TAU;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

#[path = "../meter/mod.rs"]
mod meter;

const RATE_HZ: f64 = 48_000.0;

/// A room that swallows everything, and a speaker 1.5 m to the left of the head.
fn dead_room(folder: &Path) -> PathBuf {
    let mut text = "[room]\nlength = 6\nwidth = 5\nheight = 3\n[surfaces]\n".to_owned();
    for name in ["front", "back", "left", "right", "floor", "ceiling"] {
        writeln!(text, "{name} = \"nothing\"").unwrap();
    }
    text += "[[material]]\nname = \"nothing\"\nabsorption = 1.0\nscattering = 0.0\n\
             source = \"test\"\n[[speaker]]\nname = \"s\"\nat = [3, 1, 1.4]\n\
             directivity = { kind = \"omni\" }\n[[listener]]\nname = \"l\"\nat = [3, 2.5, 1.4]\n";
    let path = folder.join("dead.toml");
    std::fs::write(&path, text).unwrap();
    path
}

/// Plucks and hiss, different in every channel.
fn plucks(channels: u16, rate_hz: u32, seconds: f64) -> Vec<f64> {
    let frames = (seconds * f64::from(rate_hz)) as usize;
    let mut hiss = 1u32;
    let frame = |frame: usize| {
        let time_s = frame as f64 / f64::from(rate_hz);
        let fall = (-8.0 * (time_s % 0.5)).exp();
        (0..channels)
            .map(|channel| {
                hiss = hiss.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let noise = f64::from(hiss >> 16) / 65_536.0 - 0.5;
                let tone = (TAU * (220.0 + 110.0 * f64::from(channel)) * time_s).sin();
                0.3 * fall * (tone + noise)
            })
            .collect::<Vec<_>>()
    };
    (0..frames).flat_map(frame).collect()
}

fn written(path: &Path, spec: WavSpec, samples: &[f64]) {
    let mut writer = WavWriter::create(path, spec).unwrap();
    let full = 2f64.powi(i32::from(spec.bits_per_sample) - 1) - 1.0;
    for sample in samples {
        match spec.sample_format {
            SampleFormat::Float => writer.write_sample(*sample as f32).unwrap(),
            SampleFormat::Int => writer.write_sample((sample * full) as i32).unwrap(),
        }
    }
    writer.finalize().unwrap();
}

fn spec(channels: u16, sample_rate: u32, bits_per_sample: u16) -> WavSpec {
    let sample_format = if bits_per_sample == 32 { SampleFormat::Float } else { SampleFormat::Int };
    WavSpec { channels, sample_rate, bits_per_sample, sample_format }
}

/// A recording in a folder.
fn recording(folder: &Path, spec: WavSpec, seconds: f64) -> PathBuf {
    let path = folder.join("dry.wav");
    written(&path, spec, &plucks(spec.channels, spec.sample_rate, seconds));
    path
}

/// The channels of a file that has to be 48 kHz and 32-bit float.
fn read(bytes: &[u8]) -> Vec<Vec<f64>> {
    let reader = WavReader::new(bytes).unwrap();
    let found = reader.spec();
    assert_eq!((found.sample_rate, found.bits_per_sample), (48_000, 32));
    assert_eq!(found.sample_format, SampleFormat::Float);
    let count = usize::from(found.channels);
    let samples: Vec<f64> =
        reader.into_samples::<f32>().map(|sample| f64::from(sample.unwrap())).collect();
    assert!(samples.iter().all(|sample| sample.is_finite()));
    (0..count).map(|c| samples.iter().skip(c).step_by(count).copied().collect()).collect()
}

/// Files and document of a run.
fn run(scene: &Path, args: &[&str]) -> (BTreeMap<String, Vec<u8>>, Value, String) {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let answer = stdout(command.args(["listen", "--out", "o"]).args(args).arg(scene));
    let files = contents(&folder.path().join("o"));
    let document = serde_json::from_slice(&files["listen.json"]).unwrap();
    (files, document, answer)
}

/// Delay as the phase turns from line to line of a range of frequencies: plain sums, which need no
/// library.
fn group_delay_samples(samples: &[f64], from_hz: f64, to_hz: f64) -> f64 {
    // Delays up to 9600 samples are told apart.
    let step_hz = 5.0;
    let line = |hz: f64| {
        let turn = TAU * hz / RATE_HZ;
        samples.iter().enumerate().fold([0.0, 0.0], |[re, im], (i, s)| {
            let (sin, cos) = (turn * i as f64).sin_cos();
            [re + s * cos, im - s * sin]
        })
    };
    let lines = ((to_hz - from_hz) / step_hz) as usize;
    let lines: Vec<[f64; 2]> = (0..=lines).map(|i| line(from_hz + i as f64 * step_hz)).collect();
    let [re, im] = lines.windows(2).fold([0.0, 0.0], |[re, im], two| {
        let ([a, b], [c, d]) = (two[1], two[0]);
        [re + a * c + b * d, im + b * c - a * d]
    });
    (-im.atan2(re)).rem_euclid(TAU) / TAU * RATE_HZ / step_hz
}

/// The direct sound alone: at its sample to 0.05, with the list's energy to 0.1 dB in every band; at
/// the ears 0.656 ms apart to 10 µs (Woodworth at 90°, r = 8.75 cm, c = 343 m/s, read in several
/// sources), by the phases from 10 to 18 kHz, above the delay of the shadow's own filter.
#[test]
fn the_direct_sound_is_where_and_what_it_should_be() {
    let folder = tempfile::tempdir().unwrap();
    let dead = dead_room(folder.path());
    let (files, document, _) = run(&dead, &["--rays", "0"]);
    let omni = &read(&files["ir-s-l.wav"])[0];
    let sample = document["states"][0]["pairs"][0]["direct_sample"].as_f64().unwrap();
    let lead = document["lead_samples"].as_f64().unwrap();
    assert!((sample - lead - 1.5 / 343.2 * RATE_HZ).abs() < 0.05);
    let found = group_delay_samples(omni, 500.0, 11_000.0);
    assert!((found - sample).abs() < 0.05, "{found} for {sample}");

    let mut command = earline(folder.path());
    let traced = stdout(command.args(["trace", "--rays", "0", "--json"]).arg(&dead));
    let traced: Value = serde_json::from_str(&traced).unwrap();
    let listed = &traced["pairs"][0]["direct"]["band_level_db"];
    for band in 0..8 {
        let mid_hz = 1000.0 * 10f64.powf(0.3 * (f64::from(band) - 4.0));
        // Evenly in log frequency over the octave, as band levels are defined.
        let lines = 40;
        let energy: f64 = (0..lines)
            .map(|i| mid_hz * 10f64.powf(0.3 * ((f64::from(i) + 0.5) / f64::from(lines) - 0.5)))
            .map(|hz| {
                let turn = TAU * hz / RATE_HZ;
                let [re, im] = omni.iter().enumerate().fold([0.0, 0.0], |[re, im], (i, s)| {
                    let (sin, cos) = (turn * i as f64).sin_cos();
                    [re + s * cos, im - s * sin]
                });
                re * re + im * im
            })
            .sum::<f64>()
            / f64::from(lines);
        let off_db = 10.0 * energy.log10() - listed[band as usize].as_f64().unwrap();
        assert!(off_db.abs() < 0.1, "band {band}: {off_db} dB");
    }

    let ears = read(&files["ir-s-l-ears.wav"]);
    let [left, right] = [0, 1].map(|ear| group_delay_samples(&ears[ear], 10_000.0, 18_000.0));
    let apart_s = (right - left) / RATE_HZ;
    assert!((apart_s - 0.656e-3).abs() < 10e-6, "{apart_s}");
    // From the left: Y is W, and nothing comes from ahead or above.
    let first_order = read(&files["ir-s-l-ambix.wav"]);
    for i in 0..first_order[0].len() {
        assert!((first_order[0][i] - first_order[1][i]).abs() < 1e-6);
        assert!(first_order[2][i].abs() < 1e-6 && first_order[3][i].abs() < 1e-6);
        assert!((first_order[0][i] - omni[i]).abs() < 1e-9);
    }
}

/// Two states of a recording: every file there and of one kind, named in the document, at one
/// loudness to 0.1 LU by a meter written for these tests, without clipping.
#[test]
fn two_states_are_heard_at_one_loudness() {
    let folder = tempfile::tempdir().unwrap();
    let dry = recording(folder.path(), spec(1, 44_100, 16), 5.0);
    let args = ["--variant", "bare", "--against", "treated", "--dry", dry.to_str().unwrap()];
    let (files, document, answer) =
        run(&scene("attic"), &[&args[..], &["--rays", "2000"]].concat());
    assert_eq!(document["schema"], "earline.listen/1");
    assert!(answer.contains("Start quietly") && answer.contains("44100 Hz"), "{answer}");
    let mut named = vec!["listen.json".to_owned()];
    for (state, length) in document["states"].as_array().unwrap().iter().zip([0, 1]) {
        let length = document["length_samples"][length].as_u64().unwrap();
        for pair in state["pairs"].as_array().unwrap() {
            for (kind, channels) in [("omni", 1), ("ears", 2), ("ambisonic", 4)] {
                let name = pair[kind]["file"].as_str().unwrap();
                let sound = read(&files[name]);
                assert_eq!((sound.len(), sound[0].len() as u64), (channels, length), "{name}");
                let peak = sound.iter().flatten().fold(0.0, |p, s| f64::max(p, s.abs()));
                assert!((peak - pair[kind]["peak"].as_f64().unwrap()).abs() < 2e-5);
                named.push(name.to_owned());
            }
        }
    }
    let heard = document["heard"].as_array().unwrap();
    assert_eq!(heard.len(), 4, "two states at two listeners");
    let mut loudness = Vec::new();
    for row in heard {
        let name = row["file"].as_str().unwrap();
        let sound: [Vec<f64>; 2] = read(&files[name]).try_into().unwrap();
        loudness.push(meter::meter(&sound));
        let peak = sound.iter().flatten().fold(0.0, |p, s| f64::max(p, s.abs()));
        assert!(peak <= 10f64.powf(-1.0 / 20.0), "{name}: {peak}");
        named.push(name.to_owned());
    }
    for lufs in &loudness {
        assert!((lufs - loudness[0]).abs() < 0.1, "{loudness:?}");
    }
    for row in document["in_turns"].as_array().unwrap() {
        let name = row["file"].as_str().unwrap();
        let sound = read(&files[name]);
        let turn_s = row["turn_s"].as_f64().unwrap();
        assert_eq!((row["turns"].as_u64(), turn_s), (Some(4), 1.25));
        assert!(sound[0].len().abs_diff(5 * 48_000) <= 1);
        // In the middle of its first and second turn it is the one and the other state.
        for (turn, state) in ["heard-bare", "heard-treated"].iter().enumerate() {
            let listener = name.strip_prefix("a-then-b").unwrap();
            let of_state = read(&files[&format!("{state}{listener}")]);
            let at = ((turn as f64 + 0.5) * turn_s * RATE_HZ) as usize;
            for ear in [0, 1] {
                assert_eq!(sound[ear][at..at + 9_000], of_state[ear][at..at + 9_000]);
            }
        }
        named.push(name.to_owned());
    }
    named.sort();
    assert!(named.iter().eq(files.keys()), "{named:?}");
}

/// Left goes through the left speaker and right through the right one.
#[test]
fn a_stereo_recording_is_played_by_a_pair() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("left.wav");
    let mono = plucks(1, 48_000, 1.0);
    let left_only: Vec<f64> = mono.iter().flat_map(|s| [*s, 0.0]).collect();
    written(&path, spec(2, 48_000, 24), &left_only);
    let (files, document, answer) = run(
        &scene("garage"),
        &["--rays", "0", "--listener", "chair", "--dry", path.to_str().unwrap()],
    );
    assert_eq!(document["recording"]["played_by"][0], "near left");
    assert_eq!(document["recording"]["played_by"][1], "near right");
    assert!(answer.contains("left by near left, right by near right"), "{answer}");
    let name = document["heard"][0]["file"].as_str().unwrap();
    let sound = read(&files[name]);
    let energy = |ear: usize| sound[ear].iter().map(|s| s * s).sum::<f64>();
    assert!(energy(0) > 1.3 * energy(1), "{} {}", energy(0), energy(1));
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    let folder = tempfile::tempdir().unwrap();
    let dry = recording(folder.path(), spec(2, 48_000, 32), 1.0);
    let on = |threads: &str| {
        let args = ["--rays", "1000", "--dry", dry.to_str().unwrap(), "--threads", threads];
        run(&scene("bedroom"), &args)
    };
    let one = on("1");
    assert!(one == on("3"));
    let json = stdout(earline(folder.path()).arg("listen").arg("--json").args([
        "--rays",
        "1000",
        "--dry",
        dry.to_str().unwrap(),
        scene("bedroom").to_str().unwrap(),
    ]));
    assert_eq!(json.as_bytes(), one.0["listen.json"]);
}

/// Only a minute is played, and that is said.
#[test]
fn a_long_recording_is_cut_and_said_so() {
    let folder = tempfile::tempdir().unwrap();
    let dry = recording(folder.path(), spec(1, 8_000, 16), 61.0);
    let args = ["--rays", "0", "--dry", dry.to_str().unwrap()];
    let (_, document, answer) = run(&dead_room(folder.path()), &args);
    assert_eq!(document["recording"]["whole_s"], 61.0);
    assert_eq!(document["recording"]["played_s"], 60.0);
    assert!(answer.contains("Only its first 60 s of 61 s"), "{answer}");
}

#[test]
fn lines_keep_to_the_width() {
    let folder = tempfile::tempdir().unwrap();
    let dry = recording(folder.path(), spec(1, 48_000, 16), 1.0);
    let mut command = earline(folder.path());
    command.env("COLUMNS", "60").args(["listen", "--rays", "0", "--variant", "bare"]);
    command.args(["--against", "treated", "--dry", "dry.wav"]).arg(scene("attic"));
    let answer = stdout(&mut command);
    assert!(dry.exists() && answer.contains("dry.wav"));
    for line in answer.lines() {
        assert!(line.chars().count() <= 60, "{line}");
    }
}

/// A recording from a program that could not go back to fill in its sizes is the same recording.
#[test]
fn a_streamed_recording_is_played() {
    let folder = tempfile::tempdir().unwrap();
    let dry = recording(folder.path(), spec(1, 48_000, 16), 1.0);
    let dead = dead_room(folder.path());
    let answer = || {
        let mut command = earline(folder.path());
        stdout(command.args(["listen", "--rays", "0", "--json", "--dry", "dry.wav"]).arg(&dead))
    };
    let whole = answer();
    let mut bytes = std::fs::read(&dry).unwrap();
    for size in [4..8, 40..44] {
        bytes[size].fill(0xff);
    }
    std::fs::write(&dry, bytes).unwrap();
    assert_eq!(answer(), whole);
}

/// Every recording that cannot be played: exit 2, one message with a remedy, nothing written.
#[test]
fn recordings_that_cannot_be_played_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let name = |name: &str| folder.path().join(name);
    std::fs::write(name("text.wav"), "this is not sound").unwrap();
    std::fs::write(name("nothing.wav"), "").unwrap();
    std::fs::create_dir(name("folder.wav")).unwrap();
    written(&name("empty.wav"), spec(1, 48_000, 16), &[]);
    written(&name("three.wav"), spec(3, 48_000, 16), &plucks(3, 48_000, 0.5));
    written(&name("silent.wav"), spec(1, 48_000, 16), &vec![0.0; 48_000]);
    written(&name("slow.wav"), spec(1, 4_000, 16), &plucks(1, 4_000, 1.0));
    let mut holed = plucks(1, 48_000, 1.0);
    holed[1000] = f64::NAN;
    written(&name("holed.wav"), spec(1, 48_000, 32), &holed);
    written(&name("tick.wav"), spec(1, 48_000, 16), &plucks(1, 48_000, 0.01));
    written(&name("faint.wav"), spec(1, 48_000, 32), &vec![2e-5; 48_000]);
    written(&name("cut.wav"), spec(1, 48_000, 16), &plucks(1, 48_000, 1.0));
    let whole = std::fs::read(name("cut.wav")).unwrap();
    std::fs::write(name("cut.wav"), &whole[..whole.len() / 2]).unwrap();
    written(&name("stereo.wav"), spec(2, 48_000, 16), &plucks(2, 48_000, 1.0));
    let dead = dead_room(folder.path());
    let before = std::fs::read_dir(folder.path()).unwrap().count();
    for (file, says) in [
        ("missing.wav", "is not there"),
        ("text.wav", "is not a WAV file"),
        ("nothing.wav", "is empty"),
        ("folder.wav", "is a folder"),
        ("empty.wav", "holds no sound"),
        ("three.wav", "has 3 channels"),
        ("silent.wav", "is silent"),
        ("slow.wav", "4000 samples a second"),
        ("holed.wav", "has a sample that is not a number, 0.021 s in"),
        ("faint.wav", "too soft"),
        ("cut.wav", "ends after 0.50 s of the 1.00 s"),
        ("stereo.wav", "no left and right speaker"),
    ] {
        let mut command = earline(folder.path());
        command.args(["listen", "--rays", "0", "--dry", file]).arg(&dead);
        let output = command.assert().code(2);
        let message = String::from_utf8(output.get_output().stderr.clone()).unwrap();
        assert!(message.contains(says) && message.contains("help:"), "{file}: {message}");
        assert_eq!(message.matches("error:").count(), 1, "{message}");
        assert!(output.get_output().stdout.is_empty());
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), before);
    // However short, what is loud enough is played.
    let mut command = earline(folder.path());
    stdout(command.args(["listen", "--rays", "0", "--json", "--dry", "tick.wav"]).arg(&dead));
}

#[test]
fn wrong_wishes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in [
        &["--variant", "bare", "--against", "bare"][..],
        &["--against", "nobody"],
        &["--listener", "nobody"],
        &["--json", "--out", "x"],
        &["--dry"],
    ] {
        let mut command = earline(folder.path());
        let output = command.arg("listen").arg(scene("attic")).args(args).assert().code(2);
        assert!(output.get_output().stdout.is_empty());
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
