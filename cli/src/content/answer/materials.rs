//! The list of materials in the terminal.

use super::list::BAND_NAMES;
use crate::content::material_list::ListedMaterial;
use crate::io::terminal::{HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, item, paragraph};

/// From this width on, a name and its eight figures share a line.
const ROOMY: usize = 88;

/// The whole list: own materials of a scene first, if there is one, then the catalogue.
pub(crate) fn text(own: &[ListedMaterial], built_in: &[ListedMaterial], width: usize) -> String {
    let mut sources = Sources::default();
    let mut lines = Vec::new();
    if !own.is_empty() {
        lines.push(format!("{HEADING}In the scene{HEADING:#}"));
        lines.extend(table(own, &mut sources, width));
        lines.push(String::new());
    }
    lines.push(format!("{HEADING}Built in{HEADING:#}"));
    lines.extend(table(built_in, &mut sources, width));
    lines.push(String::new());
    lines.extend(paragraph(
        "Random-incidence absorption coefficients in octave bands, Hz. A figure with ~ repeats its \
         neighbour, for the source has none. Laboratories differ by 0.05 and often by 0.1 on one \
         material: take them as a starting point. Scattering is an estimate throughout; --json \
         lists it, and the absorption straight on.",
        width,
    ));
    lines.push(String::new());
    lines.push(format!("{HEADING}Sources{HEADING:#}"));
    for (index, source) in sources.seen.iter().enumerate() {
        lines.extend(item(&format!("  {:>2}  ", index + 1), source, width));
    }
    lines.push(String::new());
    lines.join("\n")
}

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

fn table(rows: &[ListedMaterial], sources: &mut Sources, width: usize) -> Vec<String> {
    let mut heads = if ROOMY <= width { vec![("", Lean::Left)] } else { Vec::new() };
    heads.extend(BAND_NAMES.map(|head| (head, Lean::Right)));
    heads.push(("Source", Lean::Left));
    let mut table = Table::new(heads);
    for row in rows {
        let mut cells = Vec::new();
        if ROOMY <= width {
            cells.push(Cell::plain(&row.material.name));
        }
        cells.extend(row.absorption.iter().zip(row.filled).map(|(alpha, filled)| {
            Cell::plain(format!("{}{alpha:.2}", if filled { "~" } else { "" }))
        }));
        cells.push(Cell::plain(sources.number(row).to_string()));
        // Narrow: the name stands above its figures.
        let above = if ROOMY <= width { "" } else { row.material.name.as_str() };
        let told = [row.build.as_str(), row.note];
        let note = told.into_iter().filter(|s| !s.is_empty()).map(str::to_owned).collect();
        table.row_under(above, cells, note);
    }
    table.lines(width, QUIET)
}
