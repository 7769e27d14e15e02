//! The top of the page: its subject, its sections and its summary.

use super::gather::ReportData;
use super::summary::Summary;
use crate::format::length;
use maud::{Markup, html};

/// Sections of the page: anchor and heading, in the order of the story.
const SECTIONS: [(&str, &str); 11] = [
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

/// A section with its number and heading.
pub(super) fn section(anchor: &str, inside: &Markup) -> Markup {
    let numbered = SECTIONS.into_iter().zip(1_u8..).find(|((name, _), _)| *name == anchor);
    let ((_, heading), number) = numbered.unwrap_or_default();
    html! {
        section id=(anchor) aria-labelledby={ "h-" (anchor) } {
            h2 id={ "h-" (anchor) } {
                span.no aria-hidden="true" { (number) } " " (heading)
            }
            (inside)
        }
    }
}

/// The title block and the list of sections.
pub(super) fn header(data: &ReportData<'_>) -> Markup {
    let scene = data.scene();
    let room = scene.room().size().to_array().map(|m| length::length(m, data.units())).join(" × ");
    let variants: Vec<&str> = data.variants.iter().map(|variant| variant.name).collect();
    let seats: Vec<&str> = data.request.listeners.iter().map(|&l| data.listener(l)).collect();
    let speakers: Vec<&str> = data.request.speakers.iter().map(|&s| data.speaker(s)).collect();
    let seed = data.request.rays.seed;
    let facts = [
        ("Room", room),
        (if variants.len() == 1 { "State" } else { "States" }, variants.join(" → ")),
        (if seats.len() == 1 { "Seat" } else { "Seats" }, seats.join(", ")),
        ("Speakers", speakers.join(", ")),
        ("Made with", format!("earline {}, seed {seed}", env!("CARGO_PKG_VERSION"))),
    ];
    html! {
        header.top {
            h1 { (scene.title()) }
            dl.block { @for (what, text) in facts { div { dt { (what) } dd { (text) } } } }
        }
        nav aria-label="Sections" {
            ol { @for (anchor, heading) in SECTIONS { li { a href={ "#" (anchor) } { (heading) } } } }
        }
    }
}

/// The summary.
pub(super) fn in_short(summary: &Summary) -> Markup {
    html! {
        section #short aria-labelledby="h-short" {
            h2 #h-short { "In short" }
            dl.short {
                @for [what, text] in &summary.in_short { div { dt { (what) } dd { (text) } } }
            }
            p.modest { "A starting point to experiment from: the ear and a measurement decide." }
        }
    }
}
