//! The words beside elevations: zone by zone where to put the tape, panels, and the legend.

use super::canvas::{Canvas, sample, words};
use super::input::{Cover, Face, Input, Panel, Screen, Zone};
use super::legend;
use super::model::{Dash, Outline, Point, Rect, Weight};
use super::palette::{self, dashed, line};
use super::tag;
use super::{face, paths, room, text};
use crate::tape;
use earline_engine::scene::{Surface, Units};
use earline_engine::zone::{COVERED_FROM, HALF_FROM, Verdict};
use glam::DVec2;

/// Height of a row, and how far it may be squeezed.
const PITCHES: [f64; 4] = [3.9, 3.6, 3.3, 3.0];
/// Size of the words, as a part of a row.
const SIZE: f64 = 0.61;
/// Height of a row of the legend.
const LEGEND_ROW: f64 = 3.9;

/// Writes the list from the top of a space and the legend at its bottom.
pub(crate) fn write(canvas: &mut Canvas, input: &Input, faces: &[&Face], space: Rect) {
    let legend = legend_rows(input, faces);
    let split = space.max.y - 5.5 - legend.len() as f64 * LEGEND_ROW;
    let rule = [space.min.x, space.max.x].map(|x| Point::new(x, split - 1.0));
    canvas.polyline(rule.to_vec(), line(palette::RULE, 0.2));
    write_list(canvas, input, faces, Rect { max: Point::new(space.max.x, split - 2.0), ..space });
    for (index, row) in legend.iter().enumerate() {
        let at = Point::new(space.min.x, split + LEGEND_ROW * (index as f64 + 0.5));
        row.draw(canvas, at, space.max.x);
    }
}

