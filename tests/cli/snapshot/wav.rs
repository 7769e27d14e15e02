//! A recording in a few figures.

use super::numbers::four_digits;
use std::fmt::Write as _;

/// Rate, length, and of each channel its peak and its root mean square.
pub(super) fn summary(bytes: &[u8]) -> String {
    let mut reader = hound::WavReader::new(bytes).unwrap();
    let spec = reader.spec();
    let samples: Vec<f64> = match spec.sample_format {
        hound::SampleFormat::Float => {
            reader.samples::<f32>().map(|sample| f64::from(sample.unwrap())).collect()
        }
        hound::SampleFormat::Int => {
            reader.samples::<i32>().map(|sample| f64::from(sample.unwrap())).collect()
        }
    };
    let channels = usize::from(spec.channels);
    let frames = samples.len() / channels;
    let mut lines = format!(
        "{} Hz, {} bit {:?}, {channels} channels, {frames} frames\n",
        spec.sample_rate, spec.bits_per_sample, spec.sample_format
    );
    for channel in 0..channels {
        let of_channel = || samples.iter().skip(channel).step_by(channels);
        let peak = of_channel().fold(0.0, |most: f64, value| most.max(value.abs()));
        let energy: f64 = of_channel().map(|value| value * value).sum();
        let rms = four_digits((energy / frames as f64).sqrt());
        writeln!(lines, "channel {channel}: peak {}, rms {rms}", four_digits(peak)).unwrap();
    }
    lines
}
