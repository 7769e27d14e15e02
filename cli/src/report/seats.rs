//! One seat against another: seated against standing.

use super::gather::ReportData;
use super::{comparison, head};
use crate::content::document::{Cell, Column, Table};
use crate::content::placement_tolerance::{PairHeights, loudest};
use crate::content::setting_out::Setting;
use crate::format::{level, number};
use crate::render::html::table;
use maud::{Markup, html};

/// Shown in place of a comparison of one seat.
const ONE_SEAT: &str = "There is one pair of ears. A second [[listener]] at the same place with a greater \
    height, or --listener twice, shows what changes when you stand up: direct sound off the axis of the \
    speakers, and other reflections from desk and ceiling.";

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    let variant = data.variants.last().map_or("", |variant| variant.name);
    let inside = html! {
        @match &data.between {
            Some(view) => (comparison::differences(view, &format!("in the state {variant}"))),
            None => p { (ONE_SEAT) },
        }
        @if let Some(sheet) = data.setting() {
            @for pair in &sheet.care.heights {
                @let name = sheet.out.pairs.get(pair.pair).map_or("", |pair| pair.name.as_str());
                @let ears = pair.found.ears.iter().map(|ears| sheet.ears(ears)).collect::<Vec<_>>();
                h3 { "The height of " (name) }
                p {
                    "Heard by " (ears.join(" and by ")) ". Level: direct sound over 1 to 8 kHz against \
                     straight on the axis. Colour: how uneven its octave bands are from 125 Hz to 8 kHz; \
                     less is better."
                }
                (table(&heights(&sheet, pair)))
            }
        }
    };
    head::section("seats", &inside)
}

/// The direct sound of a pair at every height, seated and standing.
fn heights(sheet: &Setting<'_>, pair: &PairHeights) -> Table {
    let figures = ["Up", "Seated: level", "colour", "Standing: level", "colour"].map(Column::right);
    let mut columns = vec![Column::left("Reference points")];
    columns.extend(figures);
    columns.push(Column::left("Strongest early reflection, seated; standing"));
    let mut table = Table::new("Direct sound at both heights of ears, dB", columns);
    for at in &pair.found.choices {
        let mut cells = vec![sheet.choice(&at.choice), sheet.mark(at.choice.up_m[0])];
        match &at.heard {
            Err(_) => cells.push("does not fit".to_owned()),
            Ok(heard) => {
                cells.extend(heard.iter().flat_map(|one| {
                    [level::difference(one.direct_level_db), number::fixed(one.direct_colour_db, 1)]
                }));
                let strongest = heard.iter().map(|one| {
                    let found = one.strongest.as_ref();
                    found.map_or_else(|| "none".to_owned(), |found| loudest(sheet.scene, found))
                });
                cells.push(strongest.collect::<Vec<_>>().join("; "));
            }
        }
        table.row(cells.into_iter().map(Cell::plain).collect());
    }
    table
}
