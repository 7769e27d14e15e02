//! The words of the terminal without its lines and colours, for a page: a paragraph each.

use super::bass_room;
use crate::content::wave_field::Sounded;

/// Wider than any paragraph.
const WIDE: usize = 1 << 20;

/// How the modes are spaced, and how far down panels reach: headings with what stands under them.
pub(crate) fn bass_room(sounded: &Sounded<'_>) -> Vec<(String, Vec<String>)> {
    let parts = [bass_room::spacing(sounded, WIDE), bass_room::reach(sounded, WIDE)];
    let parts = parts.into_iter().filter(|lines| !lines.is_empty());
    parts
        .map(|lines| {
            let mut texts = lines.iter().map(|line| plain(line)).filter(|line| !line.is_empty());
            (texts.next().unwrap_or_default(), texts.collect())
        })
        .collect()
}

/// A line without its colours, its indent and its dash or dot.
fn plain(line: &str) -> String {
    let text = anstream::adapter::strip_str(line).to_string();
    let text = text.trim();
    text.strip_prefix("- ").or(text.strip_prefix("· ")).unwrap_or(text).to_owned()
}
