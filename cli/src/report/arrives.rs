//! What arrives early: the live part of the page.

use super::document::{listed, verdict};
use super::figures::{alternatives, live, views, which};
use super::gather::Gathered;
use super::head::section;
use super::html::{Cell, Html, escaped, minus};
use crate::content;
use crate::content::trace::advice::{Advice, advice};
use crate::content::trace::{reflections as list, zones};
use crate::format::level;
use crate::content::comparison::VariantAtSeat;
use crate::content::numbering::Numbered;
use crate::format::direction;
use crate::format::labels;
use crate::plot::{self, Input, Window};
use earline_engine::medium::bands::BAND_COUNT;
use rayon::prelude::*;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &Gathered<'_>) {
    section(html, "early");
    html.paragraphs(&[crate::content::criterion::early_limit(gathered.asked.limit)]);
    controls(html, gathered);
    // Placing labels takes its time, so all drawings are made side by side.
    let drawn: Vec<Vec<Vec<(Window, String)>>> = gathered
        .shown
        .par_iter()
        .enumerate()
        .map(|(seat, states)| {
            let each = states.par_iter().enumerate();
            each.map(|(state, shown)| {
                views(&shown.input, &which(gathered, state, seat), state, seat)
            })
            .collect()
        })
        .collect();
    alternatives(html, gathered, |html, state, seat| {
        let (Some(view), Some(shown)) = (gathered.seats.get(seat), gathered.shown.get(seat))
        else {
            return;
        };
        let (Some(seen), Some(shown)) = (view.variants.get(state), shown.get(state)) else {
            return;
        };
        let drawn = drawn.get(seat).and_then(|states| states.get(state));
        bench(html, gathered, seen, &shown.input, drawn.map_or(&[], Vec::as_slice), [state, seat]);
    });
    // Last, so that it can stay at the foot of the window while all above is looked at.
    html.raw("<p id=\"told\" class=\"told\" role=\"status\" aria-live=\"polite\"></p>\n");
    turning(html);
    html.raw("</section>\n");
}

/// What can be chosen; of no use without the script, which shows it.
fn controls(html: &mut Html, gathered: &Gathered<'_>) {
    html.raw("<form id=\"controls\" class=\"controls\" aria-label=\"What is shown\" hidden>\n");
    let states = gathered.states.iter().map(|found| found.name.to_owned());
    let seats = gathered.asked.listeners.iter().map(|&l| gathered.listener(l).to_owned());
    let speakers = gathered.asked.speakers.iter().map(|&s| gathered.speaker(s).to_owned());
    let bands = (0..BAND_COUNT).map(crate::content::treatment::band);
    choice(
        html,
        "state",
        "State",
        None,
        &states.collect::<Vec<_>>(),
        gathered.states.len().saturating_sub(1),
    );
    choice(html, "seat", "Seat", None, &seats.collect::<Vec<_>>(), 0);
    choice(html, "speaker", "Speaker", Some("all"), &speakers.collect::<Vec<_>>(), 0);
    choice(html, "band", "Level in", Some("1 to 8 kHz"), &bands.collect::<Vec<_>>(), 0);
    html.raw(
        "<div class=\"time\"><label for=\"time\">Sound on its way</label>\n\
         <input id=\"time\" type=\"range\" min=\"0\" max=\"30\" step=\"0.05\" value=\"0\">\n\
         <output id=\"now\" for=\"time\">0.0 ms</output>\n\
         <button type=\"button\" id=\"play\">Play</button></div>\n</form>\n",
    );
}

fn choice(
    html: &mut Html,
    name: &str,
    label: &str,
    all: Option<&str>,
    options: &[String],
    chosen: usize,
) {
    html.raw(format_args!("<div><label for=\"{name}\">{label}</label>\n<select id=\"{name}\">"));
    if let Some(all) = all {
        html.raw(format_args!("<option value=\"-1\">{}</option>", escaped(all)));
    }
    for (index, option) in options.iter().enumerate() {
        let selected = if all.is_none() && index == chosen { " selected" } else { "" };
        html.raw(format_args!("<option value=\"{index}\"{selected}>{}</option>", escaped(option)));
    }
    html.raw("</select></div>\n");
}

