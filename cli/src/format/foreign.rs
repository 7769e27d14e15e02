//! Text that came from outside, as it may stand on a terminal: names of files, arguments, lines of a file
//! that is no scene.

use earline_engine::scene::{shortened, turns_writing};
use std::path::Path;

/// Text without characters that steer a terminal or turn the direction of writing; each is replaced.
pub(crate) fn visible(text: &str) -> String {
    let shown = |c: char| if is_steering(c) { char::REPLACEMENT_CHARACTER } else { c };
    text.chars().map(shown).collect()
}

/// A word of the user's own in a message: [`visible`], and cut short when it is long.
pub(crate) fn quoted(text: &str) -> String {
    visible(&shortened(text))
}

/// Of a longer path both ends are shown, so many characters each; the usual ones are far shorter.
const PATH_END: usize = 200;

/// A path in one piece, as [`visible`] text.
pub(crate) fn path(path: impl AsRef<Path>) -> String {
    let path = visible(&path.as_ref().to_string_lossy());
    let mut letters = path.char_indices();
    let ends = (letters.nth(PATH_END), letters.nth_back(PATH_END - 1));
    let (Some((head, _)), Some((tail, _))) = ends else { return path };
    format!("{}…{}", path.get(..head).unwrap_or_default(), path.get(tail..).unwrap_or_default())
}

/// Text as [`visible`] has it, on its lines and with every character as many bytes long as before, so
/// that places in it stay where they are.
pub(crate) fn visible_in_place(text: &str) -> String {
    let shown = |c: char| match (is_steering(c) && !matches!(c, '\n' | '\r' | '\t'), c.len_utf8()) {
        (false, _) => c,
        (true, 1) => '?',
        (true, 2) => '¿',
        (true, _) => char::REPLACEMENT_CHARACTER,
    };
    text.chars().map(shown).collect()
}

/// Whether a character is not printed: controls of both sets, and those that turn or separate runs of
/// text (Unicode Standard Annex 9).
pub(crate) fn is_steering(c: char) -> bool {
    c.is_control() || turns_writing(c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_steers() {
        for c in ['\u{1b}', '\u{7}', '\u{7f}', '\u{9b}', '\u{9d}', '\u{202e}', '\u{2067}', '\n'] {
            assert_eq!(visible(&format!("a{c}b")), "a\u{fffd}b");
        }
        assert_eq!(visible("Müller's Raum, 音響"), "Müller's Raum, 音響");
    }

    #[test]
    fn long_ones_are_cut() {
        assert_eq!(quoted(&"x".repeat(100_000)), format!("{}…", "x".repeat(60)));
        let whole = "ä".repeat(400);
        assert_eq!(path(&whole), whole);
        let long = format!("a{}z", "ä".repeat(100_000));
        let cut = format!("a{}…{}z", "ä".repeat(199), "ä".repeat(199));
        assert_eq!(path(&long), cut);
    }

    #[test]
    fn places_stay() {
        let text = "a\u{1b}[2J\u{9b}31m\u{202e}b\n\tc";
        let shown = visible_in_place(text);
        assert_eq!(shown.len(), text.len());
        assert_eq!(shown, "a?[2J¿31m\u{fffd}b\n\tc");
    }
}
