//! Text in columns: tables that keep to their width, paragraphs that wrap.

use anstyle::Style;
use unicode_width::UnicodeWidthStr;

/// One field of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cell {
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
pub(crate) struct Table {
    heads: Vec<(&'static str, Lean)>,
    rows: Vec<(Vec<Cell>, Vec<String>)>,
}

impl Cell {
    /// A plain field.
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self::styled(text, Style::new())
    }

    /// A field in a style.
    pub(crate) fn styled(text: impl Into<String>, style: Style) -> Self {
        Self { text: text.into(), style }
    }
}

impl Table {
    /// A table with these heads.
    pub(crate) fn new(heads: Vec<(&'static str, Lean)>) -> Self {
        Self { heads, rows: Vec::new() }
    }

    /// Adds a row, and lines to put under it.
    pub(crate) fn row(&mut self, cells: Vec<Cell>, under: Vec<String>) {
        self.rows.push((cells, under));
    }

    /// The table, every line within `width`. The last column wraps when it must; lines under a
    /// row are indented to the second column.
    pub(crate) fn lines(&self, width: usize, head_style: Style) -> Vec<String> {
        let widths = self.widths(width);
        let hang = INDENT + widths.first().copied().unwrap_or(0) + GAP;
        let heads: Vec<Cell> =
            self.heads.iter().map(|(head, _)| Cell::styled(*head, head_style)).collect();
        let mut lines = self.row_lines(&heads, &widths);
        for (cells, under) in &self.rows {
            lines.extend(self.row_lines(cells, &widths));
            for text in under {
                lines.extend(indented(text, hang, width));
            }
        }
        lines
    }

    fn widths(&self, width: usize) -> Vec<usize> {
        let widest = |column: usize| {
            let fields = self.rows.iter().filter_map(|(cells, _)| cells.get(column));
            let head = self.heads.get(column).map_or(0, |(head, _)| head.width());
            fields.map(|cell| cell.text.width()).fold(head, usize::max)
        };
        let mut widths: Vec<usize> = (0..self.heads.len()).map(widest).collect();
        if let Some((last, others)) = widths.split_last_mut() {
            let taken = INDENT + others.iter().map(|w| w + GAP).sum::<usize>();
            *last = (*last).min(width.saturating_sub(taken)).max(LEAST_LAST);
        }
        widths
    }

    fn row_lines(&self, cells: &[Cell], widths: &[usize]) -> Vec<String> {
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
            match lean {
                Lean::Right => line += &format!("{pad}{style}{text}{style:#}"),
                Lean::Left if is_last => line += &format!("{style}{text}{style:#}"),
                Lean::Left => line += &format!("{style}{text}{style:#}{pad}"),
            }
            if is_last {
                more = parts.into_iter().map(|part| " ".repeat(start) + &part).collect();
            } else {
                line += &" ".repeat(GAP);
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
const GAP: usize = 2;
/// The last column is never squeezed below this.
const LEAST_LAST: usize = 12;

/// A paragraph within `width`.
pub(crate) fn paragraph(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && width < line.width() + 1 + word.width() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line += word;
    }
    lines.push(line);
    lines
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
    fn columns_line_up_and_the_last_wraps() {
        let mut table = Table::new(vec![("No", Lean::Right), ("Hits", Lean::Left)]);
        table.row(vec![Cell::plain("7"), Cell::plain("left, then back, then ceiling")], vec![]);
        table.row(vec![Cell::plain("112"), Cell::plain("floor")], vec!["where it is".into()]);
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
        let mut table = Table::new(vec![("A", Lean::Left), ("B", Lean::Left)]);
        table.row(vec![Cell::styled("wide", bold), Cell::plain("x y z w v u t s r q p")], vec![]);
        let lines = table.lines(20, bold);
        let plain: Vec<String> =
            lines.iter().map(|l| anstream::adapter::strip_str(l).to_string()).collect();
        assert_eq!(plain, ["  A     B", "  wide  x y z w v u", "        t s r q p"]);
    }
}
