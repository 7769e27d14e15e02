//! The legend: what lines, marks and letters mean.

use crate::canvas::{Canvas, Dash, Point, Rect, Text, Weight, typeface};
use crate::plot::data::input::{Hit, Input, Lettered, LimitVerdict, Path};
use crate::plot::palette::{self, SpeakerStyle, dashed, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{coincidence, elements, paths, symbol};
use crate::plot::sheet::path_list;
use earline_engine::metrics::criteria::EarlyLimit;
use earline_engine::scene::{Panel, Surface};
use glam::{DVec2, DVec3};

/// Height of a row.
pub(crate) const ROW: f64 = 3.9;
/// Size of the words.
const WORDS: f64 = 2.3;
/// Width of the samples.
const SAMPLE: f64 = 8.0;

/// A legend in groups, each in as many columns as it can be read in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Legend {
    groups: Vec<(Vec<LegendEntry>, usize)>,
}

/// Least height of a row.
const LEAST: f64 = 0.8;
/// Space between groups.
const BETWEEN: f64 = 0.5;

impl Legend {
    /// Explanations for these paths in this view, in a width.
    pub(crate) fn new(input: &Input, view: &View, paths: &[&Path], wide: f64) -> Self {
        let [letters, materials] = letters(input, view);
        let groups = [entries(input, view, paths), verdicts(input), letters, materials]
            .into_iter()
            .filter(|group| !group.is_empty())
            .map(|group| {
                let columns = columns(&group, wide);
                (group, columns)
            });
        Self { groups: groups.collect() }
    }

    /// Its height when nothing has to be left out.
    pub(crate) fn height(&self) -> f64 {
        self.groups.iter().map(|(group, columns)| height(group.len(), *columns) + BETWEEN).sum()
    }

    /// Draws it from the top of a space; what has no room is counted.
    pub(crate) fn draw(&self, canvas: &mut Canvas, space: Rect) {
        // A little tight is better than left out.
        let squeeze = (space.size().y / self.height().max(ROW)).clamp(LEAST, 1.0);
        let row = ROW * squeeze;
        let mut top = space.min.y;
        for (group, columns) in &self.groups {
            if space.max.y + 0.01 < top + row {
                return;
            }
            let below = Rect { min: DVec2::new(space.min.x, top), ..space };
            draw(canvas, below, *columns, row, group);
            top += (height(group.len(), *columns) + BETWEEN) * squeeze;
        }
    }
}

/// One row of a legend.
#[derive(Debug, Clone, PartialEq)]
struct LegendEntry {
    symbol: Symbol,
    words: String,
}

#[derive(Debug, Clone, PartialEq)]
enum Symbol {
    /// A speaker's line.
    Line(usize),
    /// The line of two speakers in one place.
    SharedLine,
    /// Direct sound, first and later order.
    Weights,
    /// Bounces above one another.
    Stack,
    /// A bounce mark.
    Mark(Hit),
    Verdict(LimitVerdict),
    /// A cut panel that absorbs, or one that does not.
    Bar {
        absorbs: bool,
    },
    Outline(Dash, f64),
    Letter(String),
    Nothing,
}

/// Explanations for these paths in this view, most important first.
fn entries(input: &Input, view: &View, paths: &[&Path]) -> Vec<LegendEntry> {
    let mut entries: Vec<LegendEntry> = Vec::new();
    let mut add = |symbol: Symbol, words: String| entries.push(LegendEntry { symbol, words });
    for (index, speaker) in input.speakers.iter().enumerate() {
        add(Symbol::Line(index), speaker.name.clone());
    }
    if paths.iter().any(|path| coincidence::is_shared_path(view, input, paths, path)) {
        add(Symbol::SharedLine, "both speakers".to_owned());
    }
    add(Symbol::Weights, "direct, first, later order".to_owned());
    let plain = |hit: Hit| match hit {
        Hit::Inside { .. } => Hit::Inside { sideways: false },
        Hit::Surface(_) => hit,
    };
    let is_stacked =
        |path: &Path, bounce: usize| coincidence::is_stacked(view, paths, path, bounce);
    let alone = |path: &'_ &Path| -> Vec<Hit> {
        let bounces = path.bounces.iter().enumerate();
        let alone = bounces.filter(|(index, _)| !is_stacked(path, *index));
        alone.map(|(_, bounce)| plain(bounce.hit)).collect()
    };
    let hits: Vec<Hit> = paths.iter().flat_map(alone).collect();
    for (hit, words) in [
        (Hit::Surface(Surface::Ceiling), "on the ceiling"),
        (Hit::Surface(Surface::Floor), "on the floor"),
        (Hit::Inside { sideways: false }, "on something inside"),
    ] {
        let seen_face_on = !matches!(hit, Hit::Surface(surface) if view.edge_on(surface));
        if seen_face_on && hits.contains(&hit) {
            add(Symbol::Mark(hit), words.to_owned());
        }
    }
    if paths.iter().any(|path| (0..path.order()).any(|bounce| is_stacked(path, bounce))) {
        add(Symbol::Stack, "several, one over another".to_owned());
    }
    for (absorbs, words) in [(true, "panel, cut"), (false, "panel that reflects, cut")] {
        let is_cut = |p: &Lettered<'_, Panel>| view.edge_on(p.on) && p.absorbs == absorbs;
        if input.panels.iter().any(is_cut) {
            add(Symbol::Bar { absorbs }, words.to_owned());
        }
    }
    if input.panels.iter().any(|panel| !view.edge_on(panel.on)) {
        add(Symbol::Outline(Dash::Short, 0.2), "panel, seen face on".to_owned());
    }
    if !input.screens.is_empty() {
        add(Symbol::Outline(Dash::Long, 0.32), "hung or standing clear".to_owned());
    }
    entries
}