/// Rows of the list that stay together.
enum Block<'a> {
    Face(&'a Face),
    Zone(Surface, &'a Zone),
    Panel(&'a Panel),
    Screen(Surface, &'a Screen),
}

impl Block<'_> {
    fn rows(&self) -> f64 {
        match self {
            Self::Face(_) => 1.3,
            Self::Zone(_, Zone { behind: Some(_), .. }) => 3.0,
            Self::Zone(..) | Self::Panel(..) | Self::Screen(..) => 2.0,
        }
    }
}

fn write_list(canvas: &mut Canvas, input: &Input, faces: &[&Face], space: Rect) {
    let blocks: Vec<Block<'_>> = faces
        .iter()
        .flat_map(|face| {
            let screens = face::screens_before(input, face).into_iter();
            let panels = input.panels.iter().filter(|panel| panel.on == face.on);
            std::iter::once(Block::Face(face))
                .chain(face.zones.iter().map(|zone| Block::Zone(face.on, zone)))
                .chain(panels.map(Block::Panel))
                .chain(screens.map(|screen| Block::Screen(face.on, screen)))
        })
        .collect();
    let whole: f64 = blocks.iter().map(Block::rows).sum();
    let fits = |pitch: &f64| whole * pitch <= space.size().y;
    let pitch = PITCHES.into_iter().find(fits).unwrap_or(PITCHES[PITCHES.len() - 1]);
    let list = List { input, left: space.min.x, right: space.max.x, pitch, size: pitch * SIZE };
    let mut y = space.min.y;
    for (index, block) in blocks.iter().enumerate() {
        let left = blocks.len() - index;
        let last = if left == 1 { 0.0 } else { pitch };
        if y + block.rows() * pitch + last > space.max.y + 0.01 {
            let note = format!("and {left} more, in trace.json");
            let at = Point::new(space.min.x, y + pitch / 2.0);
            canvas.text(words(note, at, list.size).quiet().across_middle());
            break;
        }
        match block {
            Block::Face(face) => list.face(canvas, face, y),
            Block::Zone(on, zone) => list.zone(canvas, *on, zone, y),
            Block::Panel(panel) => list.panel(canvas, panel, y),
            Block::Screen(on, screen) => list.screen(canvas, *on, screen, y),
        }
        y += block.rows() * pitch;
    }
}

/// The list's place and measure.
struct List<'a> {
    input: &'a Input,
    left: f64,
    right: f64,
    pitch: f64,
    size: f64,
}

/// From the left edge to where the words begin.
const INDENT: f64 = 7.0;

impl List<'_> {
    fn face(&self, canvas: &mut Canvas, face: &Face, y: f64) {
        let at = |x: f64| Point::new(x, y + self.pitch * 0.65);
        let name = words(face::title(face.on), at(self.left), self.size * 1.1);
        canvas.text(name.strong().across_middle());
        let screened = face.zones.iter().all(|zone| zone.behind.is_some());
        let state = if screened { "screened".to_owned() } else { covered(face.cover) };
        let state = words(state, at(self.right), self.size * 1.1);
        canvas.text(state.strong().ending_here().across_middle());
    }

    fn zone(&self, canvas: &mut Canvas, on: Surface, zone: &Zone, y: f64) {
        let row = y + self.pitch * 0.5;
        let tag = face::tag(self.input, on, zone);
        let scale = (self.pitch * 0.97 / tag::HEIGHT).min(1.0);
        let middle = Point::new(self.left + tag.size().x * scale / 2.0, row);
        tag.draw_scaled(canvas, middle, scale);
        let start = self.left + INDENT;
        sample(canvas, Point::new(start, row), 8.0, paths::stroke(zone.speaker, 1));
        let cover = match &zone.behind {
            Some(_) => String::new(),
            None => format!("{} covered", percent(zone.cover.share)),
        };
        let wide = text::width(&cover, self.size, Weight::Regular);
        let name = self.input.speakers.get(zone.speaker).map_or("", |speaker| &speaker.name);
        let room_mm = self.right - wide - 2.0 - start - 9.8;
        self.words(canvas, name, [start + 9.8, row], room_mm, false);
        let cover = words(cover, Point::new(self.right, row), self.size);
        canvas.text(cover.ending_here().across_middle());
        let below = reach(on, zone.reach_m(), self.input.units);
        let row = row + self.pitch * 0.95;
        self.words(canvas, &below, [start, row], self.right - start, true);
        if let Some(what) = &zone.behind {
            let before = format!("before its middle: {what}");
            self.words(canvas, &before, [start, row + self.pitch], self.right - start, true);
        }
    }

    fn panel(&self, canvas: &mut Canvas, panel: &Panel, y: f64) {
        let below = reach(panel.on, panel.reach_m(), self.input.units);
        self.hung(canvas, &panel.letter, [&panel.name, &panel.material], &below, y);
    }

    fn screen(&self, canvas: &mut Canvas, on: Surface, screen: &Screen, y: f64) {
        let corners = screen.corners.map(|corner| DVec2::from(on.tape(corner)));
        let ends =
            [DVec2::min, DVec2::max].map(|f| corners[1..].iter().copied().fold(corners[0], f));
        let below = reach(on, ends, self.input.units);
        self.hung(canvas, &screen.letter, [&screen.name, &screen.material], &below, y);
    }

    /// A panel or screen with its letter, and where it is.
    fn hung(&self, canvas: &mut Canvas, letter: &str, what: [&str; 2], below: &str, y: f64) {
        let row = y + self.pitch * 0.5;
        let start = self.left + INDENT;
        let middle = Point::new(self.left + legend::letter_size(letter).x / 2.0, row);
        legend::letter_tag(canvas, middle, letter);
        let name = what.join(": ");
        self.words(canvas, &name, [start, row], self.right - start, false);
        self.words(canvas, below, [start, row + self.pitch * 0.95], self.right - start, true);
    }

    fn words(&self, canvas: &mut Canvas, content: &str, at: [f64; 2], wide: f64, quiet: bool) {
        let shown = text::fit(content, self.size, Weight::Regular, wide);
        let shown = words(shown, Point::from(at), self.size).across_middle();
        canvas.text(if quiet { shown.quiet() } else { shown });
    }
}

