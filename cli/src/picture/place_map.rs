//! What a layout is worth when it is moved over the floor, with the layouts a search found.

use super::border::{self, CAPTION};
use super::canvas::{Canvas, words};
use super::input::Verdict;
use super::labels::Labels;
use super::model::{Dash, Drawing, Point, Rect};
use super::ordinate::WALL;
use super::palette::{self, SpeakerStyle, dashed, line};
use super::scale;
use super::tag::Tag;
use super::view::{Side, View};
use super::{from_trace, room, text};
use crate::placed::Placed;
use earline_engine::place::{Judged, Layout, Map};
use earline_engine::setting_out::SEAT_FRACTION;
use glam::{DVec2, DVec3};

/// Left edge of the column of words.
const COLUMN: f64 = 178.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;
/// Shades, the lightest for the worst.
const SHADES: usize = 8;

/// Lays out the map.
pub(crate) fn place_map(placed: &Placed<'_>) -> Drawing {
    let mut canvas = Canvas::default();
    let frame = border::frame(&mut canvas);
    let rule = [frame.min.y, frame.max.y].map(|y| Point::new(COLUMN, y));
    canvas.polyline(rule.to_vec(), line(palette::INK, 0.2));
    let space = Rect {
        min: frame.min + DVec2::splat(5.0),
        max: DVec2::new(COLUMN - 5.0, frame.max.y - 3.0),
    };
    let drawn = Rect { max: space.max - DVec2::new(0.0, BAR), ..space }.grown(-WALL);
    let size = Side::Plan.size_m(placed.scene.room());
    let scale = scale::fitting(size, drawn.size(), placed.units());
    let view = View::new(Side::Plan, placed.scene.room(), scale.mm_per_m, drawn);
    let shades = Shades::of(placed.map);
    floor(&mut canvas, placed, &view, &shades);
    let corner = Point::new(space.min.x, space.max.y - 1.5);
    border::scale_bar(&mut canvas, corner, &scale, placed.units());
    let column = Rect {
        min: DVec2::new(COLUMN + 4.0, frame.min.y + 4.0),
        max: frame.max - DVec2::splat(4.0),
    };
    side(&mut canvas, placed, &shades, &scale.name, column);
    Drawing {
        name: "place-map",
        title: format!("{}: what the best layout is worth over the floor", placed.scene.title()),
        size: border::SHEET,
        items: canvas.items,
    }
}

/// From worth to shade, in even steps between the best and ten decibels worse, or the worst.
struct Shades {
    best_db: f64,
    step_db: f64,
}

impl Shades {
    fn of(map: &Map) -> Self {
        let all = || map.worth.iter().flatten().flatten().map(|worth| worth.sum_db);
        let best_db = all().fold(f64::INFINITY, f64::min);
        let worst_db = all().fold(f64::NEG_INFINITY, f64::max);
        let range_db = (worst_db - best_db).min(10.0);
        // Steps that are read off: a whole or half or quarter of a decibel.
        let step = range_db / SHADES as f64;
        let step_db = [0.1, 0.25, 0.5, 1.0, 1.5].into_iter().find(|s| step <= *s).unwrap_or(1.5);
        Self { best_db, step_db }
    }

    /// The darkest is the best.
    fn shade(&self, sum_db: f64) -> usize {
        let steps = (1..SHADES).filter(|step| self.best_db + self.step_db * *step as f64 <= sum_db);
        SHADES - 1 - steps.count()
    }
}

