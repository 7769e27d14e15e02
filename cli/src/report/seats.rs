//! One seat against another: seated against standing.

use super::changes;
use super::gather::Gathered;
use super::head::section;
use super::html::{Cell, Html, minus};
use crate::content::comparison::{document::change, changes::that_matter, summary};
use crate::format::{frequency as list, level};
use crate::content::comparison::{PathChange, with_change};
use crate::content::placement_tolerance::{loudest, tenths};
use crate::format::number::signed;
use earline_engine::analysis::compare::is_equal;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &Gathered<'_>) {
    section(html, "seats");
    match &gathered.between {
        Some(view) => {
            let state = gathered.states.last().map_or("", |found| found.name);
            for difference in &view.differences {
                let [first, second] = view.both(difference).map(|seen| seen.at.name.as_str());
                html.element("h3", &format!("{first} → {second}, in the state {state}"));
                html.paragraphs(&summary::sentences(view, difference));
                let rows = difference.rows(view);
                let changed = with_change(&rows, PathChange::Changed);
                let shown = that_matter(&changed);
                let mut heads = vec![Cell::words("Speaker"), Cell::words("Hits")];
                heads.extend(
                    [first, second, "Change", "Later by"].map(|h| Cell::words(h).with("n")),
                );
                let body: Vec<Vec<Cell>> = shown
                    .iter()
                    .filter_map(|row| {
                        let matched = row.matched?;
                        let level = |r: Option<&earline_engine::trace::Reflection>| {
                            Cell::figure(r.map_or_else(String::new, |r| level::with_unit(r.level_db)))
                        };
                        let class = match matched.change_db {
                            db if is_equal(db) => "n",
                            db if db < 0.0 => "n within",
                            _ => "n over",
                        };
                        Some(vec![
                            Cell::words(gathered.speaker(row.speaker)),
                            Cell::words(changes::path(gathered, row)),
                            level(row.first),
                            level(row.second),
                            Cell::figure(change(matched.change_db)).with(class),
                            Cell::figure(format!("{} ms", signed(matched.later_s * 1e3, 2))),
                        ])
                    })
                    .collect();
                if !body.is_empty() {
                    html.table("Reflections that differ between the seats", &heads, &body);
                }
            }
        }
        None => {
            html.paragraph(
                "There is one pair of ears. A second [[listener]] at the same place with a greater height, \
                 or --listener twice, shows what changes when you stand up: direct sound off the axis of \
                 the speakers, and other reflections from desk and ceiling.",
            );
        }
    }
    heights(html, gathered);
    html.raw("</section>\n");
}

/// What the height of the speakers costs at both heights of ears.
fn heights(html: &mut Html, gathered: &Gathered<'_>) {
    let Some(setting) = gathered.setting() else { return };
    for heights in &setting.care.heights {
        let pair = setting.out.pairs.get(heights.pair).map_or("", |pair| pair.name.as_str());
        let ears: Vec<String> = heights.found.ears.iter().map(|ears| setting.ears(ears)).collect();
        html.element("h3", &format!("The height of {pair}"));
        html.paragraph(&format!(
            "Heard by {}. Level: direct sound over 1 to 8 kHz against straight on the axis. Colour: how \
             uneven its octave bands are from 125 Hz to 8 kHz; less is better.",
            ears.join(" and by "),
        ));
        let heads = [
            Cell::words("Reference points"),
            Cell::words("Up").with("n"),
            Cell::words("Seated: level").with("n"),
            Cell::words("colour").with("n"),
            Cell::words("Standing: level").with("n"),
            Cell::words("colour").with("n"),
            Cell::words("Strongest early reflection, seated; standing"),
        ];
        let rows: Vec<Vec<Cell>> = heights
            .found
            .choices
            .iter()
            .map(|at| {
                let name = Cell::words(setting.choice(&at.choice));
                let up = Cell::figure(setting.mark(at.choice.up_m[0]));
                let Ok(heard) = &at.heard else {
                    return vec![name, up, Cell::words("does not fit")];
                };
                let mut row = vec![name, up];
                for one in heard {
                    row.push(Cell::figure(tenths(one.direct_level_db)));
                    row.push(Cell::figure(format!("{:.1}", one.direct_colour_db)));
                }
                let strongest: Vec<String> = heard
                    .iter()
                    .map(|one| {
                        one.strongest
                            .as_ref()
                            .map_or_else(|| "none".to_owned(), |l| loudest(gathered.scene(), l))
                    })
                    .collect();
                row.push(Cell::words(minus(&strongest.join("; "))));
                row
            })
            .collect();
        html.table("Direct sound at both heights of ears, dB", &heads, &rows);
    }
}
