//! The bundled typeface and how wide its letters are.

use super::{Anchor, Item, Rect, Text, Weight};
use glam::DVec2;
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};
use std::sync::LazyLock;

/// The family name that the bundled faces carry.
pub(crate) const FAMILY: &str = "Earline Sans";
/// The faces for measuring and for drawing PNG files.
pub(crate) const FACES: [&[u8]; 2] = [
    include_bytes!("../../assets/earline-sans-regular.ttf"),
    include_bytes!("../../assets/earline-sans-semibold.ttf"),
];
/// Packed faces for writing into SVG files, with their CSS weights.
pub(crate) const PACKED: [(u16, &[u8]); 2] = [
    (400, include_bytes!("../../assets/earline-sans-regular.woff2")),
    (600, include_bytes!("../../assets/earline-sans-semibold.woff2")),
];
/// Height of capitals above the baseline, as a part of the size.
pub(crate) const CAPITAL: f64 = 0.689;
/// Highest mark above the baseline that labels keep clear for, as a part of the size.
const ABOVE: f64 = 0.76;
/// Deepest tail under the baseline, as a part of the size.
const BELOW: f64 = 0.22;

/// How wide the letters of a face are.
struct Face {
    letters: Charmap<'static>,
    advances: GlyphMetrics<'static>,
    units_per_em: f64,
}

impl Face {
    fn of(bytes: &'static [u8]) -> Option<Self> {
        let font = FontRef::new(bytes).ok()?;
        let (size, location) = (Size::unscaled(), LocationRef::default());
        Some(Self {
            letters: font.charmap(),
            advances: font.glyph_metrics(size, location),
            units_per_em: f64::from(font.metrics(size, location).units_per_em),
        })
    }

    /// Width of a letter in the face's own units; of one that is not in it, that of the empty box.
    fn width(&self, letter: char) -> f64 {
        let glyph = self.letters.map(letter).unwrap_or_default();
        f64::from(self.advances.advance_width(glyph).unwrap_or(0.0))
    }
}

static PARSED: LazyLock<[Option<Face>; 2]> = LazyLock::new(|| FACES.map(Face::of));

/// Width of a line of text in millimetres, before kerning.
pub(crate) fn width(content: &str, size: f64, weight: Weight) -> f64 {
    let Some(face) = &PARSED[weight as usize] else {
        return 0.0; // never: a test parses both faces
    };
    let units: f64 = content.chars().map(|letter| face.width(letter)).sum();
    units / face.units_per_em * size
}

/// Whether the bundled typeface has a letter in both weights.
#[cfg(test)]
pub(crate) fn has(letter: char) -> bool {
    PARSED.iter().all(|face| face.as_ref().is_some_and(|face| face.letters.map(letter).is_some()))
}

/// The text, or as much of its beginning as fits in a width, with an ellipsis.
pub(crate) fn fit(content: &str, size: f64, weight: Weight, room_mm: f64) -> String {
    if width(content, size, weight) <= room_mm {
        return content.to_owned();
    }
    let mut kept = String::new();
    for letter in content.chars() {
        let longer = format!("{kept}{letter}…");
        if width(&longer, size, weight) > room_mm {
            break;
        }
        kept.push(letter);
    }
    format!("{}…", kept.trim_end())
}

/// Extent of a text on the sheet, tails and accents included.
pub(crate) fn extent(text: &Text) -> Rect {
    let long = width(&text.content, text.size, text.weight);
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -long / 2.0,
        Anchor::End => -long,
    };
    let (above, below) = (ABOVE * text.size, BELOW * text.size);
    let [min, max] = if text.rotated {
        [DVec2::new(-above, -start - long), DVec2::new(below, -start)]
    } else {
        [DVec2::new(start, -above), DVec2::new(start + long, below)]
    };
    Rect { min: text.at + min, max: text.at + max }
}

/// Every text among the items, clipped ones too.
pub(crate) fn all(items: &[Item]) -> Vec<&Text> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Shape(_) => Vec::new(),
            Item::Text(text) => vec![text],
            Item::Group { items, .. } | Item::Clipped { items, .. } => all(items),
        })
        .collect()
}
