//! The legend: what lines, marks and letters mean.

use super::canvas::{Canvas, sample, words};
use super::input::{Hit, Input, Limit, Path, Verdict};
use super::model::{Dash, Point, Rect, Weight};
use super::palette::{self, SpeakerStyle, dashed, line};
use super::view::{Side, View};
use super::{key, paths, room, symbol, text};
use earline_engine::scene::Surface;
use glam::{DVec2, DVec3};

/// Height of a row.
pub(crate) const ROW: f64 = 3.9;
/// Size of the words.
const WORDS: f64 = 2.3;
/// Width of the samples.
const SAMPLE: f64 = 9.0;

/// One row of a legend.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Entry {
    symbol: Symbol,
    words: String,
}

#[derive(Debug, Clone, PartialEq)]
enum Symbol {
    /// A speaker's line.
    Line(usize),
    /// Direct sound, first and later order.
    Weights,
    /// A bounce mark.
    Mark(Hit),
    Verdict(Verdict),
    Bar,
    Outline(Dash, f64),
    Letter(String),
}

/// What has to be explained for these paths in this view, most important first.
pub(crate) fn entries(input: &Input, view: &View, paths: &[&Path]) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    let mut add = |symbol: Symbol, words: String| entries.push(Entry { symbol, words });
    for (index, speaker) in input.speakers.iter().enumerate() {
        add(Symbol::Line(index), speaker.name.clone());
    }
    add(Symbol::Weights, "direct, first, later order".to_owned());
    let hits: Vec<Hit> = paths.iter().flat_map(|p| p.bounces.iter().map(|b| b.hit)).collect();
    for (hit, words) in [
        (Hit::Surface(Surface::Ceiling), "on the ceiling"),
        (Hit::Surface(Surface::Floor), "on the floor"),
        (Hit::Inside, "on something in the room"),
    ] {
        let seen_face_on = !matches!(hit, Hit::Surface(surface) if view.edge_on(surface));
        if seen_face_on && hits.contains(&hit) {
            add(Symbol::Mark(hit), words.to_owned());
        }
    }
    if input.panels.iter().any(|panel| view.edge_on(panel.on)) {
        add(Symbol::Bar, "panel, cut".to_owned());
    }
    if input.panels.iter().any(|panel| !view.edge_on(panel.on)) {
        add(Symbol::Outline(Dash::Short, 0.2), "panel, seen face on".to_owned());
    }
    if !input.screens.is_empty() {
        add(Symbol::Outline(Dash::Long, 0.32), "hanging or standing clear".to_owned());
    }
    entries
}

/// What the marks beside the levels mean: long lines, for the whole width.
pub(crate) fn verdicts(input: &Input) -> Vec<Entry> {
    input
        .limit
        .iter()
        .map(|limit| Entry {
            symbol: Symbol::Verdict(Verdict::Over),
            words: format!("and a red ring: over {}", limit_words(limit)),
        })
        .collect()
}

/// The letters of what hangs in the room and is seen in this view.
pub(crate) fn letters(input: &Input, view: &View) -> Vec<Entry> {
    let seen = input
        .panels
        .iter()
        .map(|panel| view.side == Side::Plan || view.edge_on(panel.on))
        .chain(input.screens.iter().map(|_| true));
    let panels = input.panels.iter().map(|panel| (&panel.name, &panel.material));
    let screens = input.screens.iter().map(|screen| (&screen.name, &screen.material));
    room::letters(input)
        .into_iter()
        .zip(panels.chain(screens))
        .zip(seen)
        .filter(|(_, seen)| *seen)
        .map(|((letter, (name, material)), _)| Entry {
            symbol: Symbol::Letter(letter),
            words: format!("{name}: {material}"),
        })
        .collect()
}

/// A limit in a few words.
pub(crate) fn limit_words(limit: &Limit) -> String {
    let level = format!("{}", limit.level_db).replace('-', "−");
    format!("{level} dB within {} ms ({})", limit.window_ms, limit.document)
}

/// Two columns if every entry can be read in half the width, else one.
pub(crate) fn columns(entries: &[Entry], wide: f64) -> usize {
    let longest =
        entries.iter().map(|e| text::width(&e.words, WORDS, Weight::Regular)).fold(0.0, f64::max);
    if entries.len() > 3 && longest + SAMPLE + 4.0 < wide / 2.0 { 2 } else { 1 }
}

