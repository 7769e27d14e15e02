//! Something at a wall on the command line: `left`, or `left,at=1.2 m,width=90 cm`.

use super::{Measured, measured};
use crate::content::first_scene::{Measure, PieceKind};
use earline_engine::scene::Surface;

/// The wall of a thing, and what is known of its place and size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct WallPiece {
    /// The wall.
    pub(crate) on: Surface,
    measured: [Option<Measured>; 5],
}

impl WallPiece {
    /// A thing of which only the wall is known.
    pub(crate) fn on(wall: Surface) -> Self {
        Self { on: wall, measured: [None; 5] }
    }

    /// A measure, where it is known.
    pub(crate) fn get(&self, measure: Measure) -> Option<Measured> {
        self.measured.get(measure as usize).copied().flatten()
    }

    /// The same with one more measure known.
    pub(crate) fn with(mut self, measure: Measure, length: Measured) -> Self {
        if let Some(known) = self.measured.get_mut(measure as usize) {
            *known = Some(length);
        }
        self
    }

    /// All measures that are known.
    pub(crate) fn lengths(&self) -> impl Iterator<Item = Measured> {
        self.measured.into_iter().flatten()
    }
}

/// Reads the name of a wall.
///
/// # Errors
/// It is none; the walls.
pub(crate) fn wall(text: &str) -> Result<Surface, String> {
    let word = text.trim().to_lowercase();
    let word = word.strip_suffix(" wall").unwrap_or(&word).trim_end();
    let walls = [Surface::Front, Surface::Back, Surface::Left, Surface::Right];
    let found = walls.into_iter().find(|wall| wall.name() == word);
    found.ok_or_else(|| "the walls are front, back, left and right".to_owned())
}

/// Reader of a thing of this kind: its wall, then `measure=length` for what is known, with commas between.
pub(super) fn wall_piece(
    kind: PieceKind,
) -> impl Fn(&str) -> Result<WallPiece, String> + Clone + Send + Sync + 'static {
    move |text| {
        let mut parts = text.split(',');
        let mut piece = WallPiece::on(wall(parts.next().unwrap_or_default())?);
        for part in parts {
            let (measure, length) = measure(kind, part)?;
            if piece.get(measure).is_some() {
                return Err(format!("`{}` is given twice", measure.word()));
            }
            piece = piece.with(measure, length);
        }
        Ok(piece)
    }
}

fn measure(kind: PieceKind, part: &str) -> Result<(Measure, Measured), String> {
    let words: Vec<&str> = kind.measures().iter().map(|measure| measure.word()).collect();
    let wrong = || {
        format!(
            "after the wall come {}, each as in width=90 cm, with commas between; the decimal mark is a point",
            words.join(", ")
        )
    };
    let (word, length) = part.split_once('=').ok_or_else(wrong)?;
    let known = kind.measures().iter().find(|measure| measure.word() == word.trim());
    Ok((*known.ok_or_else(wrong)?, measured(length.trim())?))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::*;

    #[test]
    fn a_wall_and_what_is_known() {
        let read = wall_piece(PieceKind::Window);
        assert_eq!(read("Left wall"), Ok(WallPiece::on(Surface::Left)));
        let piece = read("back, at=1.2 m,width = 90 cm,sill=3 ft").unwrap();
        assert_eq!(piece.on, Surface::Back);
        let metres = |measure| piece.get(measure).map(|length| (length.metres * 1e4).round() / 1e4);
        assert_eq!(metres(Measure::At), Some(1.2));
        assert_eq!(metres(Measure::Width), Some(0.9));
        assert_eq!((metres(Measure::Height), metres(Measure::Sill)), (None, Some(0.9144)));
        for (wrong, says) in [
            ("", "the walls are"),
            ("floor", "the walls are"),
            ("-1", "the walls are"),
            ("left,1.2 m", "after the wall come at, width, height, sill"),
            ("left,depth=1 m", "after the wall come"),
            ("left,at=1,2 m", "the decimal mark is a point"),
            ("left,at=1 m,at=2 m", "given twice"),
            ("left,at=1 yd", "not a unit"),
        ] {
            assert!(read(wrong).unwrap_err().contains(says), "{wrong}: {:?}", read(wrong));
        }
        assert!(wall_piece(PieceKind::Rack)("left,depth=1 m").is_ok());
    }
}