/// Explanations of the marks beside the levels: long lines, for the whole width.
fn verdicts(input: &Input) -> Vec<LegendEntry> {
    let Some(limit) = &input.limit else { return Vec::new() };
    let over = format!("number ringed: over {}", limit_words(limit));
    let within = "within that limit; no mark: later than it speaks of".to_owned();
    [(LimitVerdict::Over, over), (LimitVerdict::Within, within)]
        .map(|(verdict, words)| LegendEntry { symbol: Symbol::Verdict(verdict), words })
        .to_vec()
}

/// The letters of what hangs in the room and is seen in this view: a few with their materials;
/// many with short names, and then which letters are of which material.
fn letters(input: &Input, view: &View) -> [Vec<LegendEntry>; 2] {
    let panels = input
        .panels
        .iter()
        .filter(|p| view.side == Side::Plan || view.edge_on(p.on))
        .map(|p| (p.letter.as_str(), p.name.as_str(), p.material));
    let screens = input.screens.iter().map(|s| (s.letter.as_str(), s.name.as_str(), s.material));
    let seen: Vec<(&str, &str, &str)> = panels.chain(screens).collect();
    let entry = |letter: &str, words: String| LegendEntry {
        symbol: Symbol::Letter(letter.to_owned()),
        words,
    };
    if seen.len() <= 4 {
        let all = seen
            .iter()
            .map(|(letter, name, material)| entry(letter, format!("{name}: {material}")));
        return [all.collect(), Vec::new()];
    }
    let names = seen.iter().map(|(letter, name, _)| entry(letter, (*name).to_owned())).collect();
    let mut materials: Vec<(&str, Vec<&str>)> = Vec::new();
    for (letter, _, material) in &seen {
        match materials.iter_mut().find(|(known, _)| known == material) {
            Some((_, letters)) => letters.push(letter),
            None => materials.push((material, vec![letter])),
        }
    }
    let materials = materials
        .into_iter()
        .map(|(material, letters)| format!("{}: {material}", letters.join(" ")))
        .map(|words| LegendEntry { symbol: Symbol::Nothing, words })
        .collect();
    [names, materials]
}

/// A limit in a few words.
pub(crate) fn limit_words(limit: &EarlyLimit) -> String {
    let level = format!("{}", limit.level_db()).replace('-', "−");
    format!("{level} dB within {} ms ({})", 1e3 * limit.window_s(), limit.document)
}

/// The most columns in which every entry can be read whole.
fn columns(entries: &[LegendEntry], wide: f64) -> usize {
    let longest = entries.iter().map(LegendEntry::width).fold(0.0, f64::max);
    [4, 3, 2]
        .into_iter()
        .find(|&n| entries.len() > n && longest + 2.0 < wide / n as f64)
        .unwrap_or(1)
}

impl LegendEntry {
    /// From the left edge to where its words begin.
    fn indent(&self) -> f64 {
        match &self.symbol {
            Symbol::Letter(letter) => letter_size(letter).x.max(3.4) + 1.6,
            Symbol::Nothing => 0.0,
            _ => SAMPLE + 1.8,
        }
    }

    fn width(&self) -> f64 {
        self.indent() + typeface::width(&self.words, WORDS, Weight::Regular)
    }
}

/// Height of a legend in this many columns.
fn height(entries: usize, columns: usize) -> f64 {
    entries.div_ceil(columns.max(1)) as f64 * ROW
}

