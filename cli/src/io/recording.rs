//! A user's own recording: read with care, brought to 48 kHz, refused in one clear message.

use crate::format::foreign;
use crate::io::exit::Failure;
use anyhow::{Context, anyhow};
use hound::{SampleFormat, WavReader, WavSpec};
use rubato::audioadapter_buffers::direct::SequentialSliceOfVecs;
use rubato::{Fft, FixedSync, Resampler};
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

/// No more of a recording is played, seconds.
pub(crate) const MOST_S: f64 = 60.0;

/// Sampling rates that are read, hertz.
const RATES_HZ: std::ops::RangeInclusive<u32> = 8_000..=192_000;

/// What everything is played at, hertz.
const PLAYED_HZ: u32 = 48_000;

/// Frames resampled at a time: long, for a steep edge.
const CHUNK: usize = 4096;

/// Below this a recording holds nothing to hear: 100 dB under full scale.
const SILENCE: f64 = 1e-5;

/// A recording as it is played.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Recording {
    /// The path as it was given.
    pub(crate) name: String,
    /// Its own sampling rate, hertz.
    pub(crate) rate_hz: u32,
    /// How long the file is, seconds.
    pub(crate) whole_s: f64,
    /// One channel or two, at 48 kHz, no longer than [`MOST_S`].
    pub(crate) channels: Vec<Vec<f64>>,
}

impl Recording {
    /// How much of it is played, seconds.
    pub(crate) fn played_s(&self) -> f64 {
        self.channels.first().map_or(0.0, |channel| channel.len() as f64 / f64::from(PLAYED_HZ))
    }
}

/// Reads the beginning of a WAV file.
///
/// # Errors
/// When the file is not there, is no WAV file or one of an unusual kind, or holds nothing to play.
pub(crate) fn read(path: &Path) -> Result<Recording, Failure> {
    let name = foreign::path(path);
    let gone = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => Failure::usage(
            &format!("`{name}` is not there"),
            "check the spelling and the folder of --dry",
        ),
        _ => cannot_read(&name, &error.to_string()),
    };
    // Looked at before it is opened: a pipe would wait for a writer.
    let about = std::fs::metadata(path).map_err(gone)?;
    if !about.is_file() {
        let kind = if about.is_dir() { "a folder" } else { "a pipe or a device" };
        return Err(Failure::usage(
            &format!("`{name}` is {kind}, not a file"),
            "name a WAV file with --dry",
        ));
    }
    let file = File::open(path).map_err(gone)?;
    let reader = WavReader::new(BufReader::new(file)).map_err(|error| unreadable(&name, &error))?;
    let spec = reader.spec();
    check(&name, spec, reader.duration())?;
    let whole_s = f64::from(reader.duration()) / f64::from(spec.sample_rate);
    let channels = frames(reader).map_err(|error| unreadable(&name, &error))?;
    if channels.iter().flatten().any(|sample| !sample.is_finite()) {
        return Err(Failure::usage(
            &format!("`{name}` has samples that are not numbers"),
            "export it again from where it was made",
        ));
    }
    if channels.iter().flatten().all(|sample| sample.abs() < SILENCE) {
        return Err(Failure::usage(
            &format!("`{name}` is silent in its first {MOST_S:.0} s"),
            "give a recording that begins with sound",
        ));
    }
    let channels = at_played_rate(channels, spec.sample_rate)
        .with_context(|| format!("cannot bring `{name}` to 48 kHz"))?;
    Ok(Recording { name, rate_hz: spec.sample_rate, whole_s, channels })
}

/// What can be told before any sample is read.
fn check(name: &str, spec: WavSpec, frames: u32) -> Result<(), Failure> {
    if spec.channels > 2 {
        return Err(Failure::usage(
            &format!("`{name}` has {} channels", spec.channels),
            "give a mono recording, or a stereo one for a pair of speakers",
        ));
    }
    if !RATES_HZ.contains(&spec.sample_rate) {
        return Err(Failure::usage(
            &format!("`{name}` has {} samples a second", spec.sample_rate),
            "8000 to 192000 can be read; 48000 is best",
        ));
    }
    if frames == 0 {
        return Err(Failure::usage(
            &format!("`{name}` holds no sound"),
            "give a recording that is longer than nothing",
        ));
    }
    Ok(())
}

/// The first [`MOST_S`] of every channel; full scale is 1.
fn frames<R: Read>(reader: WavReader<R>) -> hound::Result<Vec<Vec<f64>>> {
    let spec = reader.spec();
    let channels = usize::from(spec.channels);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a minute of samples"
    )]
    let most = (MOST_S * f64::from(spec.sample_rate)) as usize * channels;
    let samples: hound::Result<Vec<f64>> = match spec.sample_format {
        SampleFormat::Float => {
            reader.into_samples::<f32>().take(most).map(|s| s.map(f64::from)).collect()
        }
        SampleFormat::Int => {
            let full = 2f64.powi(i32::from(spec.bits_per_sample) - 1);
            let samples = reader.into_samples::<i32>().take(most);
            samples.map(|s| s.map(|s| f64::from(s) / full)).collect()
        }
    };
    let samples = samples?;
    Ok((0..channels)
        .map(|channel| samples.iter().skip(channel).step_by(channels).copied().collect())
        .collect())
}

fn at_played_rate(channels: Vec<Vec<f64>>, rate_hz: u32) -> anyhow::Result<Vec<Vec<f64>>> {
    if rate_hz == PLAYED_HZ {
        return Ok(channels);
    }
    let (count, frames) = (channels.len(), channels.first().map_or(0, Vec::len));
    let [from, to] = [rate_hz, PLAYED_HZ].map(|hz| hz as usize);
    let mut resampler = Fft::<f64>::new(from, to, CHUNK, count, FixedSync::Both)?;
    let given = SequentialSliceOfVecs::new(&channels, count, frames)
        .map_err(|_| anyhow!("its channels differ in length"))?;
    let made = resampler.process_all(&given, frames, None)?.take_data();
    Ok((0..count).map(|c| made.iter().skip(c).step_by(count).copied().collect()).collect())
}

fn unreadable(name: &str, error: &hound::Error) -> Failure {
    match error {
        hound::Error::Unsupported => Failure::usage(
            &format!("`{name}` is a WAV file of a kind that cannot be read"),
            "save it as plain 16 or 24 bit, or as 32 bit float",
        ),
        hound::Error::IoError(error) if error.kind() != std::io::ErrorKind::UnexpectedEof => {
            let other = error.kind() == std::io::ErrorKind::Other;
            if other { cut_short(name) } else { cannot_read(name, &error.to_string()) }
        }
        hound::Error::IoError(_) => cut_short(name),
        _ => Failure::usage(
            &format!("`{name}` is not a WAV file, or a broken one"),
            "save the recording as WAV: 16 or 24 bit, or 32 bit float",
        ),
    }
}

fn cut_short(name: &str) -> Failure {
    Failure::usage(
        &format!("`{name}` ends before a WAV file of its kind would"),
        "export the recording as WAV again",
    )
}

fn cannot_read(name: &str, why: &str) -> Failure {
    Failure::usage(&format!("`{name}` cannot be read: {why}"), "check the file given with --dry")
}
