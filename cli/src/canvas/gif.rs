//! A moving picture as a GIF file: one palette for all, and of each picture only what has changed.

use super::Colour;
use anyhow::{Context, Result};
use gif::{DisposalMethod, Encoder, Frame, Repeat};
use resvg::tiny_skia::Pixmap;
use std::borrow::Cow;

/// Colours of the palette; the place after the last says that a pixel stays as it was.
const COLOURS: usize = 55;
/// That place; as many as there are room for in six bits.
const UNCHANGED: u8 = 63;

/// An unchanged stretch of a row is marked as such from so many pixels on; found by trying.
const LONG: usize = 16;

/// Mixed colours, on the rims of lines and letters, are told apart by this many bits of red, green
/// and blue.
const BITS: u32 = 5;

/// A palette, and for every kind of colour the place in it that comes nearest.
#[derive(Debug)]
pub(crate) struct Palette {
    colours: Vec<[u8; 3]>,
    /// So many of them, from the first, are plain: the others are mixed.
    plain: usize,
    nearest: Vec<u8>,
}

fn kind([red, green, blue]: [u8; 3]) -> usize {
    [red, green, blue]
        .iter()
        .fold(0, |so_far, part| so_far << BITS | usize::from(part >> (8 - BITS)))
}

/// The colour in the middle of a kind.
#[expect(clippy::cast_possible_truncation, reason = "below 256 by the mask")]
fn middle(kind: usize) -> [u8; 3] {
    [2 * BITS, BITS, 0].map(|shift| {
        let part = kind >> shift & ((1 << BITS) - 1);
        (part << (8 - BITS) | 1 << (7 - BITS)) as u8
    })
}

impl Palette {
    /// These plain colours, kept to the last bit, and of the mixed ones those that sample pictures
    /// have most of.
    pub(crate) fn new(plain: &[Colour], samples: &[Pixmap]) -> Self {
        let mut colours: Vec<[u8; 3]> = Vec::new();
        for Colour(red, green, blue) in plain {
            if !colours.contains(&[*red, *green, *blue]) {
                colours.push([*red, *green, *blue]);
            }
        }
        let plain = colours.len();
        let mut frequent: Vec<(usize, usize)> =
            (0..1 << (3 * BITS)).map(|kind| (0, kind)).collect();
        for pixel in samples.iter().flat_map(|sample| sample.data().chunks_exact(4)) {
            let colour = [pixel[0], pixel[1], pixel[2]];
            if !colours.contains(&colour) {
                frequent[kind(colour)].0 += 1;
            }
        }
        frequent.sort_by(|one, other| other.cmp(one));
        let mixed = frequent.into_iter().take(COLOURS.saturating_sub(plain));
        colours.extend(mixed.map(|(_, kind)| middle(kind)));
        let nearest = (0..1 << (3 * BITS)).map(|kind| nearest(&colours, middle(kind))).collect();
        Self { colours, plain, nearest }
    }

    /// A picture in places of the palette.
    pub(crate) fn indexed(&self, pixels: &Pixmap) -> Vec<u8> {
        let mut last = ([0; 3], self.place([0; 3]));
        let place = |pixel: &[u8]| {
            let colour = [pixel[0], pixel[1], pixel[2]];
            if colour != last.0 {
                last = (colour, self.place(colour));
            }
            last.1
        };
        pixels.data().chunks_exact(4).map(place).collect()
    }

    fn place(&self, colour: [u8; 3]) -> u8 {
        let plain = self.colours.iter().take(self.plain).position(|own| *own == colour);
        plain.and_then(|place| u8::try_from(place).ok()).unwrap_or(self.nearest[kind(colour)])
    }

    /// Red, green and blue of every place.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        let mut bytes = self.colours.concat();
        bytes.resize(3 * (usize::from(UNCHANGED) + 1), 0);
        bytes
    }
}

/// The place of the nearest colour.
fn nearest(colours: &[[u8; 3]], wanted: [u8; 3]) -> u8 {
    let far = |colour: &[u8; 3]| -> u32 {
        colour.iter().zip(wanted).map(|(&a, b)| u32::from(a.abs_diff(b)).pow(2)).sum()
    };
    let place = (0..colours.len()).min_by_key(|&place| far(&colours[place])).unwrap_or(0);
    u8::try_from(place).unwrap_or(0)
}

