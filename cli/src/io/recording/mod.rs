//! A user's own recording: read with care, brought to 48 kHz, refused in one clear message.

mod chunks;
mod fault;
#[cfg(test)]
mod fuzz;
mod layout;
mod samples;
#[cfg(test)]
mod tests;

use crate::format::foreign;
use crate::io::exit::Failure;
use anyhow::{Context, anyhow};
use fault::Fault;
use layout::{Format, Layout, layout};
use rubato::audioadapter_buffers::direct::SequentialSliceOfVecs;
use rubato::{Fft, FixedSync, Resampler};
use samples::samples;
use std::fs::File;
use std::io::BufReader;
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

    /// Mean of its channels.
    pub(crate) fn mono(&self) -> Vec<f64> {
        match self.channels.as_slice() {
            [left, right] => left.iter().zip(right).map(|(l, r)| f64::midpoint(*l, *r)).collect(),
            channels => channels.first().cloned().unwrap_or_default(),
        }
    }
}

/// Reads the beginning of a WAV file.
///
/// # Errors
/// When the file is not there, is no WAV file or one of an unusual kind, or holds nothing to play.
pub(crate) fn read(path: &Path) -> Result<Recording, Failure> {
    let name = foreign::path(path);
    let gone = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound | std::io::ErrorKind::InvalidFilename => Failure::usage(
            &format!("`{name}` is not there"),
            "check the spelling and the folder of --dry",
        ),
        _ => Failure::usage(
            &format!("`{name}` cannot be read: {error}"),
            "check the file given with --dry",
        ),
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
    let mut file = BufReader::new(File::open(path).map_err(gone)?);
    let told = |fault: Fault| Failure::usage(&format!("`{name}` {}", fault.what), fault.remedy);
    let layout = layout(&mut file, about.len()).map_err(told)?;
    check(&layout).map_err(told)?;
    let rate_hz = layout.format.rate_hz;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a minute of samples"
    )]
    let most = (MOST_S * f64::from(rate_hz)) as usize;
    let channels = samples(&mut file, &layout, most).map_err(told)?;
    if channels.iter().flatten().all(|sample| sample.abs() < SILENCE) {
        return Err(told(Fault::new(
            format_args!("is silent in its first {MOST_S:.0} s"),
            "give a recording that begins with sound",
        )));
    }
    let channels = at_played_rate(channels, rate_hz)
        .with_context(|| format!("cannot bring `{name}` to 48 kHz"))?;
    let whole_s = layout.frames as f64 / f64::from(rate_hz);
    Ok(Recording { name, rate_hz, whole_s, channels })
}

/// What can be told before any sample is read.
fn check(layout: &Layout) -> Result<(), Fault> {
    let Format { channels, rate_hz, .. } = layout.format;
    if channels > 2 {
        return Err(Fault::new(
            format_args!("has {channels} channels"),
            "give a mono recording, or a stereo one for a pair of speakers",
        ));
    }
    if !RATES_HZ.contains(&rate_hz) {
        return Err(Fault::new(
            format_args!("has {rate_hz} samples a second"),
            "8000 to 192000 can be read; 48000 is best",
        ));
    }
    if layout.frames == 0 {
        return Err(Fault::new("holds no sound", "give a recording that is longer than nothing"));
    }
    Ok(())
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