fn floor(canvas: &mut Canvas, placed: &Placed<'_>, view: &View, shades: &Shades) {
    room::walls(canvas, view, &Default::default());
    cells(canvas, placed.map, view, shades);
    let mut labels = Labels::default();
    for piece in &placed.state.furniture {
        let piece = from_trace::furniture(piece);
        let mut outline: Vec<Point> = piece.base.iter().map(|&corner| view.at(corner)).collect();
        let middle = outline.iter().sum::<Point>() / outline.len().max(1) as f64;
        outline.extend(outline.first().copied());
        canvas.polyline(outline, line(palette::INK, 0.2));
        labels.name(&piece.name, middle, 0.5, None);
    }
    for keep in placed.scene.keep_outs() {
        let [x, y] = keep.corner_m;
        let far = DVec3::new(x + keep.size_m[0], y + keep.size_m[1], 0.0);
        let corners = [view.at(DVec3::new(x, y, 0.0)), view.at(far)];
        if let Some(area) = Rect::bounding(&corners) {
            canvas.hatch(area, 1.6, line(palette::OVER, 0.2));
            canvas.rect(area, None, Some(line(palette::OVER, 0.3)));
            labels.name(&keep.name, area.middle(), 0.5, None);
        }
    }
    usual_line(canvas, placed, view);
    for (index, one) in placed.found.best.iter().enumerate().rev() {
        layout(canvas, view, &one.layout, line(palette::INK, if index == 0 { 0.5 } else { 0.2 }));
    }
    if let Ok(start) = &placed.found.start {
        layout(canvas, view, &start.layout, dashed(palette::INK, 0.3, Dash::Short));
        labels.tag(tag("now"), seat(view, &start.layout), 1.2);
    }
    for (index, one) in placed.found.best.iter().enumerate() {
        labels.tag(tag(&(index + 1).to_string()), seat(view, &one.layout), 1.2);
    }
    canvas.rect(view.inside, None, Some(line(palette::INK, 0.3)));
    labels.write(canvas, view.inside.grown(WALL));
}

/// Shades over the cells; neighbours of one shade in a row are one field.
fn cells(canvas: &mut Canvas, map: &Map, view: &View, shades: &Shades) {
    let cells = DVec2::new(map.axes_m.len() as f64, map.seats_m.len() as f64);
    let size = view.inside.size() / cells;
    for (row, worth) in map.worth.iter().enumerate() {
        let shade = |cell: &Option<_>| {
            cell.as_ref().map(|w: &earline_engine::place::Objective| shades.shade(w.sum_db))
        };
        let mut from = 0;
        for run in worth.chunk_by(|a, b| shade(a) == shade(b)) {
            let to = from + run.len();
            let corner = |column: usize, row: usize| {
                view.inside.min + size * DVec2::new(column as f64, row as f64)
            };
            let under = DVec2::new(0.0, if row + 1 < map.seats_m.len() { 0.06 } else { 0.0 });
            let field = Rect { min: corner(from, row), max: corner(to, row + 1) + under };
            if let Some(shade) = run.first().and_then(shade) {
                canvas.rect(field, Some(fill(shade)), None);
            }
            from = to;
        }
    }
}

/// Half as dark as a shade of energy, so that ink on it is read.
fn fill(shade: usize) -> super::model::Colour {
    palette::worth(shade, SHADES)
}

/// 38 % of the length, where many people begin.
fn usual_line(canvas: &mut Canvas, placed: &Placed<'_>, view: &View) {
    let x = SEAT_FRACTION * placed.scene.room().length_m;
    let ends = [0.0, placed.scene.room().width_m].map(|y| view.at(DVec3::new(x, y, 0.0)));
    canvas.polyline(ends.to_vec(), dashed(palette::TOLERANCE_EDGE, 0.35, Dash::Chain));
    let at = ends[1] + DVec2::new(-1.0, -1.0);
    let label = words("38 % of the length", at, 2.3).coloured(palette::TOLERANCE_EDGE);
    canvas.text(label.ending_here().with_halo());
}

fn seat(view: &View, layout: &Layout) -> Point {
    view.at(DVec3::new(layout.seat_m, layout.axis_m, 0.0))
}

/// The triangle of a layout, and a cross at its seat.
fn layout(canvas: &mut Canvas, view: &View, layout: &Layout, stroke: super::model::Stroke) {
    let speaker =
        |side: f64| view.at(DVec3::new(layout.front_m, layout.axis_m + side * layout.base_m, 0.0));
    let (left, right, ears) = (speaker(-0.5), speaker(0.5), seat(view, layout));
    canvas.polyline(vec![ears, left, right, ears], stroke);
    for at in [left, right] {
        canvas.rect(
            Rect::around(at, DVec2::splat(1.8)),
            Some(palette::PAPER),
            Some(line(palette::INK, 0.25)),
        );
    }
    canvas.circle(ears, 0.9, Some(palette::PAPER), Some(line(palette::INK, 0.25)));
}

