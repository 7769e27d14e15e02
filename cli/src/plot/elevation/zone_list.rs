//! The list beside elevations: zone by zone where to put the tape, then panels and screens.

use crate::canvas::{Canvas, Point, Rect, Text, Weight, typeface};
use crate::format::length;
use crate::plot::data::input::{Cover, Face, Lettered, Zone};
use crate::plot::data::outlines;
use crate::plot::elevation::layout::FacePanel;
use crate::plot::elevation::legend::{self as legend_of, percent};
use crate::plot::elevation::{before, face, mounting};
use crate::plot::palette::{self, line};
use crate::plot::room::paths;
use crate::plot::sheet::{badge, legend, lengths};
use earline_engine::analysis::zones::CoverageClass;
use earline_engine::scene::{Panel, Screen, Surface, Units};
use glam::DVec2;

/// Content of the list.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ZoneList<'a> {
    /// The surfaces; where the same is to be said of a later one as of an earlier one, places are
    /// told once.
    pub(crate) parts: &'a [FacePanel<'a>],
    /// Whether the list tells the reflection points too, as the drawings do not.
    pub(crate) with_points: bool,
    /// The document in which the rest is.
    pub(crate) document: &'a str,
}

/// Height of a row, and how far it may be squeezed.
const PITCHES: [f64; 4] = [3.9, 3.6, 3.3, 3.0];
/// Size of the words, as a part of a row.
const SIZE: f64 = 0.61;

/// Writes the list from the top of a space and the legend at its bottom.
pub(crate) fn write(canvas: &mut Canvas, list: &ZoneList<'_>, space: Rect) {
    let legend = legend_of::rows(list.parts);
    let split = space.max.y - 5.5 - legend.len() as f64 * legend_of::ROW;
    let rule = [space.min.x, space.max.x].map(|x| Point::new(x, split - 1.0));
    canvas.polyline(rule.to_vec(), line(palette::RULE, 0.2));
    let end = list.write(canvas, Rect { max: Point::new(space.max.x, split - 2.0), ..space });
    let below =
        Rect { min: Point::new(space.min.x, end), max: Point::new(space.max.x, split - 2.0) };
    let cautions = list.parts.first().map_or(&[][..], |part| &part.input.cautions);
    mounting::cautions(canvas, cautions, below);
    for (index, row) in legend.iter().enumerate() {
        let at = Point::new(space.min.x, split + legend_of::ROW * (index as f64 + 0.5));
        row.draw(canvas, at, space.max.x);
    }
}

/// Rows of the list that stay together.
struct ListItem<'a> {
    part: &'a FacePanel<'a>,
    what: ItemSubject<'a>,
    /// Whether an earlier block has told where it is.
    is_known: bool,
}

#[derive(Clone, Copy)]
enum ItemSubject<'a> {
    Face,
    Zone(&'a Zone),
    Panel(&'a Lettered<'a, Panel>),
    Screen(&'a Lettered<'a, Screen>),
}

impl<'a> ZoneList<'a> {
    fn blocks(&self) -> Vec<ListItem<'a>> {
        let mut blocks: Vec<ListItem<'a>> = Vec::new();
        for part in self.parts {
            let FacePanel { input, face, .. } = *part;
            let panels = input.panels.iter().filter(|panel| panel.on == face.on);
            let screens = before::screens_before(input, face).into_iter();
            // On a sheet to hang from, the pieces are what counts.
            let zones = if input.hung.is_empty() { face.zones.as_slice() } else { &[] };
            let all = std::iter::once(ItemSubject::Face)
                .chain(zones.iter().map(ItemSubject::Zone))
                .chain(panels.map(ItemSubject::Panel))
                .chain(screens.map(ItemSubject::Screen));
            for what in all {
                let is_known = blocks
                    .iter()
                    .any(|earlier| earlier.part.face.on == face.on && earlier.what.is_where(&what));
                blocks.push(ListItem { part, what, is_known });
            }
        }
        blocks
    }

    fn rows(&self, block: &ListItem<'_>) -> f64 {
        let place = if block.is_known { 0.0 } else { 1.0 };
        match block.what {
            ItemSubject::Face => 1.3,
            ItemSubject::Zone(zone) => {
                let point = if self.with_points { place } else { 0.0 };
                let behind = if zone.behind.is_some() { place } else { 0.0 };
                1.0 + place + point + behind
            }
            ItemSubject::Panel(panel) => 1.0 + place + height_row(block, &panel.name),
            ItemSubject::Screen(screen) => 1.0 + place + height_row(block, &screen.name),
        }
    }

    /// Writes the list, and gives where it ends.
    fn write(&self, canvas: &mut Canvas, space: Rect) -> f64 {
        let blocks = self.blocks();
        let whole: f64 = blocks.iter().map(|block| self.rows(block)).sum();
        let fits = |pitch: &f64| whole * pitch <= space.size().y;
        let pitch = PITCHES.into_iter().find(fits).unwrap_or(PITCHES[PITCHES.len() - 1]);
        let pen = ListWriter { left: space.min.x, right: space.max.x, pitch, size: pitch * SIZE };
        let mut y = space.min.y;
        for (index, block) in blocks.iter().enumerate() {
            let left = blocks.len() - index;
            let last = if left == 1 { 0.0 } else { pitch };
            if y + self.rows(block) * pitch + last > space.max.y + 0.01 {
                let note = format!("and {left} more, in {}", self.document);
                let at = Point::new(space.min.x, y + pitch / 2.0);
                canvas.text(Text::new(note, at, pen.size).secondary().middle_baseline());
                break;
            }
            match block.what {
                ItemSubject::Face => pen.face(canvas, block.part, y),
                ItemSubject::Zone(zone) => pen.zone(canvas, block, zone, self.with_points, y),
                ItemSubject::Panel(panel) => pen.panel(canvas, block, panel, y),
                ItemSubject::Screen(screen) => pen.screen(canvas, block, screen, y),
            }
            y += self.rows(block) * pitch;
        }
        y
    }
}

