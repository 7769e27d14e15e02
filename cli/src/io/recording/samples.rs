//! The samples of a WAV file as numbers.

use super::fault::Fault;
use super::layout::{Layout, Storage};
use rubato::audioadapter_buffers::sample::{
    BytesSample, F32_LE, F64_LE, I16_LE, I24_LE, I32_LE, RawSample, U8,
};
use std::io::{Read, Seek, SeekFrom};

/// Frames read at a time.
const BLOCK: usize = 4096;

/// No sample may be farther above full scale: 200 dB. Louder ones are no sound, and their squares
/// would leave the range of numbers.
const LOUDEST: f64 = 1e10;

/// The first frames of every channel, `most` at most; full scale is 1.
///
/// # Errors
/// When the file cannot be read, or holds what is no sound.
pub(super) fn samples(
    source: &mut (impl Read + Seek),
    layout: &Layout,
    most: usize,
) -> Result<Vec<Vec<f64>>, Fault> {
    let storage = layout.format.storage;
    let (decode, channels) = (decoder(storage), usize::from(layout.format.channels));
    let frames = usize::try_from(layout.frames).map_or(most, |frames| frames.min(most));
    let mut read: Vec<Vec<f64>> = vec![Vec::with_capacity(frames); channels];
    let mut justification = Justification::default();
    let mut block = vec![0; BLOCK.min(frames) * channels * storage.size()];
    source.seek(SeekFrom::Start(layout.start))?;
    for first in (0..frames).step_by(BLOCK) {
        let count = BLOCK.min(frames - first) * channels * storage.size();
        let part = block.get_mut(..count).unwrap_or_default();
        source.read_exact(part)?;
        for (index, bytes) in part.chunks_exact(storage.size()).enumerate() {
            let sample = decode(bytes);
            if sample.is_nan() || sample.abs() > LOUDEST {
                let at = first + index / channels;
                return Err(no_sound(sample, at, layout.format.rate_hz));
            }
            justification.look_at(bytes);
            if let Some(channel) = read.get_mut(index % channels) {
                channel.push(sample);
            }
        }
    }
    if storage == Storage::Bytes4 && layout.format.bits == 24 && justification.is_right() {
        read.iter_mut().flatten().for_each(|sample| *sample *= 256.0);
    }
    Ok(read)
}

/// The meaning of the bytes of one sample.
fn decoder(storage: Storage) -> fn(&[u8]) -> f64 {
    fn of<S: BytesSample<NumericType: RawSample>>(bytes: &[u8]) -> f64 {
        S::from_slice(bytes).to_scaled_float()
    }
    match storage {
        Storage::Bytes1 => of::<U8>,
        Storage::Bytes2 => of::<I16_LE>,
        Storage::Bytes3 => of::<I24_LE>,
        Storage::Bytes4 => of::<I32_LE>,
        Storage::Float32 => of::<F32_LE>,
        Storage::Float64 => of::<F64_LE>,
    }
}

fn no_sound(sample: f64, frame: usize, rate_hz: u32) -> Fault {
    let what = if sample.is_nan() {
        "that is not a number".to_owned()
    } else if sample.is_infinite() {
        "without end".to_owned()
    } else {
        format!("of {sample:.0e}, where full scale is 1")
    };
    let at_s = frame as f64 / f64::from(rate_hz);
    Fault::new(
        format_args!("has a sample {what}, {at_s:.3} s in"),
        "export it again from where it was made",
    )
}

/// At which end of four bytes samples of 24 bits stand. The format wants them at the top, with nothing
/// below; some writers have them at the bottom, with the sign above.
#[derive(Debug, Default)]
struct Justification {
    /// Something stands in the lowest byte.
    has_low: bool,
    /// The highest byte is more than the sign.
    has_high: bool,
}

impl Justification {
    fn look_at(&mut self, bytes: &[u8]) {
        if let &[low, _, below, high] = bytes {
            self.has_low |= low != 0;
            self.has_high |= high != if below < 0x80 { 0 } else { 0xff };
        }
    }

    fn is_right(&self) -> bool {
        self.has_low && !self.has_high
    }
}
