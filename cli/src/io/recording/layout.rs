//! What a WAV file says of itself: how its samples are stored, how many there are and where they
//! begin (RIFF WAVE by Microsoft and IBM, 1991 and 1994; RF64 by EBU Tech 3306; BW64 by ITU-R BS.2088).

use super::chunks::{Chunks, bytes, u16_at, u32_at, u64_at};
use super::fault::Fault;
use std::io::{Read, Seek};

/// Sizes of a data chunk that mean "until the end": what a writer leaves that could not go back.
const OPEN_ENDED: [u32; 2] = [u32::MAX, 0x7fff_f000];

/// The rest of a sub-format, after the two bytes of its tag (`KSDATAFORMAT_SUBTYPE`).
const SUB_FORMAT: [u8; 14] = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];

/// Beginnings of other files that hold sound.
const OTHER_KINDS: [(&[u8], &str); 8] = [
    (b"FORM", "AIFF"),
    (b"fLaC", "FLAC"),
    (b"OggS", "Ogg"),
    (b"ID3", "MP3"),
    (b"caff", "CAF"),
    (b"riff", "Wave64"),
    (b"RIFX", "RIFX, with its bytes the other way round"),
    (b"wvpk", "WavPack"),
];

/// How one sample is stored, lowest byte first. A whole number of fewer bits stands at the top of its
/// container.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Storage {
    /// One byte without a sign.
    Bytes1,
    /// A whole number in two bytes.
    Bytes2,
    /// A whole number in three bytes.
    Bytes3,
    /// A whole number in four bytes.
    Bytes4,
    /// Single precision.
    Float32,
    /// Double precision.
    Float64,
}

impl Storage {
    /// Bytes a sample.
    pub(super) fn size(self) -> usize {
        match self {
            Self::Bytes1 => 1,
            Self::Bytes2 => 2,
            Self::Bytes3 => 3,
            Self::Bytes4 | Self::Float32 => 4,
            Self::Float64 => 8,
        }
    }
}

/// How samples are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Format {
    /// Channels, at least one.
    pub(super) channels: u16,
    /// Samples a second of each channel.
    pub(super) rate_hz: u32,
    /// How one sample is stored.
    pub(super) storage: Storage,
    /// Bits of a sample that count.
    pub(super) bits: u16,
}

/// Where the sound of a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Layout {
    /// How its samples are stored.
    pub(super) format: Format,
    /// Whole frames that are there: a sample of each channel.
    pub(super) frames: u64,
    /// Where the first begins.
    pub(super) start: u64,
}

/// Reads the chunks up to the sound of a file of `length` bytes.
///
/// # Errors
/// When it is no WAV file, or one that is broken, not whole, or of a kind that is not read.
pub(super) fn layout(source: &mut (impl Read + Seek), length: u64) -> Result<Layout, Fault> {
    let (mut chunks, container) = opened(source, length)?;
    let (mut format, mut long) = (None, None);
    loop {
        let chunk = chunks.following()?;
        match &chunk.id {
            b"ds64" => long = Some(u64_at(&chunks.body::<28>(chunk)?, 8)),
            b"fmt " => format = Some(read_format(&chunks.body::<40>(chunk)?, chunk.size)?),
            b"data" => {
                let format = format
                    .ok_or_else(|| Fault::broken("does not say how its samples are stored"))?;
                let long = long.filter(|_| container.long && chunk.size == u32::MAX);
                let open = container.unfinished && chunk.size == 0
                    || OPEN_ENDED.contains(&chunk.size)
                        && chunk.start + u64::from(chunk.size) > length;
                let declared = match long {
                    Some(size) => Some(size),
                    None if open => None,
                    None => Some(u64::from(chunk.size)),
                };
                let frames = frames(format, declared, length - chunk.start)?;
                return Ok(Layout { format, frames, start: chunk.start });
            }
            _ => {}
        }
    }
}

/// What the first bytes of a file say.
struct Container {
    /// Whether sizes may be in a chunk of their own.
    long: bool,
    /// Whether its writer never came back to fill in sizes.
    unfinished: bool,
}

