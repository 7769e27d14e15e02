//! WAV files as programs write them, well and badly, made here byte by byte.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use super::*;
use std::f64::consts::TAU;

/// A tone whose every sample is a whole number of 24 bits, with bits down to the lowest.
fn tone() -> Vec<i32> {
    let wave = |i: u32| 4_000_000.0 * (TAU * f64::from(i) / 100.0).sin();
    #[expect(clippy::cast_possible_truncation, reason = "far below 2^23")]
    (0..4800).map(|i| wave(i) as i32 | 1).collect()
}

/// The tone as it is read.
fn read_tone() -> Vec<f64> {
    tone().iter().map(|sample| f64::from(*sample) / f64::from(1 << 23)).collect()
}

/// Samples of the tone, each as its bytes.
fn stored<const N: usize>(bytes: impl Fn(i32) -> [u8; N]) -> Vec<u8> {
    tone().into_iter().flat_map(bytes).collect()
}

fn three_bytes(sample: i32) -> [u8; 3] {
    let [low, middle, high, _] = sample.to_le_bytes();
    [low, middle, high]
}

fn chunk(id: [u8; 4], body: &[u8]) -> Vec<u8> {
    let size = u32::try_from(body.len()).unwrap();
    let pad = &[0][..body.len() % 2];
    [&id, &size.to_le_bytes()[..], body, pad].concat()
}

/// Mono at 48 kHz.
fn format(tag: u16, bits: u16, container: u16) -> Vec<u8> {
    let bytes_a_second = 48_000 * u32::from(container);
    [
        &tag.to_le_bytes()[..],
        &1u16.to_le_bytes(),
        &48_000u32.to_le_bytes(),
        &bytes_a_second.to_le_bytes(),
        &container.to_le_bytes(),
        &bits.to_le_bytes(),
    ]
    .concat()
}

/// `WAVEFORMATEXTENSIBLE` with so many bits that count.
fn extensible(tag: u16, bits: u16, valid: u16) -> Vec<u8> {
    let mut body = format(0xfffe, bits, bits / 8);
    body.extend(22u16.to_le_bytes());
    body.extend(valid.to_le_bytes());
    body.extend(4u32.to_le_bytes());
    body.extend(tag.to_le_bytes());
    body.extend([0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]);
    body
}

fn riff(id: [u8; 4], chunks: &[Vec<u8>]) -> Vec<u8> {
    let chunks = chunks.concat();
    let size = u32::try_from(chunks.len() + 4).unwrap();
    [&id, &size.to_le_bytes()[..], b"WAVE", &chunks].concat()
}

fn plain(format: &[u8], samples: &[u8]) -> Vec<u8> {
    riff(*b"RIFF", &[chunk(*b"fmt ", format), chunk(*b"data", samples)])
}

fn read_bytes(bytes: &[u8]) -> Result<Recording, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("dry.wav");
    std::fs::write(&path, bytes).unwrap();
    read(&path).map_err(|failure| {
        assert!(matches!(failure, Failure::Input(_)), "{failure:?}");
        failure.message().unwrap()
    })
}

/// Puts bytes in the place of others.
fn with(mut file: Vec<u8>, at: usize, bytes: &[u8]) -> Vec<u8> {
    file[at..at + bytes.len()].copy_from_slice(bytes);
    file
}

/// Places in a file with a short format chunk.
const RIFF_SIZE: usize = 4;
const BYTES_A_SECOND: usize = 28;
const FRAME_SIZE: usize = 32;
const DATA_SIZE: usize = 40;

fn in_24_bits() -> Vec<u8> {
    plain(&format(1, 24, 3), &stored(three_bytes))
}

/// Whatever the tone is stored in, it is read to the last bit.
#[test]
fn samples_of_every_kind_are_read() {
    let scaled = |sample: i32| f64::from(sample) / f64::from(1 << 23);
    let double = stored(|sample| scaled(sample).to_le_bytes());
    #[expect(clippy::cast_possible_truncation, reason = "24 bits are in it whole")]
    let single = stored(|sample| (scaled(sample) as f32).to_le_bytes());
    let left = stored(|sample| (sample << 8).to_le_bytes());
    let right = stored(i32::to_le_bytes);
    let three = stored(three_bytes);
    for (of, format, samples) in [
        ("24 bits", format(1, 24, 3), &three),
        ("24 bits, extensible", extensible(1, 24, 24), &three),
        ("32 bits", format(1, 32, 4), &left),
        ("24 in 32 bits, as the standard has it", extensible(1, 32, 24), &left),
        ("24 in 32 bits at the bottom", extensible(1, 32, 24), &right),
        ("24 in 32 bits, short", format(1, 24, 4), &left),
        ("24 in 32 bits at the bottom, short", format(1, 24, 4), &right),
        ("32-bit float", format(3, 32, 4), &single),
        ("32-bit float, extensible", extensible(3, 32, 32), &single),
        ("64-bit float", format(3, 64, 8), &double),
        ("64-bit float, extensible", extensible(3, 64, 64), &double),
        ("no size of a frame", with(format(1, 24, 3), 12, &[0, 0]), &three),
    ] {
        let recording = read_bytes(&plain(&format, samples)).unwrap();
        assert_eq!(recording.channels, [read_tone()], "{of}");
        assert_eq!((recording.rate_hz, recording.whole_s), (48_000, 0.1), "{of}");
    }
}

