//! What to try, how sure, what to take care of, and all that is needed to make the page again.

use super::document::ReportDocument;
use super::gather::ReportData;
use super::head::section;
use super::html::Html;

/// Writes the last four sections.
pub(super) fn write(html: &mut Html, gathered: &ReportData<'_>, document: &ReportDocument) {
    let says = &document.says;
    section(html, "try");
    html.paragraph("Starting points to experiment from, the most promising first.");
    html.list("ol", &says.to_try).raw("</section>\n");
    section(html, "sure");
    html.list("ul", &says.how_sure).raw("</section>\n");
    section(html, "care");
    html.list("ul", &says.cautions).raw("</section>\n");
    section(html, "again");
    html.paragraph(&format!(
        "Save the text below as {}, and with earline {} this gives the same page, byte for byte:",
        file_name(gathered),
        env!("CARGO_PKG_VERSION"),
    ));
    html.element("pre class=\"line\" tabindex=\"0\" aria-label=\"Command\"", &command(gathered));
    html.element("pre tabindex=\"0\" aria-label=\"The scene\"", &gathered.loaded.text);
    html.element("h3", "More than a page holds");
    html.list("ul", &MORE).raw("</section>\n");
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

fn file_name<'a>(gathered: &'a ReportData<'_>) -> &'a str {
    let name = gathered.loaded.name.as_str();
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// The command with every option that matters.
fn command(gathered: &ReportData<'_>) -> String {
    let asked = gathered.asked;
    let mut words = vec!["earline report".to_owned(), quoted(file_name(gathered))];
    for found in gathered.states.iter().filter_map(|found| found.state.name) {
        words.push(format!("--variant {}", quoted(found)));
    }
    for &listener in &asked.listeners {
        words.push(format!("--listener {}", quoted(gathered.listener(listener))));
    }
    for &speaker in &asked.speakers {
        words.push(format!("--speaker {}", quoted(gathered.speaker(speaker))));
    }
    words.push(format!("--limit {} --criterion {}", asked.limit.key, asked.criterion.key));
    words.push(match asked.rays.until {
        Some(share) => format!("--until {share}"),
        None => format!("--rays {}", asked.rays.number),
    });
    words.push(format!("--seed {} --floor {}", asked.rays.seed, asked.rays.floor_db));
    words.push(format!(
        "--head {} --zone-hz {}",
        asked.zone_plan.head_half_m * 1e3,
        asked.zone_plan.frequency_hz
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
