//! Sound as a WAV file: 48 kHz, 32-bit float.

use anyhow::{Context, Result};
use hound::{SampleFormat, WavSpec, WavWriter};
use std::io::Cursor;

/// Samples a second of every file written.
pub(crate) const RATE_HZ: u32 = 48_000;

/// Where in the header it says which channel belongs to which loudspeaker (`WAVEFORMATEXTENSIBLE`
/// after the RIFF header: 12 + 8 + 20 bytes in).
const MASK: std::ops::Range<usize> = 40..44;

/// Channels of one length, interleaved. Two are left and right; one or more than two are said to
/// belong to no loudspeaker, so that a player does not send the only one to the left.
///
/// # Errors
/// When there is more than a WAV file holds, 4 GiB.
pub(crate) fn wav(channels: &[&[f64]]) -> Result<Vec<u8>> {
    let count = u16::try_from(channels.len()).context("too many channels for a WAV file")?;
    let spec = WavSpec {
        channels: count,
        sample_rate: RATE_HZ,
        bits_per_sample: 32,
        sample_format: SampleFormat::Float,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = WavWriter::new(&mut bytes, spec).context("cannot begin a WAV file")?;
    let frames = channels.iter().map(|channel| channel.len()).max().unwrap_or(0);
    for frame in 0..frames {
        for channel in channels {
            let sample = channel.get(frame).copied().unwrap_or(0.0);
            #[expect(clippy::cast_possible_truncation, reason = "single precision is the format")]
            writer.write_sample(sample as f32).context("cannot write a WAV file")?;
        }
    }
    writer.finalize().context("cannot end a WAV file")?;
    let mut bytes = bytes.into_inner();
    if count != 2 {
        bytes.get_mut(MASK).context("a WAV file without a header")?.fill(0);
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;
    use hound::WavReader;

    /// A reader of the format finds what was written, and the place of the mask is where it should be.
    #[test]
    fn what_is_written_can_be_read() {
        for (count, mask) in [(1u32, 0u32), (2, 3), (4, 0)] {
            let channel: Vec<f64> = (0..9).map(|i| f64::from(i) * 0.25 - 1.5).collect();
            let bytes = wav(&vec![channel.as_slice(); count as usize]).unwrap();
            assert_eq!(&bytes[20..22], &[0xfe, 0xff], "extensible");
            assert_eq!(u32::from_le_bytes(bytes[MASK].try_into().unwrap()), mask);
            let mut reader = WavReader::new(Cursor::new(&bytes)).unwrap();
            assert_eq!(
                (u32::from(reader.spec().channels), reader.spec().sample_rate),
                (count, RATE_HZ)
            );
            let read: Vec<f64> =
                reader.samples::<f32>().map(|sample| f64::from(sample.unwrap())).collect();
            let first: Vec<f64> = read.into_iter().step_by(count as usize).collect();
            assert_eq!(first, channel, "above full scale too");
        }
    }
}
