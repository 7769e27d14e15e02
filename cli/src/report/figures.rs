//! The drawings of the files, within the page.

use super::gather::ReportData;
use super::html::{Html, escaped};
use crate::canvas::Drawing;
use crate::plot::{self, Input, Sheet, Window};
use std::fmt::Write as _;

/// The alternatives of a choice: shown one at a time by the script, all without it.
pub(crate) fn alternatives(
    html: &mut Html,
    gathered: &ReportData<'_>,
    mut inside: impl FnMut(&mut Html, usize, usize),
) {
    for state in 0..gathered.states.len() {
        for seat in 0..gathered.asked.listeners.len() {
            html.raw(format_args!(
                "<div class=\"alt\" data-state=\"{state}\" data-seat=\"{seat}\">\n"
            ));
            html.element("p class=\"which\"", &which(gathered, state, seat));
            inside(html, state, seat);
            html.raw("</div>\n");
        }
    }
}

/// A state and a seat in words.
pub(crate) fn which(gathered: &ReportData<'_>, state: usize, seat: usize) -> String {
    let name = gathered.states.get(state).map_or("", |found| found.name);
    let listener = gathered.asked.listeners.get(seat).map_or("", |&l| gathered.listener(l));
    format!("state {name}, seat {listener}")
}

/// Names within the drawings of one choice begin with this.
pub(crate) fn prefix(name: &str, state: usize, seat: usize) -> String {
    format!("{name}-{state}-{seat}-")
}

/// Plan, section, curve and elevations of a state at a seat.
pub(crate) fn views(
    input: &Input,
    which: &str,
    state: usize,
    seat: usize,
) -> Vec<(Window, String)> {
    let mut sheets =
        vec![plot::plan_sheet(input), plot::section_sheet(input), plot::energy_time_sheet(input)];
    sheets.extend(plot::elevation_sheets(input));
    let of = |sheet: &Sheet| -> Vec<(Window, String)> {
        let each = sheet.windows.iter().map(|window| {
            let label = format!("{}: {which}", window.title);
            let svg = sheet.svg(window, &label, &prefix(window.name, state, seat));
            (window.clone(), svg)
        });
        each.collect()
    };
    sheets.iter().flat_map(of).collect()
}

/// A drawing that the script can draw on.
pub(crate) fn live(html: &mut Html, (window, svg): &(Window, String)) {
    let numbers = window.numbers();
    let map = numbers.iter().fold(String::new(), |mut map, number| {
        let gap = if map.is_empty() { "" } else { " " };
        // Writing into a string does not fail.
        let _ = write!(map, "{gap}{}", crate::export::to_decimals(*number, 4));
        map
    });
    html.raw(format_args!(
        "<figure class=\"live {0}\" data-view=\"{0}\" data-map=\"{map}\">\n<div class=\"paper\">{svg}</div>\n\
         <figcaption><span>{1}</span></figcaption></figure>\n",
        window.name,
        escaped(&window.title),
    ));
}

/// A whole drawing, without the frame of its sheet.
pub(crate) fn whole(html: &mut Html, drawing: &Drawing, prefix: &str) {
    let svg = plot::unframed(drawing, prefix);
    html.raw(format_args!(
        "<figure class=\"whole\"><div class=\"paper\" role=\"group\" tabindex=\"0\" aria-label=\"{}\">{svg}\
         </div></figure>\n",
        escaped(&drawing.title),
    ));
}
