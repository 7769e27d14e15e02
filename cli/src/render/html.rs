//! A document as HTML.

use crate::canvas::Drawing;
use crate::content::document::{Align, Block, Cell, Document, Row, Table, Tone};
use crate::plot;
use maud::{Markup, PreEscaped, html};

/// The blocks of a document; its title is left to the page.
pub(crate) fn blocks(document: &Document) -> Markup {
    html! { @for block in document.blocks() { (markup(block)) } }
}

fn markup(block: &Block) -> Markup {
    match block {
        Block::Title(_) | Block::Pause => html! {},
        Block::Heading(text) => html! { h3 { (text) } },
        Block::Paragraph(text) => html! { p { (prose(text)) } },
        Block::Note(text) => html! { p.modest { (prose(text)) } },
        Block::List(points) => list(points),
        Block::Caution(points) => {
            html! { ul.caution { @for point in points { li { (prose(point)) } } } }
        }
        Block::Warning(text) => html! { p.over { (prose(text)) } },
        Block::Items(items) => html! {
            ul.marked {
                @for item in items {
                    li {
                        span.letter { (item.mark) }
                        @for line in &item.lines { " " (prose(line)) }
                    }
                }
            }
        },
        Block::Verdict(findings) => html! {
            ul.marked {
                @for finding in findings {
                    li {
                        strong class=[class(Align::Left, finding.grade.tone())] {
                            (finding.grade.word())
                        }
                        " " (prose(&finding.text))
                    }
                }
            }
        },
        Block::Table(own) => table(own),
        Block::Widths(tables) => {
            html! { @if let Some(widest) = tables.first() { (table(widest)) } }
        }
    }
}

/// A list without an order.
pub(crate) fn list<T: AsRef<str>>(points: &[T]) -> Markup {
    html! { ul { @for point in points { li { (prose(point.as_ref())) } } } }
}

/// A table that scrolls aside where the page is narrow.
pub(crate) fn table(table: &Table) -> Markup {
    html! {
        div.wide role="region" aria-label=(table.caption) {
            table {
                caption { (table.caption) }
                thead { tr {
                    @for column in &table.columns {
                        th scope="col" class=[class(column.align, Tone::Plain)] { (column.head) }
                    }
                } }
                tbody { @for row in &table.rows { (row_markup(table, row)) } }
            }
        }
    }
}

fn row_markup(table: &Table, row: &Row) -> Markup {
    html! {
        @if let Some(group) = &row.group {
            tr { th.group scope="rowgroup" colspan=(table.columns.len()) { (prose(group)) } }
        }
        tr {
            @for (index, (cell, column)) in row.cells.iter().zip(&table.columns).enumerate() {
                @let class = class(column.align, cell.tone);
                @let is_last = index + 1 == table.columns.len();
                @if index == 0 {
                    th scope="row" class=[class] { (cell_markup(cell)) @if is_last { (notes(row)) } }
                } @else {
                    td class=[class] { (cell_markup(cell)) @if is_last { (notes(row)) } }
                }
            }
        }
    }
}

fn cell_markup(cell: &Cell) -> Markup {
    html! {
        (prose(&cell.text))
        @if let Some(error) = &cell.error { span.error { " ±" (error) } }
    }
}

fn notes(row: &Row) -> Markup {
    html! {
        @if let Some(alert) = &row.alert { br; span.over { (prose(alert)) } }
        @for note in &row.notes { br; span.under { (prose(note)) } }
    }
}

/// A whole drawing, without the frame of its sheet.
pub(crate) fn figure(drawing: &Drawing, id_prefix: &str) -> Markup {
    let svg = plot::unframed(drawing, id_prefix);
    html! {
        figure.whole {
            div.paper role="group" aria-label=(drawing.title) { (PreEscaped(svg)) }
        }
    }
}

/// The classes of a cell, for its side and its tone.
fn class(align: Align, tone: Tone) -> Option<&'static str> {
    match (align, tone) {
        (Align::Left, Tone::Plain) => None,
        (Align::Left, Tone::Good) => Some("within"),
        (Align::Left, Tone::Alert) => Some("over"),
        (Align::Left, Tone::Quiet) => Some("quiet"),
        (Align::Right, Tone::Plain) => Some("n"),
        (Align::Right, Tone::Good) => Some("n within"),
        (Align::Right, Tone::Alert) => Some("n over"),
        (Align::Right, Tone::Quiet) => Some("n quiet"),
    }
}

/// A sentence with what stands between backticks as code.
pub(crate) fn prose(text: &str) -> Markup {
    let parts: Vec<&str> = text.split('`').collect();
    // A backtick without its twin is one.
    if parts.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! {
        @for (index, part) in parts.iter().enumerate() {
            @if index % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_the_page() {
        let mut document = Document::default();
        document.paragraph("do `a <b>` at \"x\" & </p>").heading("<script>");
        assert_eq!(
            blocks(&document).into_string(),
            "<p>do <code>a &lt;b&gt;</code> at &quot;x&quot; &amp; &lt;/p&gt;</p>\
             <h3>&lt;script&gt;</h3>"
        );
        assert_eq!(prose("one ` only").into_string(), "one ` only");
    }
}
