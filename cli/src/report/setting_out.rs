//! The setting-out sheet.

use super::gather::ReportData;
use super::head;
use crate::content::document::{Cell, Column, Table};
use crate::content::setting_out::{Setting, image};
use crate::plot;
use crate::render::html::{figure, list, table};
use maud::{Markup, html};

/// The section.
pub(super) fn section(data: &ReportData<'_>) -> Markup {
    let inside = data.setting().map_or_else(Markup::default, |sheet| html! {
        p {
            "Hook the tape in the front left corner. Every cross is so far from the front wall and so far \
             from the left wall; the points themselves are plumb above their crosses."
        }
        (figure(&plot::tape_sheet(&sheet), "tape-"))
        (table(&marks(&sheet)))
        (list(&matches(&sheet)))
    });
    head::section("tape", &inside)
}

fn marks(sheet: &Setting<'_>) -> Table {
    let figures = ["From front", "From left", "Up"].map(Column::right);
    let mut columns = vec![Column::left("Mark"), Column::left("For")];
    columns.extend(figures);
    columns.push(Column::left("Turned"));
    let mut table = Table::new("Every mark", columns);
    for (index, mark) in sheet.out.marks.iter().enumerate() {
        let mut cells = vec![sheet.letter(index), sheet.name(mark.of).to_owned()];
        cells.extend(mark.at().to_array().map(|metres| sheet.mark(metres)));
        cells.push(sheet.turn_of(mark.of));
        table.row(cells.into_iter().map(Cell::plain).collect());
    }
    table
}

/// Every pair at every seat: the difference between left and right.
fn matches(sheet: &Setting<'_>) -> Vec<String> {
    let pairs = sheet.out.pairs.iter();
    let seats = pairs.flat_map(|pair| pair.seats.iter().map(move |seat| (pair, seat)));
    let sentence = |(pair, seat): (
        &earline_engine::analysis::setting_out::PairSet,
        &earline_engine::analysis::setting_out::PairAtSeat,
    )| {
        let difference = sheet.differ(&seat.mismatch).map_or_else(
            || "left and right are alike to the tape".to_owned(),
            |differ| format!("{differ}: {}", image(&seat.mismatch)),
        );
        format!("{} at {}: {difference}.", pair.name, sheet.listener(seat.listener))
    };
    seats.map(sentence).collect()
}
