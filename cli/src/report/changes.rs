//! What the treatment changes, and what it costs.

use super::gather::Gathered;
use super::head::section;
use super::html::{Cell, Html};
use crate::content::comparison::{document::change, changes, sides, summary};
use crate::format::{frequency as list, level};
use crate::content::comparison::{PathChange, ComparisonView, Difference, Row, with_change};
use crate::format::labels;
use earline_engine::analysis::compare::is_equal;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &Gathered<'_>) {
    section(html, "change");
    if gathered.states.len() < 2 {
        html.paragraph(
            "There is one state of the room, so nothing to hold it against. Two [[variant]] sections in \
             the scene, one without the panels and one with them, tell what the panels do; `earline treat` \
             writes such a scene.",
        );
        html.raw("</section>\n");
        return;
    }
    costs(html, gathered);
    for view in &gathered.seats {
        let seat = view.variants.first().map_or("", |seen| gathered.listener(seen.at.listener));
        for difference in &view.differences {
            let [first, second] = view.both(difference).map(|seen| seen.at.name.clone());
            html.element("h3", &format!("{first} → {second}, at {seat}"));
            html.paragraphs(&summary::sentences(view, difference));
            table(html, gathered, view, difference);
        }
    }
    html.element("h3", "Left against right");
    for view in &gathered.seats {
        let seat = view.variants.first().map_or("", |seen| gathered.listener(seen.at.listener));
        let says: Vec<String> =
            sides::sentences(view).iter().map(|text| format!("At {seat}: {text}")).collect();
        html.list("ul", &says);
    }
    html.raw("</section>\n");
}

/// Every piece that goes up, with its price.
fn costs(html: &mut Html, gathered: &Gathered<'_>) {
    let Some(view) = gathered.seats.first() else { return };
    let mut rows = Vec::new();
    for difference in &view.differences {
        let [first, second] = view.both(difference).map(|seen| &seen.at.name);
        for item in &difference.exchange.added {
            let price = item.cost.map_or_else(|| "not said".to_owned(), |cost| format!("{cost}"));
            let state = format!("{first} → {second}");
            rows.push(vec![Cell::words(item.name), Cell::words(state), Cell::figure(price)]);
        }
        let sum = difference.exchange.added_cost();
        if difference.exchange.added.len() > 1 && sum > 0.0 {
            let state = format!("{first} → {second}");
            rows.push(vec![
                Cell::words("Together").with("sum"),
                Cell::words(state).with("sum"),
                Cell::figure(format!("{sum}")).with("n sum"),
            ]);
        }
    }
    if !rows.is_empty() {
        let heads = [Cell::words("Put up"), Cell::words("From, to"), Cell::words("Cost").with("n")];
        html.table("What goes up, in the scene's currency", &heads, &rows);
    }
}

/// The paths that change most.
fn table(
    html: &mut Html,
    gathered: &Gathered<'_>,
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
) {
    let rows = difference.rows(view);
    let changed = with_change(&rows, PathChange::Changed);
    let shown = changes::that_matter(&changed);
    if shown.is_empty() {
        return;
    }
    let [first, second] = view.both(difference).map(|seen| seen.at.name.as_str());
    let mut heads = vec![Cell::words("No"), Cell::words("Speaker"), Cell::words("Hits")];
    heads.extend([first, second, "Change"].map(|head| Cell::words(head).with("n")));
    heads.push(Cell::words("Most in a band"));
    let body: Vec<Vec<Cell>> = shown
        .iter()
        .filter_map(|row| {
            let matched = row.matched?;
            let level = |r: Option<&earline_engine::trace::Reflection>| {
                Cell::figure(r.map_or_else(String::new, |r| level::with_unit(r.level_db)))
            };
            let most = matched.largest_band_change().map_or_else(String::new, |(band, db)| {
                format!(
                    "{} at {}",
                    super::html::minus(&change(db)),
                    crate::content::treatment::band(band)
                )
            });
            let class = match matched.change_db {
                db if is_equal(db) => "n",
                db if db < 0.0 => "n within",
                _ => "n over",
            };
            Some(vec![
                Cell::words(row.number.to_string()),
                Cell::words(gathered.speaker(row.speaker)),
                Cell::words(changes::hits(view, row)),
                level(row.first),
                level(row.second),
                Cell::figure(change(matched.change_db)).with(class),
                Cell::words(most),
            ])
        })
        .collect();
    html.table(
        "Reflections that change: single bounces, and the loudest of the rest",
        &heads,
        &body,
    );
}

/// A path in a sentence.
pub(super) fn path(gathered: &Gathered<'_>, row: &Row<'_>) -> String {
    row.any()
        .map_or_else(String::new, |r| labels::spoken_path(gathered.scene(), &r.arrival.bounces))
}