/// Height of a legend in this many columns.
pub(crate) fn height(entries: usize, columns: usize) -> f64 {
    entries.div_ceil(columns.max(1)) as f64 * ROW
}

/// Draws entries down columns of equal width; entries without room are counted instead.
pub(crate) fn draw(canvas: &mut Canvas, space: Rect, columns: usize, entries: &[Entry]) {
    let columns = columns.max(1);
    // At least one row whatever the space, so the division below is safe.
    let rows_of_space = (1..=60).rev().find(|&n| f64::from(n) * ROW <= space.size().y + 0.01);
    let most = usize::try_from(rows_of_space.unwrap_or(1)).unwrap_or(1) * columns;
    let shown = if entries.len() > most { most.saturating_sub(1) } else { entries.len() };
    let rows = (shown + usize::from(shown < entries.len())).div_ceil(columns).max(1);
    let wide = space.size().x / columns as f64;
    let at = |index: usize| {
        let (column, row) = (index / rows, index % rows);
        space.min + DVec2::new(wide * column as f64, ROW * (row as f64 + 0.5))
    };
    for (index, entry) in entries.iter().take(shown).enumerate() {
        draw_entry(canvas, at(index), wide, entry);
    }
    if shown < entries.len() {
        let more = format!("and {} more", entries.len() - shown);
        canvas.text(words(more, at(shown), WORDS).quiet().across_middle());
    }
}

fn draw_entry(canvas: &mut Canvas, left: Point, wide: f64, entry: &Entry) {
    let middle = left + DVec2::new(SAMPLE / 2.0, 0.0);
    let mut start = left.x + SAMPLE + 1.8;
    match &entry.symbol {
        Symbol::Line(index) => sample(canvas, left, SAMPLE, paths::stroke(*index, 1)),
        Symbol::Weights => {
            for (down, width) in [(-1.0, 0.6), (0.1, 0.32), (1.0, 0.14)] {
                sample(canvas, left + DVec2::new(0.0, down), SAMPLE, line(palette::INK, width));
            }
        }
        Symbol::Mark(hit) => mark(canvas, middle, *hit),
        Symbol::Verdict(verdict) => key::verdict(canvas, middle, *verdict),
        Symbol::Bar => {
            let bar = Rect::around(middle, DVec2::new(SAMPLE, 1.7));
            canvas.rect(bar, Some(palette::PANEL), None);
            canvas.hatch(bar, 1.15, line(palette::PANEL_EDGE, 0.16));
            canvas.rect(bar, None, Some(line(palette::PANEL_EDGE, 0.25)));
        }
        Symbol::Outline(dash, width) => {
            let outline = Rect::around(middle, DVec2::new(SAMPLE, 2.2));
            canvas.rect(outline, None, Some(dashed(palette::PANEL_EDGE, *width, *dash)));
        }
        Symbol::Letter(letter) => {
            letter_tag(canvas, left + DVec2::new(letter_size(letter).x / 2.0, 0.0), letter);
            start = left.x + letter_size(letter).x.max(3.4) + 1.6;
        }
    }
    let shown = text::fit(&entry.words, WORDS, Weight::Regular, left.x + wide - 2.0 - start);
    canvas.text(words(shown, Point::new(start, left.y), WORDS).across_middle());
}

/// A bounce mark in a neutral colour, seen as the plan sees it.
fn mark(canvas: &mut Canvas, middle: Point, hit: Hit) {
    let neutral = SpeakerStyle {
        colour: palette::INK,
        dash: Dash::Solid,
        tag_fill: palette::VEIL,
        tag_ink: palette::INK,
    };
    let place = View { side: Side::Plan, inside: Rect { min: middle, max: middle }, mm_per_m: 1.0 };
    symbol::bounce(canvas, &place, DVec3::ZERO, hit, neutral, paths::MARK);
}

/// Size of the square that a panel's letter stands in.
pub(crate) fn letter_size(letter: &str) -> DVec2 {
    let wide = text::width(letter, 2.2, Weight::Semibold) + 1.3;
    DVec2::new(wide.max(3.1), 3.1)
}

/// Draws a panel's letter in its square.
pub(crate) fn letter_tag(canvas: &mut Canvas, middle: Point, letter: &str) {
    let square = Rect::around(middle, letter_size(letter)).grown(-0.1);
    canvas.rect(square, Some(palette::PANEL), Some(line(palette::PANEL_EDGE, 0.2)));
    canvas.text(words(letter, middle, 2.2).strong().centred().across_middle());
}
