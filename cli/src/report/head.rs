//! The top of the page: its subject, the answer on one screen, and the list of what follows.

use super::figures::{Alternative, answered};
use super::gather::ReportData;
use super::summary::{Judged, Summary};
use crate::content::document::state_title;
use crate::content::trace::advice::TRY_FIRST;
use crate::format::length;
use crate::plot;
use crate::render::html::prose;
use maud::{Markup, PreEscaped, html};

/// A section of the page.
#[derive(Debug)]
pub(super) struct Section {
    /// Name for links to it.
    pub(super) anchor: &'static str,
    /// Heading, in the words of this scene.
    pub(super) heading: String,
    /// All below the heading.
    pub(super) inside: Markup,
}

impl Section {
    /// A section with an anchor and a heading.
    pub(super) fn new(anchor: &'static str, heading: impl Into<String>, inside: Markup) -> Self {
        Self { anchor, heading: heading.into(), inside }
    }

    /// The section as the page has it.
    pub(super) fn markup(&self, number: usize) -> Markup {
        let anchor = self.anchor;
        html! {
            section id=(anchor) aria-labelledby={ "h-" (anchor) } {
                h2 id={ "h-" (anchor) } {
                    span.no aria-hidden="true" { (number) } " " (self.heading)
                }
                (self.inside)
            }
        }
    }
}

/// The title and what the page is about.
pub(super) fn header(data: &ReportData<'_>) -> Markup {
    let scene = data.scene();
    let room = scene.room().size().to_array().map(|m| length::length(m, data.units())).join(" × ");
    let present = data.present().and_then(|found| state_title(scene, &found.state));
    let others = data.variants.iter().enumerate().filter(|(index, _)| *index != data.answered);
    let others: Vec<&str> = others.map(|(_, found)| found.name).collect();
    let seats: Vec<&str> = data.request.listeners.iter().map(|&l| data.listener(l)).collect();
    let speakers: Vec<&str> = data.request.speakers.iter().map(|&s| data.speaker(s)).collect();
    html! {
        header.top {
            h1 { (scene.title()) }
            p.about {
                (room)
                @if let Some(present) = present { "; " b { (present) } }
                @if !others.is_empty() { ", held against " (others.join(", ")) }
                "; " (if seats.len() == 1 { "seat: " } else { "seats: " }) (seats.join(", "))
                "; speakers: " (speakers.join(", ")) "."
            }
        }
    }
}

/// The links to the sections.
pub(super) fn contents(sections: &[Section]) -> Markup {
    html! {
        nav aria-label="Sections" {
            ol { @for section in sections { li { a href={ "#" (section.anchor) } { (section.heading) } } } }
        }
    }
}

/// The answer on one screen: the plan, how the room does and what to do first.
pub(super) fn answer(data: &ReportData<'_>, summary: &Summary) -> Markup {
    html! {
        section #short aria-labelledby="h-short" {
            h2 #h-short { "How the room does, and what to try first" }
            div.answer {
                div.words {
                    ul.figures {
                        @for figure in &summary.figures {
                            li class=(figure.judged.grade.to_lowercase()) {
                                span.what { (figure.name) }
                                span.value { (figure.value) }
                                (grade(&figure.judged))
                                span.text { (prose(&figure.judged.text)) }
                            }
                        }
                    }
                    ul.marked {
                        @for judged in &summary.findings {
                            li class=(judged.grade.to_lowercase()) {
                                (grade(judged)) " " (prose(&judged.text))
                            }
                        }
                    }
                    h3 { "Try first" }
                    ol.first { @for text in summary.to_try.iter().take(TRY_FIRST) { li { (prose(text)) } } }
                    p.modest {
                        "A starting point to experiment from: the ear and a measurement decide."
                    }
                }
                @if let Some(choice) = answered(data) { (plan(&choice)) }
            }
        }
    }
}

fn grade(judged: &Judged) -> Markup {
    html! { strong.grade { (judged.grade) } }
}

/// The plan of what the page answers for.
fn plan(choice: &Alternative<'_>) -> Markup {
    let sheet = plot::plan_sheet(choice.input);
    html! {
        @for window in &sheet.windows {
            @let label = format!("{}: {}", window.title, choice.name());
            figure.whole.plan {
                div.paper { (PreEscaped(sheet.svg(window, &label, "answer-"))) }
                figcaption { (label) }
            }
        }
    }
}
