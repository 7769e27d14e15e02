//! Running dimensions outside a wall: hook the tape at one end and read every mark.

use crate::canvas::{Anchor, Canvas, Point, Rect, Text, Weight, label_row, typeface};
use crate::plot::palette::{self, line};
use crate::plot::sheet::badge::{self, Badge};
use glam::DVec2;

/// Thickness of a wall on paper, millimetres.
pub(crate) const WALL: f64 = 3.4;
/// From the inner face of the wall to the dimension line.
const LINE: f64 = WALL + 2.6;
/// From the dimension line to the labels.
const LEADER: f64 = 3.0;
/// Size of the distances.
const FIGURES: f64 = 2.3;
/// Space between a tag and its distance.
const GAP: f64 = 0.7;

/// Space between neighbours.
fn air(runs_down: bool, writing: Writing) -> f64 {
    if !runs_down && writing == Writing::Upright { 2.2 } else { 0.5 }
}

/// A wall seen edge on, with the tape hooked at its zero end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Edge {
    /// End of the inner face where the tape is hooked.
    pub(crate) zero: Point,
    /// Other end of the inner face.
    pub(crate) end: Point,
    /// Unit vector out of the room.
    pub(crate) outward: DVec2,
}

/// A mark on the tape.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tick {
    /// Distance from the zero end, millimetres on paper.
    pub(crate) along: f64,
    /// The numbers of what is there.
    pub(crate) tags: Vec<Badge>,
    /// Its distance in words.
    pub(crate) distance: String,
    /// Whether it stands out: the whole length.
    pub(crate) strong: bool,
}

/// Direction of the writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Writing {
    /// Upright, under or over their numbers; beside them at a wall that runs down the sheet.
    Upright,
    /// Rotated, where a wall that runs across the sheet is crowded.
    Rotated,
}

impl Edge {
    fn runs_down(&self) -> bool {
        self.outward.x != 0.0
    }

    fn way(&self) -> DVec2 {
        (self.end - self.zero).normalize_or_zero()
    }
}

impl Tick {
    fn weight(&self) -> Weight {
        if self.strong { Weight::Semibold } else { Weight::Regular }
    }

    fn text_width(&self) -> f64 {
        typeface::width(&self.distance, FIGURES, self.weight())
    }

    fn tags_width(&self) -> f64 {
        self.tags.iter().map(|tag| tag.size().x).sum()
    }

    /// Size of the label: along the wall, and out from it.
    fn size(&self, runs_down: bool, writing: Writing) -> [f64; 2] {
        let (tags, words) = (self.tags_width(), self.text_width());
        let gap = if self.tags.is_empty() { 0.0 } else { GAP };
        match (runs_down, writing) {
            (true, _) => [badge::HEIGHT, tags + gap + words],
            (false, Writing::Upright) => {
                let rows = if self.tags.is_empty() { 0.0 } else { badge::HEIGHT };
                [tags.max(words), rows + gap / 2.0 + FIGURES]
            }
            (false, Writing::Rotated) => {
                let widest = self.tags.iter().map(|tag| tag.size().x).fold(FIGURES, f64::max);
                [widest, badge::HEIGHT * self.tags.len() as f64 + gap + words]
            }
        }
    }
}

/// Depth of these dimensions out of the room's inside, millimetres.
pub(crate) fn depth(ticks: &[Tick], runs_down: bool, writing: Writing) -> f64 {
    let label = ticks.iter().map(|tick| tick.size(runs_down, writing)[1]).fold(0.0, f64::max);
    LINE + LEADER + label
}

/// Length of their labels side by side, millimetres.
pub(crate) fn length(ticks: &[Tick], runs_down: bool, writing: Writing) -> f64 {
    ticks.iter().map(|tick| tick.size(runs_down, writing)[0] + air(runs_down, writing)).sum()
}