/// List and drawings of one state at one seat.
fn bench(
    html: &mut Html,
    gathered: &Gathered<'_>,
    seen: &VariantAtSeat<'_>,
    input: &Input,
    drawn: &[(Window, String)],
    [state, seat]: [usize; 2],
) {
    let found = &gathered.states[state];
    let told = gathered.told(found);
    let numbered = listed(gathered, seen, input);
    let Advice { stands_out, .. } = advice(&told, &seen.numbered());
    html.paragraphs(&stands_out);
    key(html, input);
    html.raw("<div class=\"bench\">\n");
    table(html, gathered, seen, &numbered, &which(gathered, state, seat));
    html.raw("<div class=\"views\">\n");
    for view in drawn {
        live(html, view);
    }
    html.raw("</div>\n</div>\n");
    zone_table(html, gathered, seen, state);
}

fn table(
    html: &mut Html,
    gathered: &Gathered<'_>,
    seen: &VariantAtSeat<'_>,
    numbered: &[Numbered<'_>],
    which: &str,
) {
    let told = gathered.states.iter().find(|found| found.name == seen.at.name);
    let Some(found) = told else { return };
    let told = gathered.told(found);
    let all: usize = seen.trace.pairs.iter().map(|pair| pair.reflections.len()).sum();
    html.raw(format_args!(
        "<div class=\"list\" role=\"region\" tabindex=\"0\" aria-label=\"{0}\">\n<table class=\"paths\">\n\
         <caption>Early reflections: {0}</caption>\n<thead><tr><th scope=\"col\">No</th>\
         <th scope=\"col\">Hits, and where to put the tape</th><th scope=\"col\" class=\"n\">ms</th>\
         <th scope=\"col\" class=\"n\">dB</th><th scope=\"col\">Limit</th></tr></thead>\n<tbody>\n",
        escaped(which),
    ));
    for n in numbered {
        let r = n.reflection;
        let place = gathered.asked.speakers.iter().position(|&s| s == n.pair.speaker).unwrap_or(0);
        let word = verdict(gathered.asked.limit.judge(r.after_direct_s, r.level_db));
        let hits = labels::spoken_path(gathered.scene(), &r.arrival.bounces);
        let speaker = gathered.speaker(n.pair.speaker);
        html.raw(format_args!(
            "<tr data-path=\"{number}\" data-speaker=\"{place}\"><th scope=\"row\"><button type=\"button\" \
             class=\"pick s{style}\" aria-label=\"Show number {number}, {speaker} off {hits}\">{number}</button></th>\
             <td><b>{hits}</b> <span class=\"of\">{speaker}</span><br><span class=\"spot\">{spot}; {heard}</span></td>\
             <td class=\"n\">{after:.2}</td><td class=\"n level\">{level}</td><td class=\"{word}\"><span class=\"mark\" aria-hidden=\"true\">{mark}</span> \
             <span class=\"word\">{word}</span></td></tr>\n",
            number = n.number,
            mark = match word {
                "over" => "▲",
                "within" => "✓",
                _ => "",
            },
            style = place % 4,
            speaker = escaped(speaker),
            hits = escaped(&hits),
            spot = escaped(&list::first_spot(told.scene, &r.arrival.bounces)),
            heard = escaped(&direction::words(r.azimuth_deg, r.elevation_deg)),
            after = r.after_direct_s * 1e3,
            level = minus(&level::bare(r.level_db)),
        ));
    }
    html.raw("</tbody></table>\n");
    let more = all.saturating_sub(numbered.len());
    html.modest(&format!(
            "Delay and level are against the direct sound of the same speaker. {more} weaker ones within {:.0} ms \
             are in the files of `earline trace`.",
            gathered.plan.window_s * 1e3
        ),
    );
    html.raw("</div>\n");
}

/// What lines, marks and letters on the drawings mean.
fn key(html: &mut Html, input: &Input) {
    html.raw("<ul class=\"key\">\n");
    for (index, speaker) in input.speakers.iter().enumerate() {
        let style = plot::speaker_style(index);
        let plot::Colour(red, green, blue) = style.colour;
        let dashes: Vec<String> =
            plot::dash_pattern(style.dash).iter().map(f64::to_string).collect();
        html.raw(format_args!(
            "<li><svg viewBox=\"0 0 12 3\" width=\"48\" height=\"12\" aria-hidden=\"true\"><path d=\"M0 1.5h12\" \
             stroke=\"#{red:02x}{green:02x}{blue:02x}\" stroke-width=\".8\" stroke-dasharray=\"{}\"/></svg> {}</li>\n",
            dashes.join(" "),
            escaped(&speaker.name),
        ));
    }
    let panels = input.panels.iter().map(|p| (&p.letter, &p.name, &p.material));
    let screens = input.screens.iter().map(|s| (&s.letter, &s.name, &s.material));
    for (letter, name, material) in panels.chain(screens) {
        let (letter, text) = (escaped(letter), escaped(&format!("{name}: {material}")));
        html.raw(format_args!("<li><span class=\"letter\">{letter}</span> {text}</li>\n"));
    }
    html.element("li", "number ringed in red: over the limit");
    html.element(
        "li",
        "salmon field: makes a first reflection and is not covered; hatched: absorbs",
    );
    html.raw("</ul>\n");
}

/// Where a panel would work.
fn zone_table(html: &mut Html, gathered: &Gathered<'_>, seen: &VariantAtSeat<'_>, state: usize) {
    let told = gathered.told(&gathered.states[state]);
    let Some(seat) = seen.zones.first() else { return };
    let numbered = seen.numbered();
    let mut surfaces: Vec<_> = seat
        .surfaces
        .iter()
        .map(|zone| (zones::loudest_db(&numbered, zone.surface), zone))
        .collect();
    surfaces.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let heads = ["Surface", "First reflection", "Zone", "Now"].map(Cell::words);
    let rows: Vec<Vec<Cell>> = surfaces
        .into_iter()
        .map(|(db, zone)| {
            let word = zones::word(zone);
            vec![
                Cell::words(labels::surface(zone.surface)),
                Cell::figure(if db.is_finite() { level::with_unit(db) } else { "none".to_owned() }),
                Cell::verdict(word, if word == "missed" { "over" } else { "within" }),
                Cell::words(zones::now(told.scene, zone)),
            ]
        })
        .collect();
    html.element("h3", "Where a panel would work");
    html.paragraph(&zones::note(told.zone_plan, gathered.units(), ", tinted on the elevations."));
    html.table("The parts of the surfaces that make first reflections", &heads, &rows);
}

/// The room to be turned; the script fills and shows it.
fn turning(html: &mut Html) {
    html.raw(
        "<div id=\"turn\" class=\"turn\" hidden>\n<h3 id=\"h-turn\">The room to turn</h3>\n\
         <p>Drag to turn, wheel or pinch to come nearer; or the arrow keys, plus and minus, and 0 for the \
         beginning. Walls fade where you look through them. What is chosen above is shown here too.</p>\n\
         <canvas id=\"space\" tabindex=\"0\" role=\"img\" aria-labelledby=\"h-turn\" \
         aria-describedby=\"told\"></canvas>\n\
         <p class=\"buttons\"><button type=\"button\" data-turn=\"above\">From above</button>\n\
         <button type=\"button\" data-turn=\"side\">From the left</button>\n\
         <button type=\"button\" data-turn=\"behind\">From behind the seat</button>\n\
         <button type=\"button\" data-turn=\"corner\">From a corner</button></p>\n</div>\n",
    );
}
