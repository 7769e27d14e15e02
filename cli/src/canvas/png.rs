//! A drawing as a PNG file: its own SVG text, rasterised with the bundled typeface only.

use super::{Drawing, svg, typeface};
use anyhow::{Context as _, anyhow};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder as _};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};
use std::sync::{Arc, LazyLock};

/// Dots to the inch.
const RESOLUTION: f64 = 200.0;
/// Dots to the metre.
const DOTS_PER_METRE: u32 = 7874;

static FACES: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut faces = Database::new();
    for bytes in typeface::FACES {
        faces.load_font_data(bytes.to_vec());
    }
    faces.set_sans_serif_family(typeface::FAMILY);
    Arc::new(faces)
});

/// The whole PNG file.
///
/// # Errors
/// When the SVG text is not accepted, the sheet has no area, or encoding fails.
pub(crate) fn encode(drawing: &Drawing) -> anyhow::Result<Vec<u8>> {
    let pixels = rasterise(drawing, RESOLUTION / 25.4)?;
    // The sheet is opaque paper, so the fourth channel holds nothing.
    let mut rgb = Vec::with_capacity(pixels.data().len() / 4 * 3);
    for pixel in pixels.data().chunks_exact(4) {
        rgb.extend_from_slice(&pixel[..3]);
    }
    let mut file = Vec::new();
    // Differences from the row above are nearly all nothing on a drawing, and quick to take.
    PngEncoder::new_with_quality(&mut file, CompressionType::Fast, FilterType::Up)
        .write_image(&rgb, pixels.width(), pixels.height(), ExtendedColorType::Rgb8)
        .context("the PNG file could not be written")?;
    Ok(with_resolution(file))
}

/// The PNG file of pixels that are places in a palette of at most 256 colours.
///
/// # Errors
/// When the pixels are not as many as the picture has, or encoding fails.
pub(crate) fn with_palette(
    [width, height]: [usize; 2],
    palette: Vec<u8>,
    pixels: &[u8],
) -> anyhow::Result<Vec<u8>> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, u32::try_from(width)?, u32::try_from(height)?);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_palette(palette);
    encoder.set_compression(png::Compression::Balanced);
    // Places in a palette are no quantities: differences between them say nothing.
    encoder.set_filter(png::Filter::NoFilter);
    let mut writer = encoder.write_header().context("the PNG file could not be begun")?;
    writer.write_image_data(pixels).context("the PNG file could not be written")?;
    writer.finish().context("the PNG file could not be ended")?;
    Ok(file)
}

/// Adds the sheet's resolution, so that it prints at its scale.
fn with_resolution(mut file: Vec<u8>) -> Vec<u8> {
    // Signature (8 bytes) and header chunk (4 + 4 + 13 + 4 bytes) come first in every file.
    const AFTER_HEADER: usize = 33;
    if AFTER_HEADER <= file.len() {
        let [a, b, c, d] = DOTS_PER_METRE.to_be_bytes();
        let data = [b'p', b'H', b'Y', b's', a, b, c, d, a, b, c, d, 1];
        let chunk = [0, 0, 0, 9].into_iter().chain(data).chain(checksum(&data).to_be_bytes());
        file.splice(AFTER_HEADER..AFTER_HEADER, chunk);
    }
    file
}

/// The CRC of PNG chunks (ISO/IEC 15948, annex D), bit by bit: the chunk is short.
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| {
            if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 }
        })
    })
}

/// Parses the drawing's SVG text as any reader would.
pub(crate) fn tree(drawing: &Drawing) -> anyhow::Result<Tree> {
    let options = Options {
        fontdb: Arc::clone(&FACES),
        font_family: typeface::FAMILY.to_owned(),
        dpi: 25.4, // millimetres of the sheet become units of the tree
        ..Options::default()
    };
    Tree::from_str(&svg::bare(drawing), &options).context("the picture's SVG text was refused")
}

/// The pixels of a sheet of paper, at so many dots to the millimetre.
///
/// # Errors
/// When the SVG text is not accepted or the sheet has no area.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a sheet of paper")]
pub(crate) fn rasterise(drawing: &Drawing, dots_per_mm: f64) -> anyhow::Result<Pixmap> {
    let paper_mm = drawing.paper.size_mm(drawing.size);
    let [width, height] = [paper_mm.x, paper_mm.y].map(|mm| (mm * dots_per_mm).round());
    let mut pixels = Pixmap::new(width as u32, height as u32)
        .ok_or_else(|| anyhow!("a picture of {width} × {height} dots cannot be drawn"))?;
    pixels.fill(Color::WHITE);
    paint_over(drawing, &mut pixels)?;
    Ok(pixels)
}

/// Paints a drawing over what is there, as wide as that.
///
/// # Errors
/// When the SVG text is not accepted.
#[expect(clippy::cast_possible_truncation, reason = "pixels to the millimetre")]
pub(crate) fn paint_over(drawing: &Drawing, pixels: &mut Pixmap) -> anyhow::Result<()> {
    let tree = tree(drawing)?;
    let scale = (f64::from(pixels.width()) / drawing.paper.size_mm(drawing.size).x) as f32;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    Ok(())
}
