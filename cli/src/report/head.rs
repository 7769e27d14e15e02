//! The top of the page: what it is of, and in short what it says.

use super::document::ReportDocument;
use super::gather::ReportData;
use super::html::{Html, escaped, set};
use crate::format::length;

/// Sections of the page: anchor and heading, in the order of the story.
pub(super) const SECTIONS: [(&str, &str); 11] = [
    ("room", "The room, and what was assumed"),
    ("tape", "Where to put the tape"),
    ("early", "What arrives early, and whether it matters"),
    ("change", "What the treatment changes, and costs"),
    ("bass", "Bass"),
    ("decay", "Decay"),
    ("seats", "Seated against standing"),
    ("try", "What to try next"),
    ("sure", "How sure this is"),
    ("care", "Take care"),
    ("again", "To make this page again"),
];

/// Begins a section.
pub(super) fn section(html: &mut Html, anchor: &str) {
    let place = SECTIONS.iter().position(|(name, _)| *name == anchor);
    let heading = place.and_then(|i| SECTIONS.get(i)).map_or("", |(_, heading)| heading);
    let number = place.map_or(0, |i| i + 1);
    html.raw(format_args!(
        "<section id=\"{anchor}\" aria-labelledby=\"h-{anchor}\">\n<h2 id=\"h-{anchor}\"><span \
         class=\"no\" aria-hidden=\"true\">{number}</span> {}</h2>\n",
        escaped(heading),
    ));
}

/// Writes the top of the page.
pub(super) fn write(html: &mut Html, gathered: &ReportData<'_>, document: &ReportDocument) {
    let scene = gathered.scene();
    let units = gathered.units();
    let room = scene.room().size().to_array().map(|m| length::length(m, units)).join(" × ");
    let states: Vec<&str> = gathered.states.iter().map(|found| found.name).collect();
    let seats: Vec<&str> = gathered.asked.listeners.iter().map(|&l| gathered.listener(l)).collect();
    let speakers: Vec<&str> =
        gathered.asked.speakers.iter().map(|&s| gathered.speaker(s)).collect();
    html.raw("<header class=\"top\">\n");
    html.element("h1", scene.title());
    html.raw("<dl class=\"block\">\n");
    for (what, says) in [
        ("Room", room),
        (if states.len() == 1 { "State" } else { "States" }, states.join(" → ")),
        (if seats.len() == 1 { "Seat" } else { "Seats" }, seats.join(", ")),
        ("Speakers", speakers.join(", ")),
        (
            "Made with",
            format!("earline {}, seed {}", env!("CARGO_PKG_VERSION"), gathered.asked.rays.seed),
        ),
    ] {
        html.raw("<div>").element("dt", what).element("dd", &says).raw("</div>\n");
    }
    html.raw("</dl>\n</header>\n");
    html.raw("<nav aria-label=\"Sections\"><ol>\n");
    for (anchor, heading) in SECTIONS {
        html.raw(format_args!("<li><a href=\"#{anchor}\">{}</a></li>\n", escaped(heading)));
    }
    html.raw("</ol></nav>\n<main>\n<section id=\"short\" aria-labelledby=\"h-short\">\n");
    html.raw("<h2 id=\"h-short\">In short</h2>\n<dl class=\"short\">\n");
    for [what, says] in &document.says.in_short {
        html.raw("<div>").element("dt", what).element("dd", &set(says)).raw("</div>\n");
    }
    html.raw("</dl>\n");
    html.modest("A starting point to experiment from: the ear and a measurement decide.");
    html.raw("</section>\n");
}