/// Draws the dimensions; labels may reach past the wall's ends by `spare` millimetres.
pub(crate) fn draw(canvas: &mut Canvas, edge: Edge, ticks: &[Tick], writing: Writing, spare: f64) {
    let mut ticks: Vec<&Tick> = ticks.iter().collect();
    ticks.sort_by(|a, b| a.along.total_cmp(&b.along));
    let sizes: Vec<[f64; 2]> = ticks.iter().map(|t| t.size(edge.runs_down(), writing)).collect();
    let half: Vec<f64> =
        sizes.iter().map(|[along, _]| (along + air(edge.runs_down(), writing)) / 2.0).collect();
    let wanted: Vec<f64> = ticks.iter().map(|tick| tick.along).collect();
    let whole = edge.zero.distance(edge.end);
    let placed = label_row::along(&wanted, &half, -spare, whole + spare);

    let at = |along: f64, out: f64| edge.zero + edge.way() * along + edge.outward * out;
    canvas.polyline(vec![at(0.0, LINE), at(whole, LINE)], line(palette::DIMENSION, 0.18));
    canvas.circle(at(0.0, LINE), 0.55, Some(palette::PAPER), Some(line(palette::DIMENSION, 0.18)));
    canvas.polyline(vec![at(0.0, WALL + 0.8), at(0.0, LINE - 0.55)], palette::hairline());
    for ((tick, &label), size) in ticks.iter().zip(&placed).zip(&sizes) {
        witness(canvas, at, tick, whole);
        canvas.polyline(
            vec![at(tick.along, LINE), at(label, LINE + LEADER - 0.3)],
            palette::hairline(),
        );
        write(canvas, edge, tick, at(label, LINE + LEADER), writing);
        let corners =
            [-0.5, 0.5].map(|s| at(label + s * size[0], LINE + LEADER + (s + 0.5) * size[1]));
        canvas.solid.extend(Rect::bounding(&corners));
    }
    // Wall and dimension line belong to the dimensions: no other label goes there.
    canvas.solid.extend(Rect::bounding(&[at(-WALL, 0.2), at(whole + WALL, LINE + LEADER)]));
}

/// The line from the wall out to the dimension line, and the slanted stroke across that.
fn witness(canvas: &mut Canvas, at: impl Fn(f64, f64) -> Point, tick: &Tick, whole: f64) {
    if tick.along < whole - 0.01 {
        canvas
            .polyline(vec![at(tick.along, 0.0), at(tick.along, WALL)], line(palette::PAPER, 0.16));
    }
    canvas.polyline(
        vec![at(tick.along, WALL + 0.8), at(tick.along, LINE + 0.7)],
        palette::hairline(),
    );
    let stroke = vec![at(tick.along - 0.6, LINE - 0.6), at(tick.along + 0.6, LINE + 0.6)];
    canvas.polyline(stroke, line(palette::INK, 0.3));
}

/// The label itself, beginning at `near`, the middle of its side next to the wall.
fn write(canvas: &mut Canvas, edge: Edge, tick: &Tick, near: Point, writing: Writing) {
    let out = edge.outward;
    let words = |at: Point| {
        let words = Text::new(tick.distance.clone(), at, FIGURES);
        if tick.strong { words.semibold() } else { words }
    };
    let gap = if tick.tags.is_empty() { 0.0 } else { GAP };
    if edge.runs_down() {
        let mut edge_at = near;
        for tag in &tick.tags {
            let wide = out * tag.size().x;
            tag.draw(canvas, edge_at + wide / 2.0);
            edge_at += wide;
        }
        let anchor = if out.x < 0.0 { Anchor::End } else { Anchor::Start };
        canvas.text(words(edge_at + out * gap).anchored(anchor).middle_baseline());
        return;
    }
    match writing {
        Writing::Upright => {
            let mut left = near - DVec2::X * tick.tags_width() / 2.0;
            for tag in &tick.tags {
                let wide = DVec2::X * tag.size().x;
                tag.draw(canvas, left + wide / 2.0 + out * badge::HEIGHT / 2.0);
                left += wide;
            }
            let rows = if tick.tags.is_empty() { 0.0 } else { badge::HEIGHT + gap / 2.0 };
            canvas.text(words(near + out * (rows + FIGURES / 2.0)).centred().middle_baseline());
        }
        Writing::Rotated => {
            let mut edge_at = near;
            for tag in &tick.tags {
                tag.draw(canvas, edge_at + out * badge::HEIGHT / 2.0);
                edge_at += out * badge::HEIGHT;
            }
            let anchor = if out.y < 0.0 { Anchor::Start } else { Anchor::End };
            let words = words(edge_at + out * gap).anchored(anchor).rotated();
            canvas.text(words.middle_baseline());
        }
    }
}