#[test]
fn fewer_bits_are_read_at_their_scale() {
    let eight = plain(&format(1, 8, 1), &[0, 64, 128, 192, 255]);
    assert_eq!(read_bytes(&eight).unwrap().channels, [[-1.0, -0.5, 0.0, 0.5, 127.0 / 128.0]]);
    let twenty = plain(&extensible(1, 24, 20), &[0x10, 0, 0x40, 0xf0, 0xff, 0xff]);
    let read = read_bytes(&twenty).unwrap().channels;
    assert_eq!(read, [[0.5 + 16.0 / f64::from(1 << 23), -16.0 / f64::from(1 << 23)]]);
    let sixteen = plain(&format(1, 16, 2), &[0, 0x80, 0xff, 0x7f]);
    assert_eq!(read_bytes(&sixteen).unwrap().channels, [[-1.0, 32767.0 / 32768.0]]);
}

/// What other programs make of the head of a file does not hide its sound.
#[test]
fn heads_of_every_kind_are_read() {
    let whole = in_24_bits();
    let (fmt, data) = (chunk(*b"fmt ", &format(1, 24, 3)), whole[36..].to_vec());
    let unknown = u32::MAX.to_le_bytes();
    let long = |id: [u8; 4], data_size: u64| {
        let mut sizes = [(whole.len() as u64 + 28).to_le_bytes(), data_size.to_le_bytes()].concat();
        sizes.extend([0; 12]);
        let mut file = riff(id, &[chunk(*b"ds64", &sizes), fmt.clone(), data.clone()]);
        file[4..8].copy_from_slice(&unknown);
        let at = file.len() - data.len() + 4;
        with(file, at, &unknown)
    };
    let streamed = with(with(whole.clone(), RIFF_SIZE, &unknown), DATA_SIZE, &unknown);
    let unfinished = with(with(whole.clone(), RIFF_SIZE, &[0; 4]), DATA_SIZE, &[0; 4]);
    let piped = with(whole.clone(), DATA_SIZE, &0x7fff_f000u32.to_le_bytes());
    let odd = chunk(*b"LIST", b"odd");
    let unpadded = odd[..odd.len() - 1].to_vec();
    let sound = stored(three_bytes).len() as u64;
    for (of, file) in [
        ("RF64", long(*b"RF64", sound)),
        ("BW64", long(*b"BW64", sound)),
        ("no sizes", streamed),
        ("sizes never filled in", unfinished),
        ("a size from a pipe", piped),
        ("wrong bytes a second", with(whole.clone(), BYTES_A_SECOND, &[1, 2, 3, 4])),
        ("no bytes a second", with(whole.clone(), BYTES_A_SECOND, &[0; 4])),
        ("wrong size of all", with(whole.clone(), RIFF_SIZE, &[7, 0, 0, 0])),
        ("an odd chunk", riff(*b"RIFF", &[odd, fmt.clone(), data.clone()])),
        ("an odd chunk without its fill", riff(*b"RIFF", &[unpadded, fmt.clone(), data.clone()])),
        ("something after it", [whole.clone(), chunk(*b"LIST", b"more")].concat()),
        ("a part of a sample more", with([&whole[..], &[9]].concat(), DATA_SIZE, &[0x41, 0x38])),
        ("a byte counted that is not there", with(whole.clone(), DATA_SIZE, &[0x41, 0x38])),
    ] {
        let recording = read_bytes(&file).unwrap();
        assert_eq!(recording.channels, [read_tone()], "{of}");
    }
    let odd = plain(&format(1, 24, 3), &stored(three_bytes)[..3 * 4799]);
    assert_eq!(read_bytes(&odd[..odd.len() - 1]).unwrap().channels, [&read_tone()[..4799]]);
}

/// Two channels are told apart.
#[test]
fn channels_are_in_turn() {
    let mut two = format(1, 16, 4);
    two[2] = 2;
    let file = plain(&two, &[0, 0x40, 0, 0xc0, 0, 0x20, 0, 0xe0]);
    assert_eq!(read_bytes(&file).unwrap().channels, [[0.5, 0.25], [-0.5, -0.25]]);
}