/// Draws entries down columns of equal width; entries without room are counted instead.
fn draw(
    canvas: &mut Canvas,
    space: Rect,
    columns: usize,
    row_height: f64,
    entries: &[LegendEntry],
) {
    let columns = columns.max(1);
    // At least one row whatever the space, so the division below is safe.
    let rows_of_space =
        (1..=60).rev().find(|&n| f64::from(n) * row_height <= space.size().y + 0.01);
    let most = usize::try_from(rows_of_space.unwrap_or(1)).unwrap_or(1) * columns;
    let shown = if entries.len() > most { most.saturating_sub(1) } else { entries.len() };
    let rows = (shown + usize::from(shown < entries.len())).div_ceil(columns).max(1);
    let wide = space.size().x / columns as f64;
    let at = |index: usize| {
        let (column, row) = (index / rows, index % rows);
        space.min + DVec2::new(wide * column as f64, row_height * (row as f64 + 0.5))
    };
    for (index, entry) in entries.iter().take(shown).enumerate() {
        draw_entry(canvas, at(index), wide, entry);
    }
    if shown < entries.len() {
        let more = format!("and {} more", entries.len() - shown);
        canvas.text(Text::new(more, at(shown), WORDS).secondary().middle_baseline());
    }
}

fn draw_entry(canvas: &mut Canvas, left: Point, wide: f64, entry: &LegendEntry) {
    let middle = left + DVec2::new(SAMPLE / 2.0, 0.0);
    let start = left.x + entry.indent();
    match &entry.symbol {
        Symbol::Line(index) => canvas.sample(left, SAMPLE, paths::stroke(*index, 1)),
        Symbol::Weights => {
            for (down, width) in [(-1.0, 0.6), (0.1, 0.32), (1.0, 0.14)] {
                canvas.sample(left + DVec2::new(0.0, down), SAMPLE, line(palette::INK, width));
            }
        }
        Symbol::Mark(hit) => mark(canvas, middle, *hit),
        Symbol::Verdict(verdict) => path_list::verdict(canvas, middle, *verdict),
        Symbol::SharedLine => {
            canvas.sample(left, SAMPLE, paths::styled(palette::SHARED, 1));
        }
        Symbol::Stack => symbol::stack(canvas, middle, NEUTRAL, paths::MARK),
        Symbol::Bar { absorbs } => {
            let bar = Rect::around(middle, DVec2::new(SAMPLE, 1.7));
            if *absorbs {
                elements::hatched(canvas, bar);
            } else {
                elements::reflecting(canvas, bar);
            }
        }
        Symbol::Outline(dash, width) => {
            let outline = Rect::around(middle, DVec2::new(SAMPLE, 2.2));
            canvas.rect(outline, None, Some(dashed(palette::PANEL_EDGE, *width, *dash)));
        }
        Symbol::Letter(letter) => {
            letter_tag(canvas, left + DVec2::new(letter_size(letter).x / 2.0, 0.0), letter);
        }
        Symbol::Nothing => {}
    }
    let shown = typeface::fit(&entry.words, WORDS, Weight::Regular, left.x + wide - 2.0 - start);
    canvas.text(Text::new(shown, Point::new(start, left.y), WORDS).middle_baseline());
}

/// The style of marks that are nobody's.
const NEUTRAL: SpeakerStyle = SpeakerStyle {
    colour: palette::INK,
    dash: Dash::Solid,
    badge_fill: palette::VEIL,
    badge_ink: palette::INK,
};

/// A bounce mark in a neutral colour, seen as the plan sees it.
fn mark(canvas: &mut Canvas, middle: Point, hit: Hit) {
    let place = View { side: Side::Plan, inside: Rect { min: middle, max: middle }, mm_per_m: 1.0 };
    symbol::bounce(canvas, &place, DVec3::ZERO, hit, NEUTRAL, paths::MARK);
}

/// Size of the square that a panel's letter stands in.
pub(crate) fn letter_size(letter: &str) -> DVec2 {
    let wide = typeface::width(letter, 2.2, Weight::Semibold) + 1.3;
    DVec2::new(wide.max(3.1), 3.1)
}

/// Draws a panel's letter in its square.
pub(crate) fn letter_tag(canvas: &mut Canvas, middle: Point, letter: &str) {
    let square = Rect::around(middle, letter_size(letter)).grown(-0.1);
    canvas.rect(square, Some(palette::PANEL), Some(line(palette::PANEL_EDGE, 0.2)));
    canvas.text(Text::new(letter, middle, 2.2).semibold().centred().middle_baseline());
}
