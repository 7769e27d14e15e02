//! Early reflections: the live part of the page.

use super::document::listed;
use super::figures::{Alternative, alternatives, choices, live, views};
use super::gather::ReportData;
use super::head::Section;
use super::held::Held;
use super::spreading;
use crate::content::criterion::early_limit;
use crate::content::trace::advice::stands_out;
use crate::content::trace::seat::SeatReflections;
use crate::content::trace::{reflections, zones};
use crate::format::{direction, frequency, labels, level, number};
use crate::plot::{self, Input, Window};
use crate::render::html::{blocks, prose};
use earline_engine::medium::bands::BAND_COUNT;
use maud::{Markup, html};
use rayon::prelude::*;

/// The section.
pub(super) fn section(data: &ReportData<'_>, held: &mut Held) -> Section {
    // Placing labels takes its time, so all drawings are made side by side.
    let drawn: Vec<Vec<(Window, String)>> = choices(data).par_iter().map(views).collect();
    let inside = html! {
        p { (prose(&early_limit(data.request.limit))) }
        (controls(data))
        (alternatives(data, held, |index, choice| {
            bench(data, choice, drawn.get(index).map_or(&[], Vec::as_slice))
        }))
        // Last, so that it can stay at the foot of the window while all above is looked at.
        p #told .told role="status" aria-live="polite" {}
        (turning())
        (spreading::part(data, held))
    };
    Section::new("early", "What arrives early, and whether it matters", inside)
}

/// The choices; of no use without the script, which shows them.
fn controls(data: &ReportData<'_>) -> Markup {
    let variants: Vec<&str> = data.variants.iter().map(|variant| variant.name).collect();
    let seats: Vec<&str> = data.request.listeners.iter().map(|&l| data.listener(l)).collect();
    let speakers: Vec<&str> = data.request.speakers.iter().map(|&s| data.speaker(s)).collect();
    let bands: Vec<String> = (0..BAND_COUNT).map(frequency::band).collect();
    html! {
        form #controls .controls aria-label="What is shown" hidden {
            (selector("state", "State", None, &variants, Some(data.answered)))
            (selector("seat", "Seat", None, &seats, Some(0)))
            (selector("speaker", "Speaker", Some("all"), &speakers, None))
            (selector("band", "Level in", Some("1 to 8 kHz"), &bands, None))
            div.time {
                label for="time" { "Sound on its way" }
                input #time type="range" min="0" max="30" step="0.05" value="0";
                output #now for="time" aria-live="off" { "0.0 ms" }
                button type="button" #play { "Play" }
            }
        }
    }
}

fn selector(
    name: &str,
    label: &str,
    all: Option<&str>,
    options: &[impl AsRef<str>],
    chosen: Option<usize>,
) -> Markup {
    html! {
        div {
            label for=(name) { (label) }
            select id=(name) {
                @if let Some(all) = all { option value="-1" { (all) } }
                @for (index, option) in options.iter().enumerate() {
                    option value=(index) selected[chosen == Some(index)] { (option.as_ref()) }
                }
            }
        }
    }
}

/// List, drawings and zones of a choice.
fn bench(data: &ReportData<'_>, choice: &Alternative<'_>, drawn: &[(Window, String)]) -> Markup {
    let report = data.trace_report(choice.variant);
    let seat = SeatReflections::new(&report, choice.listener, choice.seen.numbered());
    html! {
        @for sentence in stands_out(&report, &seat) { p { (prose(&sentence)) } }
        (key(choice.input))
        div.bench {
            (paths(data, choice))
            div.desk {
                p.pages role="group" aria-label="Drawings" hidden {}
                div.views { @for view in drawn { (live(view)) } }
            }
        }
        (blocks(&zones::document(&report, choice.listener, &seat.numbered)))
    }
}