impl ItemSubject<'_> {
    /// Whether this is the same thing as another, at the same place.
    fn is_where(&self, other: &ItemSubject<'_>) -> bool {
        match (self, other) {
            (ItemSubject::Zone(a), ItemSubject::Zone(b)) => {
                a.speaker == b.speaker && a.point == b.point && a.outline_m == b.outline_m
            }
            (ItemSubject::Panel(a), ItemSubject::Panel(b)) => a == b,
            (ItemSubject::Screen(a), ItemSubject::Screen(b)) => a == b,
            _ => false,
        }
    }
}

/// The list's place and measure.
struct ListWriter {
    left: f64,
    right: f64,
    pitch: f64,
    size: f64,
}

/// Words too long for their line get smaller down to this part of their size.
const SMALLEST: f64 = 0.8;
/// From the left edge to where the words begin.
const INDENT: f64 = 7.0;

impl ListWriter {
    fn face(&self, canvas: &mut Canvas, part: &FacePanel<'_>, y: f64) {
        let at = |x: f64| Point::new(x, y + self.pitch * 0.65);
        let size = self.size * 1.1;
        let state = state(part.face);
        let wide = self.right - self.left - typeface::width(&state, size, Weight::Semibold) - 2.0;
        let name = typeface::fit(part.title, size, Weight::Semibold, wide);
        canvas.text(Text::new(name, at(self.left), size).semibold().middle_baseline());
        let state = Text::new(state, at(self.right), size);
        canvas.text(state.semibold().anchor_end().middle_baseline());
    }

    fn zone(
        &self,
        canvas: &mut Canvas,
        block: &ListItem<'_>,
        zone: &Zone,
        with_points: bool,
        y: f64,
    ) {
        let FacePanel { input, face, .. } = *block.part;
        let row = y + self.pitch * 0.5;
        let tag = face::tag(input, face.on, zone);
        let scale = (self.pitch * 0.97 / badge::HEIGHT).min(1.0);
        let middle = Point::new(self.left + tag.size().x * scale / 2.0, row);
        tag.draw_scaled(canvas, middle, scale);
        let start = self.left + INDENT;
        canvas.sample(Point::new(start, row), 8.0, paths::stroke(zone.speaker, 1));
        let cover = match &zone.behind {
            Some(what) if block.is_known => {
                let half = (self.right - self.left) / 2.0;
                typeface::fit(&format!("behind {what}"), self.size, Weight::Regular, half)
            }
            Some(_) => String::new(),
            None => format!("{} covered", percent(zone.cover.share)),
        };
        let wide = typeface::width(&cover, self.size, Weight::Regular);
        let name = input.speakers.get(zone.speaker).map_or("", |speaker| &speaker.name);
        let room_mm = self.right - wide - 2.0 - start - 9.8;
        self.write(canvas, name, [start + 9.8, row], room_mm, false);
        let cover = Text::new(cover, Point::new(self.right, row), self.size);
        canvas.text(cover.anchor_end().middle_baseline());
        let mut below: Vec<String> = Vec::new();
        if !block.is_known {
            below.extend(with_points.then(|| {
                let [along, across] =
                    face.on.tape(zone.point).map(|m| length::length(m, input.units));
                format!("reflects at {}", both(face.on, [along, across]))
            }));
            below.push(reach(face.on, zone.reach_m(), input.units));
            below.extend(zone.behind.iter().map(|what| format!("before its middle: {what}")));
        }
        let mut row = row + self.pitch * 0.95;
        for line in below {
            self.write(canvas, &line, [start, row], self.right - start, true);
            row += self.pitch;
        }
    }

