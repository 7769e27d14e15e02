//! A document as lines of a terminal.

use super::columns::{self, Lean, indented, item, paragraph};
use crate::content::document::{
    Align, Block, Cell, Column, Document, Finding, MarkedItem, Row, Table, Tone,
};
use crate::io::terminal::{ALERT, GOOD, HEADING, QUIET};
use anstyle::Style;
use unicode_width::UnicodeWidthStr;

/// Characters before a note and before the lines of a table.
const INDENT: usize = 2;
/// The mark before a point of a list.
const POINT: &str = "  - ";

/// The document with a line end after its last line, every line within `width` characters.
pub(crate) fn text(document: &Document, width: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    for block in document.blocks() {
        block_lines(block, width, &mut lines);
    }
    lines.push(String::new());
    lines.join("\n")
}

fn block_lines(block: &Block, width: usize, lines: &mut Vec<String>) {
    match block {
        Block::Title(text) => lines.extend(bold(text, width)),
        Block::Heading(text) => {
            pause(lines);
            lines.extend(bold(text, width));
        }
        Block::Paragraph(text) => lines.extend(paragraph(text, width)),
        Block::Note(text) => lines.extend(indented(text, INDENT, width)),
        Block::List(points) | Block::Caution(points) => {
            lines.extend(points.iter().flat_map(|text| item(POINT, text, width)));
        }
        Block::Warning(text) => {
            lines.extend(
                paragraph(text, width).iter().map(|line| format!("{ALERT}{line}{ALERT:#}")),
            );
        }
        Block::Items(items) => {
            lines.extend(items.iter().flat_map(|item| item_lines(item, width)));
        }
        Block::Verdict(findings) => lines.extend(findings.iter().flat_map(|f| finding(f, width))),
        Block::Table(table) => lines.extend(table_lines(table, width)),
        Block::Widths(tables) => lines.extend(widest_that_fits(tables, width)),
        Block::Pause => pause(lines),
    }
}

/// An empty line, where the lines so far do not end in one.
fn pause(lines: &mut Vec<String>) {
    if lines.last().is_some_and(|line| !line.is_empty()) {
        lines.push(String::new());
    }
}

fn bold(text: &str, width: usize) -> impl Iterator<Item = String> {
    paragraph(text, width).into_iter().map(|line| format!("{HEADING}{line}{HEADING:#}"))
}

/// A point behind its mark, its further lines below the first.
fn item_lines(point: &MarkedItem, width: usize) -> Vec<String> {
    let mark = format!("{:INDENT$}{} ", "", point.mark);
    let indent = mark.width();
    let lines = point.lines.iter().enumerate();
    lines
        .flat_map(
            |(index, text)| {
                if index == 0 { item(&mark, text, width) } else { indented(text, indent, width) }
            },
        )
        .collect()
}

/// A finding behind its grade, whose words are all of one length.
fn finding(finding: &Finding, width: usize) -> Vec<String> {
    let (word, style) = (finding.grade.word(), style(finding.grade.tone()));
    let mut lines = item(&format!("{:INDENT$}{word}  ", ""), &finding.text, width);
    if let Some(first) = lines.first_mut() {
        *first = first.replacen(word, &format!("{style}{word}{style:#}"), 1);
    }
    lines
}

/// The lines of the first table that fits, or of the last.
fn widest_that_fits(tables: &[Table], width: usize) -> Vec<String> {
    let fits = |table: &&Table| laid_out(table, width, true).width() <= width;
    let table = tables.iter().find(fits).or(tables.last());
    table.map_or_else(Vec::new, |table| table_lines(table, width))
}

/// The style of a tone.
fn style(tone: Tone) -> Style {
    match tone {
        Tone::Plain => Style::new(),
        Tone::Good => GOOD,
        Tone::Alert => ALERT,
        Tone::Quiet => QUIET,
    }
}

/// The lines of a table: with errors beside their figures where that fits, else in rows of their own.
fn table_lines(table: &Table, width: usize) -> Vec<String> {
    let has_errors = table.rows.iter().flat_map(|row| &row.cells).any(|cell| cell.error.is_some());
    if has_errors {
        let beside = laid_out(table, width, true);
        if beside.width() <= width {
            return beside.lines(width, QUIET);
        }
    }
    laid_out(table, width, false).lines(width, QUIET)
}

