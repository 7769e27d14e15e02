//! Text in columns: tables that keep to their width, paragraphs that wrap.

use anstyle::Style;
use std::borrow::Cow;
use unicode_width::UnicodeWidthStr;

/// One field of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TextCell {
    text: String,
    style: Style,
}

/// Which side a column's fields lean on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lean {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table of short fields; below each row there may be lines of its own.
#[derive(Debug, Clone)]
pub(crate) struct TextTable {
    heads: Vec<(Cow<'static, str>, Lean)>,
    rows: Vec<TextRow>,
}

#[derive(Debug, Clone)]
struct TextRow {
    above: String,
    cells: Vec<TextCell>,
    under: Vec<String>,
}

impl TextCell {
    /// A field in a style.
    pub(crate) fn styled(text: impl Into<String>, style: Style) -> Self {
        Self { text: text.into(), style }
    }
}

impl TextTable {
    /// A table with these heads.
    pub(crate) fn new(heads: Vec<(impl Into<Cow<'static, str>>, Lean)>) -> Self {
        let heads = heads.into_iter().map(|(head, lean)| (head.into(), lean)).collect();
        Self { heads, rows: Vec::new() }
    }

    /// The width it takes where nothing wraps, without what stands above or under rows.
    pub(crate) fn width(&self) -> usize {
        let widths = self.widths(usize::MAX);
        INDENT + widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1)
    }

    /// Adds a row, and lines to put under it.
    pub(crate) fn row(&mut self, cells: Vec<TextCell>, under: Vec<String>) {
        self.row_under("", cells, under);
    }

    /// Adds a row with a line above it and lines to put under it.
    pub(crate) fn row_under(&mut self, above: &str, cells: Vec<TextCell>, under: Vec<String>) {
        self.rows.push(TextRow { above: above.to_owned(), cells, under });
    }

    /// The table, every line within `width`. The last column wraps when it must; lines under a
    /// row are indented to the second column.
    pub(crate) fn lines(&self, width: usize, head_style: Style) -> Vec<String> {
        let widths = self.widths(width);
        let gap = self.gap(&widths, width);
        let hang = INDENT + widths.first().copied().unwrap_or(0) + gap;
        let heads: Vec<TextCell> = self
            .heads
            .iter()
            .map(|(head, _)| TextCell::styled(head.as_ref(), head_style))
            .collect();
        let mut lines = self.row_lines(&heads, &widths, gap);
        for row in &self.rows {
            if !row.above.is_empty() {
                lines.extend(indented(&row.above, INDENT, width));
            }
            lines.extend(self.row_lines(&row.cells, &widths, gap));
            for text in &row.under {
                lines.extend(indented(text, hang, width));
            }
        }
        lines
    }

    fn widths(&self, width: usize) -> Vec<usize> {
        let widest = |column: usize| {
            let fields = self.rows.iter().filter_map(|row| row.cells.get(column));
            let head = self.heads.get(column).map_or(0, |(head, _)| head.width());
            fields.map(|cell| cell.text.width()).fold(head, usize::max)
        };
        let mut widths: Vec<usize> = (0..self.heads.len()).map(widest).collect();
        if let Some((last, others)) = widths.split_last_mut() {
            let taken = INDENT + others.iter().map(|w| w + GAP).sum::<usize>();
            *last = (*last).min(width.saturating_sub(taken).max(LEAST_LAST));
        }
        widths
    }

    /// Numbers do not wrap: where they are too many for the width, they stand closer.
    fn gap(&self, widths: &[usize], width: usize) -> usize {
        let all = INDENT + widths.iter().map(|w| w + GAP).sum::<usize>();
        let ends_in_numbers = self.heads.last().is_some_and(|(_, lean)| *lean == Lean::Right);
        if ends_in_numbers && width + GAP < all { 1 } else { GAP }
    }

