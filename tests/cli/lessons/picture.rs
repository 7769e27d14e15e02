//! Committed pictures against freshly drawn ones.

use image::codecs::png::{CompressionType, FilterType as PngFilter, PngEncoder};
use image::imageops::{FilterType, resize};
use std::path::{Path, PathBuf};

/// Width of a committed picture, dots.
const WIDTH: u32 = 1170;
/// Pictures are compared in so many columns and rows: committed ones are smaller and have fewer
/// colours, and a letter more or less on another processor is no matter.
const CELLS: (u32, u32) = (72, 51);
/// No cell differs by more, of 255.
const ALIKE: f64 = 8.0;

/// The file that a command left for a picture: `comb-plan.png` is `plan.png` in the folder `comb` of
/// the run's `earline-out`.
pub(super) fn of_that_name(folder: &Path, name: &str) -> PathBuf {
    let out = folder.join("earline-out");
    let runs = std::fs::read_dir(&out).unwrap().map(|entry| entry.unwrap().path());
    let files = runs.filter_map(|run| {
        let stem = run.file_name().unwrap().to_str().unwrap().to_owned();
        let file = name.strip_prefix(&format!("{stem}-")).map(|file| run.join(file));
        file.filter(|file| file.exists())
    });
    files.last().unwrap_or_else(|| panic!("no command draws {name}"))
}

/// Puts what is drawn now in the place of a committed picture, small and with fewer colours.
pub(super) fn renew(shown: &Path, drawn: &Path) {
    let drawn = image::open(drawn).unwrap().to_rgb8();
    let height = drawn.height() * WIDTH / drawn.width();
    let mut small = resize(&drawn, WIDTH, height, FilterType::Lanczos3);
    for channel in small.iter_mut() {
        *channel = u8::try_from((u16::from(*channel) + 2) / 5 * 5).unwrap_or(u8::MAX);
    }
    let file = std::io::BufWriter::new(std::fs::File::create(shown).unwrap());
    let best = PngEncoder::new_with_quality(file, CompressionType::Best, PngFilter::Adaptive);
    small.write_with_encoder(best).unwrap();
}

/// Fails unless two pictures show the same.
pub(super) fn same(shown: &Path, drawn: &Path) {
    let read = |path: &Path| {
        let picture =
            image::open(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let grey = resize(&picture.to_luma8(), CELLS.0, CELLS.1, FilterType::Triangle);
        (f64::from(picture.width()) / f64::from(picture.height()), grey)
    };
    let ((shape, shown_cells), (drawn_shape, drawn_cells)) = (read(shown), read(drawn));
    assert!((shape - drawn_shape).abs() < 0.01, "{} has another shape", shown.display());
    let apart = shown_cells.iter().zip(drawn_cells.iter());
    let most = apart.map(|(a, b)| (f64::from(*a) - f64::from(*b)).abs()).fold(0.0, f64::max);
    assert!(most <= ALIKE, "{} is not what is drawn now ({most} of 255)", shown.display());
}