fn opened<R: Read + Seek>(source: R, length: u64) -> Result<(Chunks<R>, Container), Fault> {
    if length == 0 {
        return Err(Fault::kind("is empty"));
    }
    let mut chunks = Chunks::new(source, length);
    let head = chunks.head()?;
    let long = head.starts_with(b"RF64") || head.starts_with(b"BW64");
    if !long && !head.starts_with(b"RIFF") {
        let other = OTHER_KINDS.iter().find(|(begins, _)| head.starts_with(begins));
        return Err(match other {
            Some((_, kind)) => Fault::kind(format_args!("is not a WAV file but {kind}")),
            None => Fault::kind("is not a WAV file"),
        });
    }
    if length < 12 {
        return Err(Fault::broken("ends before its sound begins"));
    }
    if bytes::<4>(&head, 8) != *b"WAVE" {
        return Err(Fault::kind("is not a WAV file: it holds something else than sound"));
    }
    let size = u32_at(&head, 4);
    Ok((chunks, Container { long, unfinished: size == 0 || size == u32::MAX }))
}

/// The format chunk, as far as it is there; what is missing is nought.
///
/// Its bytes a second are not looked at: they follow from the rest, and some writers get them wrong.
fn read_format(body: &[u8; 40], size: u32) -> Result<Format, Fault> {
    if size < 16 {
        return Err(Fault::broken(format_args!(
            "has a format chunk of {size} bytes, where 16 are the fewest"
        )));
    }
    let [tag, channels, frame_size, bits] = [0, 2, 12, 14].map(|at| u16_at(body, at));
    let (tag, valid) = match tag {
        0xfffe if size < 40 => {
            return Err(Fault::broken(format_args!(
                "has an extensible format chunk of {size} bytes, where 40 are the fewest"
            )));
        }
        0xfffe if body.ends_with(&SUB_FORMAT) => (u16_at(body, 24), u16_at(body, 18)),
        tag => (tag, bits),
    };
    if channels == 0 {
        return Err(Fault::broken("says that it has no channels"));
    }
    if !frame_size.is_multiple_of(channels) {
        return Err(Fault::broken(format_args!(
            "says that a sample of each of its {channels} channels takes {frame_size} bytes"
        )));
    }
    let container = if frame_size == 0 { bits.div_ceil(8) } else { frame_size / channels };
    let bits = if (1..bits).contains(&valid) { valid } else { bits };
    Ok(Format { channels, rate_hz: u32_at(body, 4), storage: storage(tag, bits, container)?, bits })
}

fn storage(tag: u16, bits: u16, container: u16) -> Result<Storage, Fault> {
    let coding = match tag {
        1 => match container {
            1 if (1..=8).contains(&bits) => return Ok(Storage::Bytes1),
            2 if (1..=16).contains(&bits) => return Ok(Storage::Bytes2),
            3 if (1..=24).contains(&bits) => return Ok(Storage::Bytes3),
            4 if (1..=32).contains(&bits) => return Ok(Storage::Bytes4),
            _ => "whole numbers",
        },
        3 => match (bits, container) {
            (32, 4) => return Ok(Storage::Float32),
            (64, 8) => return Ok(Storage::Float64),
            _ => "floating point numbers",
        },
        2 | 0x11 => return Err(compressed("ADPCM")),
        6 => return Err(compressed("A-law")),
        7 => return Err(compressed("µ-law")),
        0x50 | 0x55 => return Err(compressed("MPEG audio")),
        _ => {
            let what = format_args!("has samples of an unknown kind, number {tag:#06x}");
            return Err(Fault::kind(what));
        }
    };
    Err(Fault::kind(format_args!(
        "has {coding} of {bits} bits in {container} bytes, which is not read"
    )))
}

fn compressed(coding: &str) -> Fault {
    Fault::kind(format_args!("is compressed as {coding}, which is not read"))
}

/// Whole frames of a file with `there` bytes from the first on; a part of one at the end is left out.
fn frames(format: Format, declared: Option<u64>, there: u64) -> Result<u64, Fault> {
    let frame_size = u64::from(format.channels) * format.storage.size() as u64;
    let declared = declared.unwrap_or(there);
    // Some writers count a byte that only fills up.
    if declared >= there + frame_size {
        let seconds = |bytes: u64| (bytes / frame_size) as f64 / f64::from(format.rate_hz.max(1));
        return Err(Fault::broken(format_args!(
            "ends after {:.2} s of the {:.2} s that it says it has",
            seconds(there),
            seconds(declared)
        )));
    }
    Ok(declared.min(there) / frame_size)
}
