//! Things to try, uncertainty, cautions, and all that is needed to make the page again.

use super::gather::ReportData;
use super::head::Section;
use super::summary::Summary;
use crate::content::trace::advice::TRY_FIRST;
use crate::render::html::{list, prose};
use maud::html;

/// What else may be tried, how sure it all is, and what to take care of.
pub(super) fn sections(summary: &Summary) -> Vec<Section> {
    let more: Vec<&String> = summary.to_try.iter().skip(TRY_FIRST).collect();
    let more = (!more.is_empty()).then(|| {
        let inside = html! { ul { @for text in more { li { (prose(text)) } } } };
        Section::new("try", "What else to try", inside)
    });
    let sure = Section::new("sure", "How sure this is", list(&summary.how_sure));
    let care = Section::new("care", "Take care", list(&summary.cautions));
    more.into_iter().chain([sure, care]).collect()
}

/// All that is needed to make the page again, folded.
pub(super) fn again(data: &ReportData<'_>) -> Section {
    let inside = html! {
        p {
            "earline " (env!("CARGO_PKG_VERSION")) " makes this page again, byte for byte, from the scene \
             below, saved as " (data.file_name()) ":"
        }
        pre.line aria-label="Command" { (command(data)) }
        details {
            summary { "The scene" }
            // A parser drops the first line end of a preformatted text.
            pre aria-label="The scene" { "\n" (data.loaded.text) }
        }
        details {
            summary { "What the other commands tell" }
            (list(&MORE))
        }
    };
    Section::new("again", "To make this page again", inside)
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

/// The command with every option that matters.
fn command(data: &ReportData<'_>) -> String {
    let request = data.request;
    let mut words = vec!["earline report".to_owned(), quoted(data.file_name())];
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