/// The list of reflections, each of which can be picked.
fn paths(data: &ReportData<'_>, choice: &Alternative<'_>) -> Markup {
    let scene = data.scene();
    let listed = listed(data, choice.seen, choice.input);
    let all: usize = choice.seen.trace.pairs.iter().map(|pair| pair.reflections.len()).sum();
    let window = number::fixed(data.plan.window_s * 1e3, 0);
    html! {
        div.list role="region" aria-label={ "Early reflections: " (choice.name()) } {
            table.paths {
                caption { "Early reflections: " (choice.name()) }
                thead { tr {
                    th scope="col" { "No" }
                    th scope="col" { "Hits, and where to put the tape" }
                    th.n scope="col" { "ms" }
                    th.n scope="col" { "dB" }
                    th scope="col" { "Limit" }
                } }
                tbody {
                    @for n in &listed {
                        @let r = n.reflection;
                        @let speaker = data.speaker(n.pair.speaker);
                        @let place = data.request.speakers.iter().position(|&s| s == n.pair.speaker);
                        @let place = place.unwrap_or(0);
                        @let hits = labels::spoken_path(scene, &r.arrival.bounces);
                        @let spot = reflections::first_spot(scene, &r.arrival.bounces);
                        @let word = reflections::word(data.request.limit.judge(r.delay_s, r.level_db));
                        tr class=(word) data-path=(n.number) data-speaker=(place) {
                            th scope="row" {
                                button class={ "pick s" (place % 4) } type="button"
                                    aria-label={ "Show number " (n.number) ", " (speaker) " off " (hits) } {
                                    (n.number)
                                }
                            }
                            td {
                                b { (hits) } " " span.of { (speaker) } br;
                                span.spot { (spot) "; " (direction::words(r.azimuth_deg, r.elevation_deg)) }
                            }
                            td.n { (number::fixed(r.delay_s * 1e3, 2)) }
                            td.n.level { (level::bare(r.level_db)) }
                            td class=(word) {
                                span.mark aria-hidden="true" { (mark(word)) } " " span.word { (word) }
                            }
                        }
                    }
                }
            }
            p.modest {
                (reflections::AGAINST_DIRECT) ". " (all.saturating_sub(listed.len()))
                " weaker ones within " (window) " ms are in the files of " code { "earline trace" } "."
            }
        }
    }
}

/// The sign of a verdict where there is no room for its word.
fn mark(word: &str) -> &'static str {
    match word {
        "over" => "▲",
        "within" => "✓",
        _ => "",
    }
}

/// The meaning of lines, marks and letters on the drawings.
fn key(input: &Input) -> Markup {
    let panels = input.panels.iter().map(|p| (&p.letter, &p.name, &p.material));
    let screens = input.screens.iter().map(|s| (&s.letter, &s.name, &s.material));
    html! {
        ul.key {
            @for (index, speaker) in input.speakers.iter().enumerate() {
                @let style = plot::speaker_style(index);
                @let dashes = style.dash.pattern().iter().map(f64::to_string);
                li {
                    svg viewBox="0 0 12 3" width="48" height="12" aria-hidden="true" {
                        path d="M0 1.5h12" stroke=(style.colour.hex()) stroke-width=".8"
                            stroke-dasharray=(dashes.collect::<Vec<_>>().join(" ")) {}
                    }
                    " " (speaker.name)
                }
            }
            @for (letter, name, material) in panels.chain(screens) {
                li { span.letter { (letter) } " " (name) ": " (material) }
            }
            li { "number ringed in red: over the limit" }
            li { "salmon field: makes a first reflection and is not covered; hatched: absorbs" }
        }
    }
}

/// The room to be turned; the script fills and shows it.
fn turning() -> Markup {
    let views = [
        ("above", "From above"),
        ("side", "From the left"),
        ("behind", "From behind the seat"),
        ("corner", "From a corner"),
    ];
    html! {
        div #turn .turn hidden {
            h3 #h-turn { "The room to turn" }
            p {
                "Drag to turn, wheel or pinch to come nearer; or the arrow keys, plus and minus, and 0 for \
                 the beginning. Walls fade where you look through them. What is chosen above is shown here \
                 too."
            }
            canvas #space tabindex="0" role="img" aria-labelledby="h-turn" aria-describedby="told" {}
            p.buttons {
                @for (turn, text) in views { button type="button" data-turn=(turn) { (text) } }
            }
        }
    }
}
