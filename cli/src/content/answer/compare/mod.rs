//! What a person reads in the terminal after a comparison.

pub(crate) mod changes;
pub(crate) mod sides;
pub(crate) mod summary;
mod zones;

use crate::content::comparison::{Became, Compared, Contrast};
use crate::io::terminal::HEADING;
use crate::render::columns::{indented, paragraph};
use earline_engine::analysis::compare::{EQUAL_DB, is_equal};

/// The whole answer, every line within `width`.
pub(crate) fn text(compared: &Compared<'_>, bands: bool, width: usize) -> String {
    let title = compared.scene.title();
    let mut lines = vec![format!("{HEADING}{title}{HEADING:#}")];
    lines.extend(paragraph(&what_is_compared(compared), width));
    for contrast in &compared.contrasts {
        let [first, second] = compared.both(contrast).map(|seen| &seen.at.name);
        lines.push(String::new());
        lines.push(format!("{HEADING}{first} → {second}{HEADING:#}"));
        if is_one_and_the_same(compared, contrast) {
            lines.extend(indented(SAME, 2, width));
            continue;
        }
        lines.extend(summary::lines(compared, contrast, width));
        lines.extend(changes::lines(compared, contrast, bands, width));
    }
    lines.extend(zones::lines(compared, width));
    lines.extend(bass(compared, width));
    lines.push(String::new());
    lines.extend(sides::lines(compared, width));
    lines.push(String::new());
    lines.extend(paragraph(&uncertainty(), width));
    lines.push(String::new());
    lines.extend(super::limit(compared.limit, width));
    lines.push(String::new());
    lines.join("\n")
}

/// The bass of every state; nothing in a room too large for it.
fn bass(compared: &Compared<'_>, width: usize) -> Vec<String> {
    let found = compared.states.iter();
    let states: Vec<_> =
        found.filter_map(|seen| Some((seen.at.name.as_str(), seen.low_end.as_ref()?))).collect();
    let document = crate::content::low_end::document(&states, &|index| {
        compared.scene.listeners()[index].name.as_str()
    });
    crate::render::terminal::text(&document, width).lines().map(str::to_owned).collect()
}

const SAME: &str = "No difference: the same things are in the room, and every reflection is the \
                    same to the last digit.";

/// States and seats in a sentence.
fn what_is_compared(compared: &Compared<'_>) -> String {
    let names: Vec<&str> = compared.states.iter().map(|seen| seen.at.name.as_str()).collect();
    let seat = |index: usize| compared.scene.listeners()[index].name.as_str();
    let mut seats: Vec<usize> = compared.states.iter().map(|seen| seen.at.listener).collect();
    seats.dedup();
    let state = compared.states.first().and_then(|seen| seen.at.state.name);
    let held = match (seats.as_slice(), state) {
        ([only], _) => format!(", at {}", seat(*only)),
        (_, Some(variant)) if names.iter().all(|name| !name.contains(variant)) => {
            format!(", in the state {variant}")
        }
        _ => String::new(),
    };
    let [first, others @ ..] = names.as_slice() else { return String::new() };
    format!("{} against {first}{held}.", others.join(" and "))
}

/// Whether nothing at all differs, exactly.
fn is_one_and_the_same(compared: &Compared<'_>, contrast: &Contrast<'_>) -> bool {
    let unchanged = |m: &earline_engine::analysis::compare::Matched| {
        m.later_s == 0.0 && m.change_db == 0.0 && m.band_change_db.iter().all(|db| *db == 0.0)
    };
    let [first, second] = compared.both(contrast);
    contrast.exchange.is_empty()
        && first.at.listener == second.at.listener
        && contrast.pairs.iter().all(|pair| {
            pair.vanished.is_empty() && pair.new.is_empty() && pair.matched.iter().all(unchanged)
        })
}

pub(crate) fn uncertainty() -> String {
    format!(
        "Equal means less than {EQUAL_DB} dB apart, over 1 to 8 kHz or in a band. The model is no \
         better than that: against wave-exact solutions (125 Hz to 2 kHz) finite panels were off \
         by 0.5 to 1.4 dB on average where they absorb everything, by less where they absorb \
         less. Nor does anyone know the absorption of a wall to the last decibel. A starting \
         point: what counts is what you hear."
    )
}

/// A change for people: `+2.3 dB`, `-6.0 dB`, `equal`.
pub(crate) fn change(decibels: f64) -> String {
    if is_equal(decibels) {
        "equal".to_owned()
    } else if decibels.is_finite() {
        format!("{decibels:+.1} dB")
    } else {
        if decibels > 0.0 { "from silence" } else { "to silence" }.to_owned()
    }
}

/// How many rows have come to this.
fn count(rows: &[crate::content::comparison::Row<'_>], became: Became) -> usize {
    rows.iter().filter(|row| row.became() == became).count()
}