/// What is not read: why, in one message, with what would be right.
#[test]
fn the_reason_is_told() {
    let whole = in_24_bits();
    let fmt = chunk(*b"fmt ", &format(1, 24, 3));
    let of = |tag, bits, container| plain(&format(tag, bits, container), &[0; 64]);
    let single = |sample: f32| {
        let sound = 0.5f32.to_le_bytes().repeat(4800);
        let sound = with(sound, 4 * 2400, &sample.to_le_bytes());
        plain(&format(3, 32, 4), &sound)
    };
    let double = plain(&format(3, 64, 8), &[0.5, 1e300].map(f64::to_le_bytes).concat());
    let mut many = vec![chunk(*b"LIST", b""); 1001];
    many.push(fmt.clone());
    for (file, says) in [
        (b"".to_vec(), "is empty"),
        (b"fLaC and more".to_vec(), "is not a WAV file but FLAC"),
        (b"FORM\0\0\0\0AIFF".to_vec(), "is not a WAV file but AIFF"),
        (b"RIFX\0\0\0\0WAVE".to_vec(), "RIFX, with its bytes the other way round"),
        (b"RIFF\0\0\0\0AVI ".to_vec(), "it holds something else than sound"),
        (b"plain text".to_vec(), "is not a WAV file\n"),
        (whole[..11].to_vec(), "ends before its sound begins"),
        (whole[..30].to_vec(), "ends before its sound begins"),
        (whole[..43].to_vec(), "ends before its sound begins"),
        (whole[..44 + 7200].to_vec(), "ends after 0.05 s of the 0.10 s that it says it has"),
        (riff(*b"RIFF", &[chunk(*b"data", &[1; 8])]), "does not say how its samples are stored"),
        (
            riff(*b"RIFF", &[fmt.clone(), vec![0; 90]]),
            "is broken at byte 36: no chunk begins there",
        ),
        (riff(*b"RIFF", &many), "more than 1000 chunks before its sound"),
        (plain(&format(1, 16, 2)[..14], &[0; 4]), "format chunk of 14 bytes"),
        (plain(&format(0xfffe, 16, 2), &[0; 4]), "extensible format chunk of 16 bytes"),
        (of(2, 4, 1), "is compressed as ADPCM"),
        (of(6, 8, 1), "is compressed as A-law"),
        (of(7, 8, 1), "is compressed as µ-law"),
        (of(0x55, 0, 1), "is compressed as MPEG audio"),
        (of(0x1234, 16, 2), "an unknown kind, number 0x1234"),
        (of(3, 16, 2), "floating point numbers of 16 bits in 2 bytes"),
        (of(1, 64, 8), "whole numbers of 64 bits in 8 bytes"),
        (of(1, 0, 2), "whole numbers of 0 bits in 2 bytes"),
        (with(of(1, 16, 2), 22, &[0, 0]), "has no channels"),
        (with(of(1, 16, 2), 22, &[3, 0]), "each of its 3 channels takes 2 bytes"),
        (with(of(1, 16, 6), 22, &[3, 0]), "has 3 channels"),
        (with(of(1, 16, 2), 24, &[0; 4]), "has 0 samples a second"),
        (with(of(1, 16, 2), 24, &[0xff; 4]), "has 4294967295 samples a second"),
        (with(whole.clone(), FRAME_SIZE, &[1, 0]), "whole numbers of 24 bits in 1 bytes"),
        (plain(&format(1, 16, 2), b""), "holds no sound"),
        (plain(&format(1, 16, 2), &[0; 64]), "is silent in its first 60 s"),
        (single(f32::NAN), "has a sample that is not a number, 0.050 s in"),
        (single(f32::INFINITY), "has a sample without end, 0.050 s in"),
        (single(f32::NEG_INFINITY), "has a sample without end, 0.050 s in"),
        (single(f32::MAX), "has a sample of 3e38, where full scale is 1, 0.050 s in"),
        (double, "has a sample of 1e300, where full scale is 1"),
    ] {
        let message = read_bytes(&file).unwrap_err();
        assert!(message.contains(says), "{says}: {message}");
        assert!(message.contains("dry.wav` ") && message.contains("help: "), "{message}");
    }
}

/// No byte of a head, whatever it is, makes more of it than a message.
#[test]
fn any_byte_may_be_wrong() {
    let sound = &0.5f32.to_le_bytes().repeat(9);
    let long = [1000u64.to_le_bytes(), 36u64.to_le_bytes(), [0; 8]].concat();
    let fmt = chunk(*b"fmt ", &extensible(3, 32, 32));
    let file = riff(*b"RF64", &[chunk(*b"ds64", &long), fmt, chunk(*b"data", sound)]);
    for at in 0..file.len() {
        for byte in [0, 1, 2, 0x7f, 0x80, 0xfe, 0xff] {
            let wrong = with(file.clone(), at, &[byte]);
            let layout = layout(&mut std::io::Cursor::new(&wrong), wrong.len() as u64);
            if let Ok(layout) = layout {
                let _ = samples(&mut std::io::Cursor::new(&wrong), &layout, 100);
            }
        }
        let _ = layout(&mut std::io::Cursor::new(&file[..at]), at as u64);
    }
}
