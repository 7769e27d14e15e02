//! Things to try, uncertainty, cautions, and all that is needed to make the page again.

use super::gather::ReportData;
use super::head::section;
use super::summary::Summary;
use crate::render::html::{list, prose};
use maud::{Markup, html};

/// The last four sections.
pub(super) fn sections(data: &ReportData<'_>, summary: &Summary) -> Markup {
    let try_next = html! {
        p { "Starting points to experiment from, the most promising first." }
        ol { @for text in &summary.to_try { li { (prose(text)) } } }
    };
    let again = html! {
        p {
            "Save the text below as " (file_name(data)) ", and with earline " (env!("CARGO_PKG_VERSION"))
            " this gives the same page, byte for byte:"
        }
        pre.line tabindex="0" aria-label="Command" { (command(data)) }
        // A parser drops the first line end of a preformatted text.
        pre tabindex="0" aria-label="The scene" { "\n" (data.loaded.text) }
        h3 { "More than a page holds" }
        (list(&MORE))
    };
    html! {
        (section("try", &try_next))
        (section("sure", &list(&summary.how_sure)))
        (section("care", &list(&summary.cautions)))
        (section("again", &again))
    }
}

/// What the other commands leave beside this page.
const MORE: [&str; 8] = [
    "`earline trace` leaves every reflection in every octave band, the curves and the decay as tables for a \
     spreadsheet, and each drawing as a sheet of its own.",
    "`earline tape` leaves the setting-out sheet in large, to take into the room.",
    "`earline compare` lays plans and all six surfaces of the states side by side.",
    "`earline treat` searches what to buy first and where it goes, and draws what to hang from.",
    "`earline listen` makes all of it audible: impulse responses, and your own recording in two states of the \
     room at one loudness.",
    "`earline bass` maps the level of each frequency over the room, and how the bass dies away.",
    "`earline sweep` varies any number of the scene over many runs, into one table.",
    "`earline place` searches a better seat and better places for the speakers.",
];

fn file_name<'a>(data: &'a ReportData<'_>) -> &'a str {
    let name = data.loaded.name.as_str();
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// The command with every option that matters.
fn command(data: &ReportData<'_>) -> String {
    let request = data.request;
    let mut words = vec!["earline report".to_owned(), quoted(file_name(data))];
    for name in data.variants.iter().filter_map(|variant| variant.state.name) {
        words.push(format!("--variant {}", quoted(name)));
    }
    for &listener in &request.listeners {
        words.push(format!("--listener {}", quoted(data.listener(listener))));
    }
    for &speaker in &request.speakers {
        words.push(format!("--speaker {}", quoted(data.speaker(speaker))));
    }
    words.push(format!("--limit {} --criterion {}", request.limit.key, request.criterion.key));
    words.push(match request.rays.until {
        Some(share) => format!("--until {share}"),
        None => format!("--rays {}", request.rays.number),
    });
    words.push(format!("--seed {} --floor {}", request.rays.seed, request.rays.floor_db));
    words.push(format!(
        "--head {} --zone-hz {}",
        request.zone_plan.head_half_m * 1e3,
        request.zone_plan.frequency_hz
    ));
    words.join(" ")
}

/// A word for a shell.
fn quoted(word: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "-_./".contains(letter);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}
