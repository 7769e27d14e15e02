//! The setting-out sheet.

use super::figures::whole;
use super::gather::ReportData;
use super::head::section;
use super::html::{Cell, Html};
use crate::content::setting_out::image;
use crate::plot;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &ReportData<'_>) {
    section(html, "tape");
    let Some(setting) = gathered.setting() else { return };
    html.paragraph(
        "Hook the tape in the front left corner. Every cross is so far from the front wall and so far from \
         the left wall; the points themselves are plumb above their crosses.",
    );
    whole(html, &plot::tape_sheet(&setting), "tape-");
    let heads = ["Mark", "For", "From front", "From left", "Up", "Turned"].map(Cell::words);
    let rows: Vec<Vec<Cell>> = setting
        .out
        .marks
        .iter()
        .enumerate()
        .map(|(index, mark)| {
            let turn = setting.turn_of(mark.of);
            vec![
                Cell::words(setting.letter(index)),
                Cell::words(setting.name(mark.of)),
                Cell::figure(setting.mark(mark.at().x)),
                Cell::figure(setting.mark(mark.at().y)),
                Cell::figure(setting.mark(mark.at().z)),
                Cell::words(turn),
            ]
        })
        .collect();
    html.table("Every mark", &heads, &rows);
    let mut says = Vec::new();
    for pair in &setting.out.pairs {
        for seat in &pair.seats {
            let name = setting.listener(seat.listener);
            let differ = setting.differ(&seat.mismatch).map_or_else(
                || "left and right are alike to the tape".to_owned(),
                |differ| format!("{differ}: {}", image(&seat.mismatch)),
            );
            says.push(format!("{} at {name}: {differ}.", pair.name));
        }
    }
    html.list("ul", &says);
    html.raw("</section>\n");
}