/// `0.92 to 1.78 m from front, 0.85 to 1.55 m up`.
fn reach(on: Surface, [low, high]: [DVec2; 2], units: Units) -> String {
    let span = |axis: usize| text::with_fractions(&tape::span(low[axis], high[axis], units));
    let from = ["from front", "from left", "up"];
    let [a, b] = on.tape_axes();
    format!("{} {}, {} {}", span(0), from[a], span(1), from[b])
}

fn covered(cover: Cover) -> String {
    let word = match cover.verdict {
        Verdict::Covered => "covered",
        Verdict::HalfCovered => "half covered",
        Verdict::Missed => "missed",
    };
    format!("{word}: {}", percent(cover.share))
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// A row of the legend.
enum Row {
    Swatch(Swatch, String),
    Words(String),
}

enum Swatch {
    Zone { is_behind: bool },
    Absorbs,
    Reflects,
    Clear,
}

fn legend_rows(input: &Input, faces: &[&Face]) -> Vec<Row> {
    let mut rows = Vec::new();
    let Some(zones) = &input.zones else { return rows };
    let behind = |is_behind: bool| {
        let mut all = faces.iter().flat_map(|face| &face.zones);
        all.any(|zone| zone.behind.is_some() == is_behind)
    };
    for (is_behind, words) in [
        (false, "makes the reflection and is not covered"),
        (true, "would make it, but something stands before it"),
    ] {
        if behind(is_behind) {
            rows.push(Row::Swatch(Swatch::Zone { is_behind }, words.to_owned()));
        }
    }
    let here = |index: usize| {
        input.panels.get(index).is_some_and(|panel| faces.iter().any(|face| face.on == panel.on))
    };
    let on_sheet: Vec<usize> = (0..input.panels.len()).filter(|&index| here(index)).collect();
    if on_sheet.iter().any(|index| zones.absorbing.contains(index)) {
        rows.push(Row::Swatch(Swatch::Absorbs, "panel that absorbs".to_owned()));
    }
    if on_sheet.iter().any(|index| !zones.absorbing.contains(index)) {
        rows.push(Row::Swatch(Swatch::Reflects, "panel that reflects".to_owned()));
    }
    if faces.iter().any(|face| !face::screens_before(input, face).is_empty()) {
        rows.push(Row::Swatch(Swatch::Clear, "hung or standing clear".to_owned()));
    }
    let head = tape::offset(zones.head_half_m, input.units);
    rows.extend(
        [
            format!(
                "Zones at {} Hz, for a head that moves {} either way:",
                zones.frequency_hz,
                text::with_fractions(&head)
            ),
            "the part of the surface that makes each reflection.".to_owned(),
            format!(
                "Covered: {} or more of it absorbs; half covered: {}.",
                percent(COVERED_FROM),
                percent(HALF_FROM)
            ),
        ]
        .map(Row::Words),
    );
    rows
}

impl Row {
    fn draw(&self, canvas: &mut Canvas, left: Point, right: f64) {
        let (start, content) = match self {
            Self::Swatch(swatch, content) => {
                let area = Rect::around(left + DVec2::X * 4.0, DVec2::new(8.0, 2.2));
                swatch.draw(canvas, area);
                (left + DVec2::X * 9.8, content)
            }
            Self::Words(content) => (left, content),
        };
        let shown = text::fit(content, 2.3, Weight::Regular, right - start.x);
        canvas.text(words(shown, start, 2.3).across_middle());
    }
}

impl Swatch {
    fn draw(&self, canvas: &mut Canvas, area: Rect) {
        match self {
            Self::Zone { is_behind } => {
                let edge = line(palette::INK, 0.25);
                canvas.rect(area, Some(face::tint(*is_behind)), Some(edge));
            }
            Self::Absorbs => room::hatched(canvas, area),
            Self::Reflects => {
                canvas.rect(area, None, Some(dashed(palette::PANEL_EDGE, 0.25, Dash::Short)));
            }
            Self::Clear => {
                let outline = Outline::Rect { rect: area, corner: 0.0 };
                canvas.shape(outline, None, Some(dashed(palette::PANEL_EDGE, 0.32, Dash::Long)));
            }
        }
    }
}