fn tag(content: &str) -> Tag {
    let style = SpeakerStyle {
        colour: palette::INK,
        dash: Dash::Solid,
        tag_fill: palette::PAPER,
        tag_ink: palette::INK,
    };
    Tag { content: content.to_owned(), style, verdict: Verdict::Unjudged, first_order: true }
}

/// The words beside the map.
fn side(canvas: &mut Canvas, placed: &Placed<'_>, shades: &Shades, scale: &str, column: Rect) {
    let title = placed.scene.title();
    let scale = format!("{scale} on A4");
    let pair = format!("pair: {}", placed.pair);
    let about = [pair.clone(), pair];
    let taken = border::headline(canvas, column, title, "Seat and speakers", &scale, &about);
    let mut y = column.min.y + taken + 4.0;
    key(canvas, shades, Point::new(column.min.x, y));
    y += 17.0;
    let wide = column.size().x;
    for says in [
        "Each field: layout 1 moved as a whole, its seat there.",
        "Blank: it does not fit there. Hatched: kept out.",
    ] {
        canvas.text(
            words(
                text::fit(says, 2.4, super::model::Weight::Regular, wide),
                Point::new(column.min.x, y),
                2.4,
            )
            .quiet(),
        );
        y += 3.6;
    }
    y += 2.0;
    let start = placed.found.start.iter().map(|start| ("now".to_owned(), start));
    let best = placed.found.best.iter().enumerate().map(|(i, one)| ((i + 1).to_string(), one));
    for (name, one) in start.chain(best) {
        y = described(canvas, placed, &name, one, Point::new(column.min.x, y), wide);
    }
    canvas.text(words(CAPTION, Point::new(column.min.x, column.max.y), 2.5).quiet());
}

/// A layout in three lines; returns where the next one begins.
fn described(
    canvas: &mut Canvas,
    placed: &Placed<'_>,
    name: &str,
    one: &Judged,
    at: Point,
    wide: f64,
) -> f64 {
    use earline_engine::place::Parameter::{Base, Front, Seat, Up};
    let mark = |parameter| text::with_fractions(&placed.mark(&one.layout, parameter));
    let lines = [
        format!("seat {} ({:.0} %), base {}", mark(Seat), placed.share(&one.layout), mark(Base)),
        format!("speakers {} from front, {} up", mark(Front), mark(Up)),
        format!(
            "early {:.1}, sides {:.1}, bass {:.1}, start {:.1}: sum {:.1} dB",
            one.objective.early_db(),
            one.objective.sides_db(),
            one.objective.bass_db(),
            one.objective.start_db,
            one.objective.sum_db
        ),
    ];
    canvas.text(words(name, at, 2.8).strong());
    for (index, says) in lines.into_iter().enumerate() {
        let place = at + DVec2::new(9.0, 3.6 * index as f64);
        let says = text::fit(&says, 2.4, super::model::Weight::Regular, wide - 9.0);
        canvas.text(words(says, place, 2.4));
    }
    at.y + 13.4
}

/// Says what the shades stand for.
fn key(canvas: &mut Canvas, shades: &Shades, corner: Point) {
    let wide = 12.0;
    canvas.text(words("Sum of the terms, dB; darker is better", corner, 2.5).strong());
    for index in 0..SHADES {
        let min = corner + DVec2::new(wide * index as f64, 2.2);
        let field = Rect { min, max: min + DVec2::new(wide, 4.0) };
        canvas.rect(field, Some(fill(SHADES - 1 - index)), Some(line(palette::RULE, 0.15)));
        let figure = format!("{:.1}", shades.best_db + shades.step_db * index as f64);
        canvas.text(words(figure, Point::new(min.x, field.max.y + 3.0), 2.2).quiet());
    }
}