/// The table in the columns that a page of this width has.
fn laid_out(table: &Table, width: usize, errors_beside: bool) -> columns::TextTable {
    let stands: Vec<bool> = table.columns.iter().map(|c| c.from_width <= width).collect();
    let lean = |column: &Column| match column.align {
        Align::Left => Lean::Left,
        Align::Right => Lean::Right,
    };
    let heads: Vec<_> = table
        .columns
        .iter()
        .zip(&stands)
        .filter(|(_, stands)| **stands)
        .map(|(column, _)| (column.head.clone(), lean(column)))
        .collect();
    let mut lines = columns::TextTable::new(heads);
    let hang = hanging_indent(table, &stands);
    for row in &table.rows {
        let shown: Vec<&Cell> =
            row.cells.iter().zip(&stands).filter(|(_, stands)| **stands).map(|(c, _)| c).collect();
        let cells = shown.iter().map(|cell| laid_out_cell(cell, errors_beside)).collect();
        lines.row_under(
            row.group.as_deref().unwrap_or(""),
            cells,
            under(row, &stands, hang, width),
        );
        if !errors_beside && shown.iter().any(|cell| cell.error.is_some()) {
            lines.row(error_row(&shown), Vec::new());
        }
    }
    lines
}

fn laid_out_cell(cell: &Cell, errors_beside: bool) -> columns::TextCell {
    match &cell.error {
        Some(error) if errors_beside => {
            columns::TextCell::styled(format!("{} ±{error}", cell.text), style(cell.tone))
        }
        _ => columns::TextCell::styled(cell.text.clone(), style(cell.tone)),
    }
}

/// The standard errors of a row's figures as a row below it.
fn error_row(shown: &[&Cell]) -> Vec<columns::TextCell> {
    let errors = shown.iter().enumerate().map(|(index, cell)| {
        let text = if index == 0 { "±" } else { cell.error.as_deref().unwrap_or("") };
        columns::TextCell::styled(text, QUIET)
    });
    errors.collect()
}

/// Characters before the lines under a row: the first column with its gap.
fn hanging_indent(table: &Table, stands: &[bool]) -> usize {
    let first = stands.iter().position(|stands| *stands).unwrap_or(0);
    let cells = table.rows.iter().filter_map(|row| row.cells.get(first));
    let head = table.columns.get(first).map_or(0, |column| column.head.width());
    let widest = cells.map(|cell| cell.text.width()).fold(head, usize::max);
    INDENT + widest + columns::GAP
}

/// The lines under a row: its notes, and what its columns that do not stand would say; on one line
/// where that fits.
fn under(row: &Row, stands: &[bool], hang: usize, width: usize) -> Vec<String> {
    let folded: Vec<&str> = row
        .cells
        .iter()
        .zip(stands)
        .filter(|(_, stands)| !**stands)
        .filter_map(|(cell, _)| cell.folded.as_deref())
        .collect();
    let alert = row.alert.iter().map(|text| format!("{ALERT}{text}{ALERT:#}"));
    let mut lines: Vec<String> = alert.chain(row.notes.iter().cloned()).collect();
    if folded.is_empty() {
        return lines;
    }
    let folded = folded.join(", ");
    match lines.last_mut() {
        Some(last) if hang + last.width() + 2 + folded.width() <= width => {
            *last += "; ";
            *last += &folded;
        }
        _ => lines.push(folded),
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(document: &Document, width: usize) -> String {
        anstream::adapter::strip_str(&text(document, width)).to_string()
    }

    #[test]
    fn a_narrow_page_folds_a_column_under_its_rows() {
        let columns =
            vec![Column::right("No"), Column::left("Comes").from(30), Column::left("Hits")];
        let mut table = Table::new("Reflections", columns);
        let cells = vec![
            Cell::plain("7"),
            Cell::plain("23° left").or_under("from 23° left"),
            Cell::plain("ceiling"),
        ];
        table.row(cells).note("at 1.20 m");
        let mut document = Document::default();
        document.title("A room").table(table);
        assert_eq!(
            plain(&document, 40),
            "A room\n  No  Comes     Hits\n   7  23° left  ceiling\n      at 1.20 m\n"
        );
        assert_eq!(
            plain(&document, 29),
            "A room\n  No  Hits\n   7  ceiling\n      at 1.20 m\n      from 23° left\n"
        );
    }

    #[test]
    fn errors_stand_beside_their_figures_where_they_fit() {
        let columns = vec![Column::left("Speaker"), Column::right("63"), Column::right("125")];
        let mut table = Table::new("Decay", columns);
        table.row(vec![
            Cell::plain("main"),
            Cell::plain("0.36").with_error("0.01"),
            Cell::plain("0.30").with_error("0.02"),
        ]);
        let mut document = Document::default();
        document.heading("Decay").table(table);
        assert_eq!(
            plain(&document, 40),
            "Decay\n  Speaker          63         125\n  main     0.36 ±0.01  0.30 ±0.02\n"
        );
        assert_eq!(
            plain(&document, 24),
            "Decay\n  Speaker    63   125\n  main     0.36  0.30\n  ±        0.01  0.02\n"
        );
    }

    #[test]
    fn blocks_follow_with_one_empty_line_before_a_heading() {
        let mut document = Document::default();
        document.title("A").paragraph("b").pause().heading("C").note("d").list(["e".to_owned()]);
        assert_eq!(plain(&document, 60), "A\nb\n\nC\n  d\n  - e\n");
    }
}
