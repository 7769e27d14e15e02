//! Words of messages: "did you mean", lists, and what the user wrote, cut to a readable length.

/// The allowed word nearest to what was written, when it is near enough to be a slip of the pen.
pub fn nearest<'a>(written: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if QUOTED_MAX < written.chars().count() {
        return None;
    }
    let lower = written.trim().to_lowercase();
    allowed
        .into_iter()
        .map(|word| (likeness(&lower, &word.to_lowercase()), word))
        .filter(|&(likeness, _)| NEAR <= likeness)
        // The first of equals wins, so that the order of the list decides.
        .fold(None, |best: Option<(f64, &str)>, next| match best {
            Some(best) if next.0 <= best.0 => Some(best),
            _ => Some(next),
        })
        .map(|(_, word)| word)
}

/// Likeness above which a word is offered. Chosen by trying common slips: `lenght`, `heigth`,
/// `diretivity`, `gypsum on studs`; unrelated words stay below it.
const NEAR: f64 = 0.6;

/// 1 for equal words, 0 for words with nothing in common.
fn likeness(written: &str, word: &str) -> f64 {
    let edits = strsim::normalized_damerau_levenshtein(written, word);
    // A word cut short or written out: `temperature` for `temperature_c`.
    let cut = written.len() >= 3 && (word.starts_with(written) || written.starts_with(word));
    if cut { edits.max(0.8) } else { edits }
}

/// Longest piece of the user's own text repeated in a message, in characters.
const QUOTED_MAX: usize = 60;

/// The user's own text, cut short when it is long.
pub fn shortened(written: &str) -> String {
    match written.char_indices().nth(QUOTED_MAX) {
        Some((end, _)) => format!("{}…", written.get(..end).unwrap_or_default()),
        None => written.to_owned(),
    }
}

/// The user's own text, made printable and cut short when it is long.
pub(super) fn quoted(written: &str) -> String {
    shortened(written).escape_debug().to_string()
}

/// Most words of a list that are named.
const LISTED_MAX: usize = 20;

/// Words in a row for a message: `a`, `b` and `c`; of a long list the first, and how many more there are.
pub fn list<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let mut words = words.into_iter();
    let listed: Vec<String> =
        words.by_ref().take(LISTED_MAX).map(|word| format!("`{word}`")).collect();
    let more = words.count();
    match listed.split_last() {
        None => "none".to_owned(),
        Some(_) if 0 < more => format!("{} and {more} more", listed.join(", ")),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// Longest name, title or other text of a scene, in characters.
pub const MAX_TEXT_CHARS: usize = 200;

/// Whether a character turns or isolates runs of text (Unicode Standard Annex 9): in a name it would turn
/// what stands beside it. Right-to-left scripts need none.
pub fn turns_writing(c: char) -> bool {
    matches!(c, '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_pen_find_their_word() {
        let keys = ["length", "width", "height", "temperature_c", "directivity"];
        for (written, word) in [
            ("lenght", "length"),
            ("Height", "height"),
            ("temperature", "temperature_c"),
            ("diretivity", "directivity"),
            ("widht", "width"),
        ] {
            assert_eq!(nearest(written, keys), Some(word), "{written}");
        }
        assert_eq!(nearest("colour", keys), None);
    }

    #[test]
    fn lists_read_like_a_sentence() {
        assert_eq!(list(["a"]), "`a`");
        assert_eq!(list(["a", "b", "c"]), "`a`, `b` and `c`");
        assert_eq!(list([]), "none");
    }
}
