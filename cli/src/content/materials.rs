//! The list of materials in the terminal.

use crate::content::document::{Cell, Column, Document, MarkedItem, Table};
use crate::content::material_list::ListedMaterial;
use crate::format::frequency::BAND_NAMES;

/// The whole list: own materials of a scene first, if there is one, then the catalogue.
pub(crate) fn document(own: &[ListedMaterial], built_in: &[ListedMaterial]) -> Document {
    let mut document = Document::default();
    let mut sources = Sources::default();
    if !own.is_empty() {
        document.heading(OWN);
        document.widths(tables(OWN, own, &mut sources));
    }
    document.heading(BUILT_IN);
    document.widths(tables(BUILT_IN, built_in, &mut sources));
    document.pause();
    document.paragraph(
        "Random-incidence absorption coefficients in octave bands, Hz. A figure with ~ repeats its \
         neighbour, for the source has none. Laboratories differ by 0.05 and often by 0.1 on one \
         material: take them as a starting point. Scattering is an estimate throughout; --json \
         lists it, and the absorption straight on.",
    );
    document.heading("Sources");
    let numbered = sources.seen.iter().enumerate();
    document.items(
        numbered.map(|(index, source)| MarkedItem::new(format!("{:>2} ", index + 1), source)),
    );
    document
}

const OWN: &str = "In the scene";
const BUILT_IN: &str = "Built in";

/// Sources in the order they are met, each named once.
#[derive(Default)]
struct Sources {
    seen: Vec<String>,
}

impl Sources {
    fn number(&mut self, row: &ListedMaterial) -> usize {
        let text = match (row.source.trim(), row.provenance) {
            ("", _) => "no source given".to_owned(),
            (source, "scene") => source.to_owned(),
            (source, provenance) => format!("{source} ({provenance})"),
        };
        let known = self.seen.iter().position(|seen| *seen == text);
        known.unwrap_or_else(|| {
            self.seen.push(text);
            self.seen.len() - 1
        }) + 1
    }
}

/// The rows with their names in a column, and with the names above the rows.
fn tables(caption: &str, rows: &[ListedMaterial], sources: &mut Sources) -> [Table; 2] {
    [true, false].map(|has_names| table(caption, rows, sources, has_names))
}

fn table(caption: &str, rows: &[ListedMaterial], sources: &mut Sources, has_names: bool) -> Table {
    let mut columns = if has_names { vec![Column::left("")] } else { Vec::new() };
    columns.extend(BAND_NAMES.map(Column::right));
    columns.push(Column::left("Source"));
    let mut table = Table::new(caption, columns);
    for row in rows {
        let mut cells = Vec::new();
        if has_names {
            cells.push(Cell::plain(&row.material.name));
        }
        cells.extend(row.absorption.iter().zip(row.filled).map(|(alpha, filled)| {
            Cell::plain(format!("{}{alpha:.2}", if filled { "~" } else { "" }))
        }));
        cells.push(Cell::plain(sources.number(row).to_string()));
        let line = table.row(cells);
        if !has_names {
            line.group(&row.material.name);
        }
        for note in [row.build.as_str(), row.note].into_iter().filter(|note| !note.is_empty()) {
            line.note(note);
        }
    }
    table
}