/// A GIF file being written.
pub(crate) struct GifWriter {
    encoder: Encoder<Vec<u8>>,
    size: [usize; 2],
    before: Vec<u8>,
}

impl GifWriter {
    /// Begins a film that plays over and over.
    ///
    /// # Errors
    /// When the pictures are too large for a GIF.
    pub(crate) fn new(size: [usize; 2], palette: &Palette) -> Result<Self> {
        let [width, height] = size.map(u16::try_from);
        let (width, height) = (width.context(TOO_LARGE)?, height.context(TOO_LARGE)?);
        let mut encoder = Encoder::new(Vec::new(), width, height, &palette.bytes())
            .context("cannot begin a GIF")?;
        encoder.set_repeat(Repeat::Infinite).context("cannot begin a GIF")?;
        Ok(Self { encoder, size, before: Vec::new() })
    }

    /// Adds a picture that stays for so many hundredths of a second.
    ///
    /// # Errors
    /// When it cannot be encoded.
    pub(crate) fn add(&mut self, picture: Vec<u8>, hundredths: u16) -> Result<()> {
        let [left, top, width, height] = self.changed(&picture);
        let mut buffer = Vec::with_capacity(width * height);
        for row in top..top + height {
            let at = row * self.size[0] + left;
            let now = &picture[at..at + width];
            match self.before.get(at..at + width) {
                Some(before) => buffer.extend(new_parts(now, before)),
                None => buffer.extend_from_slice(now),
            }
        }
        let [left, top, width, height] = [left, top, width, height].map(u16::try_from);
        let frame = Frame {
            delay: hundredths,
            dispose: DisposalMethod::Keep,
            transparent: (!self.before.is_empty()).then_some(UNCHANGED),
            left: left.context(TOO_LARGE)?,
            top: top.context(TOO_LARGE)?,
            width: width.context(TOO_LARGE)?,
            height: height.context(TOO_LARGE)?,
            buffer: Cow::Owned(buffer),
            ..Frame::default()
        };
        self.encoder.write_frame(&frame).context("cannot write a picture of a GIF")?;
        self.before = picture;
        Ok(())
    }

    /// The smallest rectangle that holds all that has changed: left, top, width, height; a single
    /// pixel where nothing has.
    fn changed(&self, picture: &[u8]) -> [usize; 4] {
        let [width, height] = self.size;
        if self.before.is_empty() {
            return [0, 0, width, height];
        }
        let (mut low, mut high) = ([width, height], [0, 0]);
        let rows = picture.chunks_exact(width).zip(self.before.chunks_exact(width));
        for (y, (now, before)) in rows.enumerate() {
            let differs = |(now, before): (&u8, &u8)| now != before;
            let Some(first) = now.iter().zip(before).position(differs) else { continue };
            let last = now.iter().zip(before).rposition(differs).unwrap_or(first);
            low = [low[0].min(first), low[1].min(y)];
            high = [high[0].max(last), high[1].max(y)];
        }
        if high[0] < low[0] {
            [0, 0, 1, 1]
        } else {
            [low[0], low[1], high[0] - low[0] + 1, high[1] - low[1] + 1]
        }
    }

    /// The whole file.
    ///
    /// # Errors
    /// When its end cannot be written.
    pub(crate) fn file(self) -> Result<Vec<u8>> {
        self.encoder.into_inner().context("cannot end a GIF")
    }
}

/// A row with long unchanged stretches marked as such. Short ones are written out: a line and the
/// field it runs over are fewer patterns than a line, what it left and what neither touched.
fn new_parts(now: &[u8], before: &[u8]) -> Vec<u8> {
    let mut parts = now.to_vec();
    let pairs: Vec<(u8, u8)> = now.iter().copied().zip(before.iter().copied()).collect();
    let mut from = 0;
    for run in pairs.chunk_by(|one, next| (one.0 == one.1) == (next.0 == next.1)) {
        let stays = run.first().is_some_and(|(now, before)| now == before);
        if stays && LONG <= run.len() {
            parts[from..from + run.len()].fill(UNCHANGED);
        }
        from += run.len();
    }
    parts
}

const TOO_LARGE: &str = "a picture is too large for a GIF";