    fn row_lines(&self, cells: &[TextCell], widths: &[usize], gap: usize) -> Vec<String> {
        let mut line = " ".repeat(INDENT);
        let mut more = Vec::new();
        for (i, ((cell, &width), (_, lean))) in
            cells.iter().zip(widths).zip(&self.heads).enumerate()
        {
            let is_last = i + 1 == cells.len();
            let start = line_width(&line);
            let mut parts = paragraph(&cell.text, if is_last { width } else { usize::MAX });
            let text = if parts.is_empty() { String::new() } else { parts.remove(0) };
            let pad = " ".repeat(width.saturating_sub(text.width()));
            let style = cell.style;
            let (before, after) = match lean {
                Lean::Right => (pad.as_str(), ""),
                Lean::Left if is_last => ("", ""),
                Lean::Left => ("", pad.as_str()),
            };
            line.extend([format!("{before}{style}{text}{style:#}{after}")]);
            if is_last {
                more = parts.into_iter().map(|part| " ".repeat(start) + &part).collect();
            } else {
                line += &" ".repeat(gap);
            }
        }
        let mut lines = vec![line.trim_end().to_owned()];
        lines.extend(more);
        lines
    }
}

/// Spaces before a table.
const INDENT: usize = 2;
/// Spaces between columns.
pub(crate) const GAP: usize = 2;
/// The last column is never squeezed below this.
const LEAST_LAST: usize = 12;

/// A paragraph within `width`.
pub(crate) fn paragraph(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in glued(text) {
        if !line.is_empty() && width < line.width() + 1 + word.width() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line += &word;
    }
    lines.push(line);
    lines
}

/// Words, with a number and what belongs to it held together: `1.20 m`, `2 ft 4 1/2 in`, `30° up`,
/// `no. 3`.
fn glued(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches(|c: char| c.is_ascii_punctuation() && c != '%');
        let is_unit = ["m", "mm", "ms", "µs", "s", "ft", "in", "dB", "Hz", "kHz", "%", "m²", "m³"]
            .contains(&bare);
        let is_number = bare.starts_with(|c: char| c.is_ascii_digit());
        let is_fraction = is_number && bare.contains('/');
        let is_way = ["up", "down", "forward", "backward"].contains(&bare);
        let belongs = |last: &str| {
            let after_digit = last.ends_with(|c: char| c.is_ascii_digit());
            (after_digit && (is_unit || is_fraction))
                // Inches after feet: half a length would be a wrong length.
                || (last.ends_with(" ft") && is_number)
                || (last.ends_with('°') && is_way)
                || last.ends_with("no.")
        };
        match words.last_mut() {
            Some(last) if belongs(last) => {
                *last += " ";
                *last += word;
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// A paragraph whose every line is set in by `indent`.
pub(crate) fn indented(text: &str, indent: usize, width: usize) -> Vec<String> {
    item(&" ".repeat(indent), text, width)
}

/// A paragraph that begins with a mark; its further lines start where the text does.
pub(crate) fn item(mark: &str, text: &str, width: usize) -> Vec<String> {
    let room = width.saturating_sub(mark.width()).max(LEAST_LAST);
    let lines = paragraph(text, room).into_iter().enumerate();
    let hang = " ".repeat(mark.width());
    lines.map(|(i, line)| if i == 0 { mark.to_owned() } else { hang.clone() } + &line).collect()
}

/// Width of a line without the escape sequences of its colours.
fn line_width(line: &str) -> usize {
    anstream::adapter::strip_str(line).to_string().width()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> TextCell {
        TextCell::styled(text, Style::new())
    }

    #[test]
    fn paragraphs_keep_their_width_and_lose_no_word() {
        let text = "the quick brown fox jumps over the lazy dog and does it again tomorrow";
        for width in 15..60 {
            let lines = item(" * ", text, width);
            assert!(lines.iter().all(|line| line.width() <= width), "{width} {lines:?}");
            let words: Vec<&str> = lines.iter().flat_map(|l| l.split_whitespace()).collect();
            assert_eq!(words.join(" "), format!("* {text}"));
        }
    }

    #[test]
    fn a_figure_is_never_torn_apart() {
        let text =
            "at 6 ft 1 1/8 in from front wall, 1.20 m up; heard 23° forward (no. 3), 35 %, no";
        let lines = paragraph(text, 10);
        for whole in ["6 ft 1 1/8 in", "1.20 m", "23° forward", "no. 3", "35 %"] {
            assert!(lines.iter().any(|line| line.contains(whole)), "{whole} in {lines:?}");
        }
    }

    #[test]
    fn columns_line_up_and_the_last_wraps() {
        let mut table = TextTable::new(vec![("No", Lean::Right), ("Hits", Lean::Left)]);
        table.row(vec![plain("7"), plain("left, then back, then ceiling")], vec![]);
        table.row(vec![plain("112"), plain("floor")], vec!["where it is".into()]);
        assert_eq!(
            table.lines(24, Style::new()),
            [
                "   No  Hits",
                "    7  left, then back,",
                "       then ceiling",
                "  112  floor",
                "       where it is",
            ]
        );
    }

    #[test]
    fn colours_take_no_room() {
        let bold = Style::new().bold();
        let mut table = TextTable::new(vec![("A", Lean::Left), ("B", Lean::Left)]);
        table.row(vec![TextCell::styled("wide", bold), plain("x y z w v u t s r q p")], vec![]);
        let lines = table.lines(20, bold);
        let stripped: Vec<String> =
            lines.iter().map(|l| anstream::adapter::strip_str(l).to_string()).collect();
        assert_eq!(stripped, ["  A     B", "  wide  x y z w v u", "        t s r q p"]);
    }
}