    fn panel(
        &self,
        canvas: &mut Canvas,
        block: &ListItem<'_>,
        panel: &Lettered<'_, Panel>,
        y: f64,
    ) {
        let below = reach(panel.on, outlines::panel_reach_m(panel), block.part.input.units);
        let below = (!block.is_known).then_some(below);
        self.hung(canvas, block.part, &panel.letter, [&panel.name, panel.material], below, y);
    }

    fn screen(
        &self,
        canvas: &mut Canvas,
        block: &ListItem<'_>,
        screen: &Lettered<'_, Screen>,
        y: f64,
    ) {
        let on = block.part.face.on;
        let corners = outlines::screen(screen).map(|corner| DVec2::from(on.tape(corner)));
        let ends =
            [DVec2::min, DVec2::max].map(|f| corners[1..].iter().copied().fold(corners[0], f));
        let below = (!block.is_known).then(|| reach(on, ends, block.part.input.units));
        self.hung(canvas, block.part, &screen.letter, [&screen.name, screen.material], below, y);
    }

    /// A panel or screen with its letter, and where it is.
    fn hung(
        &self,
        canvas: &mut Canvas,
        part: &FacePanel<'_>,
        letter: &str,
        what: [&str; 2],
        below: Option<String>,
        y: f64,
    ) {
        let row = y + self.pitch * 0.5;
        let start = self.left + INDENT;
        let middle = Point::new(self.left + legend::letter_size(letter).x / 2.0, row);
        legend::letter_tag(canvas, middle, letter);
        let when = match mounting::new_piece(part.input, what[0]) {
            Some(piece) => Some(format!("step {}", piece.step)),
            None => (!part.input.hung.is_empty()).then(|| "there already".to_owned()),
        };
        let wide = when.map_or(0.0, |when| {
            let wide = typeface::width(&when, self.size, Weight::Semibold) + 2.0;
            let when = Text::new(when, Point::new(self.right, row), self.size);
            canvas.text(when.semibold().anchor_end().middle_baseline());
            wide
        });
        let name = what.join(": ");
        self.write(canvas, &name, [start, row], self.right - start - wide, false);
        let mut row = row + self.pitch * 0.95;
        for below in below.into_iter().chain(height(part, what[0])) {
            self.write(canvas, &below, [start, row], self.right - start, true);
            row += self.pitch;
        }
    }

    fn write(&self, canvas: &mut Canvas, content: &str, at: [f64; 2], wide: f64, quiet: bool) {
        // A little smaller is better than cut off.
        let needed = typeface::width(content, self.size, Weight::Regular);
        let size = self.size * (wide / needed.max(wide)).max(SMALLEST);
        let shown = typeface::fit(content, size, Weight::Regular, wide);
        let shown = Text::new(shown, Point::from(at), size).middle_baseline();
        canvas.text(if quiet { shown.secondary() } else { shown });
    }
}

/// The row that says how high a new piece hangs.
fn height_row(block: &ListItem<'_>, name: &str) -> f64 {
    if height(block.part, name).is_some() { 1.0 } else { 0.0 }
}

/// How high a new piece of this name hangs, on the ceiling's list; on a wall its edges say so.
fn height(part: &FacePanel<'_>, name: &str) -> Option<String> {
    let piece = mounting::new_piece(part.input, name)?;
    (part.face.on == Surface::Ceiling).then(|| mounting::height(part.input, piece))
}

/// `0.92 to 1.78 m from front, 0.85 to 1.55 m up`.
fn reach(on: Surface, [low, high]: [DVec2; 2], units: Units) -> String {
    both(on, [0, 1].map(|axis| length::span(low[axis], high[axis], units)))
}

/// Two distances with what each is from, set for print.
fn both(on: Surface, distances: [String; 2]) -> String {
    let from = ["from front", "from left", "up"];
    let [a, b] = on.tape_axes();
    let [along, across] = distances.map(|distance| lengths::with_fractions(&distance));
    format!("{along} {}, {across} {}", from[a], from[b])
}

/// A share smaller than this is told as none.
const LEAST_SHARE: f64 = 0.005;

/// Coverage of all zones of a surface together.
fn state(face: &Face) -> String {
    let Cover { verdict, share } = face.cover;
    let word = match verdict {
        _ if face.zones.iter().all(|zone| zone.behind.is_some()) => return "screened".to_owned(),
        CoverageClass::Covered => "covered",
        CoverageClass::HalfCovered => "half covered",
        CoverageClass::Missed if share < LEAST_SHARE => return "not covered".to_owned(),
        CoverageClass::Missed => "not covered",
    };
    format!("{word}: {}", percent(share))
}
