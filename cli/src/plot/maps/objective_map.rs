//! Objective of a layout moved over the floor, with the layouts a search found.

use crate::canvas::{Canvas, Dash, Drawing, Point, Rect, Text, typeface};
use crate::content::placement::PlacementView;
use crate::plot::colormap::{self, Colormap};
use crate::plot::data::input::LimitVerdict;
use crate::plot::data::outlines;
use crate::plot::maps::layout_outline::{layout, seat, small_plan};
use crate::plot::palette::{self, SpeakerStyle, dashed, line};
use crate::plot::room::elements;
use crate::plot::room::projection::{Side, View};
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::ordinate::WALL;
use crate::plot::sheet::scale_bar::scale_bar;
use crate::plot::sheet::{drawing_scale, lengths};
use earline_engine::analysis::setting_out::SEAT_FRACTION;
use earline_engine::explore::placement::{EvaluatedLayout, Objective, ObjectiveMap};
use glam::{DVec2, DVec3};

/// Left edge of the column of words.
const COLUMN: f64 = 178.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;
/// Colours, the lightest for the worst.
const COLOURS: usize = 8;
/// Fields drawn along and across a cell of the map.
const FINE: usize = 3;
/// Least and greatest height of the row of a layout, and width of its plan, millimetres.
const LEAST_ROW: f64 = 13.4;
const MOST_ROW: f64 = 24.0;
const PLAN: f64 = 21.0;
/// The most that all colours together span, decibels: what is worse is as light as the lightest.
const SPAN_DB: f64 = 12.0;

/// Lays out the map.
pub(crate) fn place_map(placed: &PlacementView<'_>) -> Drawing {
    let mut canvas = Canvas::default();
    let frame = frame::frame(&mut canvas);
    let rule = [frame.min.y, frame.max.y].map(|y| Point::new(COLUMN, y));
    canvas.polyline(rule.to_vec(), line(palette::INK, 0.2));
    let space = Rect {
        min: frame.min + DVec2::splat(5.0),
        max: DVec2::new(COLUMN - 5.0, frame.max.y - 3.0),
    };
    let drawn = Rect { max: space.max - DVec2::new(0.0, BAR), ..space }.grown(-WALL);
    let size = Side::Plan.size_m(placed.scene.room());
    let scale = drawing_scale::fitting(size, drawn.size(), placed.units());
    let view = View::new(Side::Plan, placed.scene.room(), scale.mm_per_m, drawn);
    let colormap = colormap_of(placed.map);
    floor(&mut canvas, placed, &view, &colormap);
    let corner = Point::new(space.min.x, space.max.y - 1.5);
    scale_bar(&mut canvas, corner, &scale, placed.units());
    let column = Rect {
        min: DVec2::new(COLUMN + 4.0, frame.min.y + 4.0),
        max: frame.max - DVec2::splat(4.0),
    };
    side(&mut canvas, placed, &colormap, &scale.name, column);
    Drawing {
        name: "place-map",
        title: format!("{}: what the best layout is worth over the floor", placed.scene.title()),
        size: frame::SHEET,
        paper: frame::paper(placed.units()),
        items: canvas.items,
    }
}

/// Colours in even steps from the best layout on, from a figure that is read off.
fn colormap_of(map: &ObjectiveMap) -> Colormap {
    let all = || map.cost.iter().flatten().flatten().map(|worth| worth.cost_db);
    let best_db = all().fold(f64::INFINITY, f64::min);
    let worst_db = all().fold(f64::NEG_INFINITY, f64::max);
    let step = (worst_db - best_db).min(SPAN_DB) / COLOURS as f64;
    let step_db = [0.1, 0.25, 0.5, 1.0].into_iter().find(|s| step <= *s).unwrap_or(1.5);
    let round_db = step_db.min(0.5);
    let best_db = if best_db.is_finite() { (best_db / round_db).floor() * round_db } else { 0.0 };
    Colormap::cost(best_db, step_db, COLOURS)
}

/// Fills the floor with what a layout is worth there.
fn field(canvas: &mut Canvas, map: &ObjectiveMap, view: &View, colormap: &Colormap) {
    let cells = [map.seats_m.len() * FINE, map.axes_m.len() * FINE];
    colormap::fill_cells(canvas, view.inside, cells, |row, column| {
        let sum_db = between(map, row, column);
        Some(sum_db.map_or(palette::NO_FIT, |sum_db| colormap.colour(sum_db)))
    });
}

/// Says what the colours stand for; returns the height taken.
fn key(canvas: &mut Canvas, colormap: &Colormap, space: Rect) -> f64 {
    colormap.bar(canvas, "Score, dB: the sum of its terms; darker is better", space);
    let min = space.min + DVec2::new(0.0, colormap::BAR + 1.0);
    let swatch = Rect { min, max: min + DVec2::new(12.0, 4.0) };
    canvas.rect(swatch, Some(palette::NO_FIT), Some(line(palette::RULE, 0.15)));
    let says = "it does not fit, or is kept out";
    canvas
        .text(Text::new(says, Point::new(swatch.max.x + 1.5, swatch.max.y - 1.1), 2.4).secondary());
    colormap::BAR + 9.0
}

fn floor(canvas: &mut Canvas, placed: &PlacementView<'_>, view: &View, colormap: &Colormap) {
    elements::walls(canvas, view, &Default::default());
    field(canvas, placed.map, view, colormap);
    let mut labels = Labels::default();
    furniture(canvas, placed, view, &mut labels);
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
    if let Ok(start) = &placed.found.start {
        layout(canvas, placed, view, &start.layout, dashed(palette::INK, 0.3, Dash::Short), None);
        labels.badge(tag("now"), seat(view, &start.layout), 1.2);
    }
    // Of the others only the seats, for their lines would lie on each other; each has its own plan beside.
    for one in placed.found.best.iter().skip(1) {
        let ring = line(palette::INK, 0.25);
        canvas.circle(seat(view, &one.layout), 0.9, Some(palette::PAPER), Some(ring));
    }
    if let Some(one) = placed.found.best.first() {
        let (stroke, fill) = (line(palette::INK, 0.5), Some(palette::PAPER));
        layout(canvas, placed, view, &one.layout, stroke, fill);
    }
    for (index, one) in placed.found.best.iter().enumerate() {
        labels.badge(tag(&(index + 1).to_string()), seat(view, &one.layout), 1.2);
    }
    canvas.rect(view.inside, None, Some(line(palette::INK, 0.3)));
    labels.write(canvas, view.inside.grown(WALL));
}

/// Furniture where it stands; what moves along is dashed there, and whole with the best layout.
fn furniture(canvas: &mut Canvas, placed: &PlacementView<'_>, view: &View, labels: &mut Labels) {
    let moves = |name: &str| {
        let along =
            placed.plan.moving_furniture.iter().filter_map(|&i| placed.scene.furniture().get(i));
        along.into_iter().any(|piece| piece.name == name)
    };
    let from = placed.plan.listeners.first().map(|&id| &placed.scene[id]);
    let best = placed.found.best.first().map(|best| best.layout);
    let shift = from.zip(best).map_or(DVec3::ZERO, |(from, to)| {
        DVec3::new(to.seat_m, to.axis_m, 0.0) - from.at.with_z(0.0)
    });
    for piece in &placed.state.furniture {
        let base = outlines::furniture_base(piece);
        let outline = |shift: DVec3| -> Vec<Point> {
            base.iter().chain(base.first()).map(|&at| view.at(at + shift)).collect()
        };
        let is_moved = moves(&piece.name);
        let stays = outline(if is_moved { shift } else { DVec3::ZERO });
        if is_moved {
            canvas.polyline(outline(DVec3::ZERO), dashed(palette::INK, 0.2, Dash::Short));
        }
        if let Some(area) = Rect::bounding(&stays) {
            // In its corner, where no seat is.
            let at = area.min + DVec2::new(6.0, 4.5).min(area.size() / 2.0);
            labels.name(&piece.name, at, 0.5, None);
        }
        canvas.polyline(stays, line(palette::INK, 0.25));
    }
}

/// 38 % of the length, where many people begin.
fn usual_line(canvas: &mut Canvas, placed: &PlacementView<'_>, view: &View) {
    let x = SEAT_FRACTION * placed.scene.room().length_m;
    let ends = [0.0, placed.scene.room().width_m].map(|y| view.at(DVec3::new(x, y, 0.0)));
    canvas.polyline(ends.to_vec(), dashed(palette::TOLERANCE_EDGE, 0.35, Dash::Chain));
    let at = ends[1] + DVec2::new(-1.0, -1.0);
    let label = Text::new("38 % of the length", at, 2.3).coloured(palette::TOLERANCE_EDGE);
    canvas.text(label.anchor_end().haloed());
}

fn tag(content: &str) -> Badge {
    let style = SpeakerStyle {
        colour: palette::INK,
        dash: Dash::Solid,
        badge_fill: palette::PAPER,
        badge_ink: palette::INK,
    };
    Badge { content: content.to_owned(), style, verdict: LimitVerdict::Unjudged, first_order: true }
}

/// The words beside the map.
fn side(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    colormap: &Colormap,
    scale: &str,
    column: Rect,
) {
    let title = placed.scene.title();
    let scale = frame::on_paper(scale, placed.units());
    let pair = format!("pair: {}", placed.pair);
    let about = [pair.clone(), pair];
    let taken = frame::headline(canvas, column, title, "Seat and speakers", &scale, &about);
    let mut y = column.min.y + taken + 4.0;
    let wide = column.size().x;
    y += key(canvas, colormap, Rect { min: Point::new(column.min.x, y), max: column.max });
    let step = crate::format::length::offset(map_step_m(placed.map), placed.units());
    let mut notes = vec![
        "Each field: layout 1 moved as a whole, its seat there.".to_owned(),
        format!("Traced every {step}, even steps between."),
        "Dashed: as it stands now. Of 2 and on: the seat.".to_owned(),
    ];
    if !placed.scene.keep_outs().is_empty() {
        notes.push("Hatched: kept out.".to_owned());
    }
    for says in notes {
        canvas.text(
            Text::new(
                typeface::fit(&says, 2.4, crate::canvas::Weight::Regular, wide),
                Point::new(column.min.x, y),
                2.4,
            )
            .secondary(),
        );
        y += 3.6;
    }
    y += 2.0;
    let words = Rect { min: Point::new(column.min.x, y - 3.0), ..column };
    layouts(canvas, placed, Rect { max: words.max - DVec2::Y * 5.0, ..words });
    canvas.text(Text::new(CAPTION, Point::new(column.min.x, column.max.y), 2.5).secondary());
}

/// Spacing of the traced places of a map, metres.
fn map_step_m(map: &ObjectiveMap) -> f64 {
    map.seats_m.windows(2).map(|two| two[1] - two[0]).next().unwrap_or_default()
}

/// Every layout with its own small plan and its figures, below each other as far as there is room.
fn layouts(canvas: &mut Canvas, placed: &PlacementView<'_>, space: Rect) {
    let start = placed.found.start.iter().map(|start| ("now".to_owned(), start));
    let best = placed.found.best.iter().enumerate().map(|(i, one)| ((i + 1).to_string(), one));
    let all: Vec<(String, &EvaluatedLayout)> = start.chain(best).collect();
    let high = (space.size().y / all.len().max(1) as f64).clamp(LEAST_ROW, MOST_ROW);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few rows")]
    let fits = (space.size().y / high + 1e-9) as usize;
    for (index, (name, one)) in all.iter().take(fits).enumerate() {
        let min = space.min + DVec2::Y * (high * index as f64);
        let row = Rect { min, max: Point::new(space.max.x, min.y + high - 1.5) };
        let plan = Rect { max: Point::new(row.min.x + PLAN, row.max.y), ..row };
        small_plan(canvas, placed, &one.layout, plan);
        let words = Point::new(plan.max.x + 2.0, row.middle().y - 2.8);
        described(canvas, placed, name, one, words, row.max.x - words.x);
    }
    let more = all.len().saturating_sub(fits);
    if 0 < more {
        let says = format!("{more} more in place.json");
        let at = Point::new(space.max.x, space.max.y + 5.0);
        canvas.text(Text::new(says, at, 2.4).secondary().anchor_end());
    }
}

/// A layout in three lines.
fn described(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    name: &str,
    one: &EvaluatedLayout,
    at: Point,
    wide: f64,
) {
    use earline_engine::explore::placement::Parameter::{Base, Front, Seat, Up};
    let mark = |parameter| lengths::with_fractions(&placed.mark(&one.layout, parameter));
    let lines = [
        format!("seat {} ({:.0} %), base {}", mark(Seat), placed.share(&one.layout), mark(Base)),
        format!("speakers {} from front, {} up", mark(Front), mark(Up)),
        format!(
            "early {:.1}, sides {:.1}, bass {:.1}, start {:.1}: score {:.1} dB",
            one.objective.early_db(),
            one.objective.asymmetry_db(),
            one.objective.bass_db(),
            one.objective.prior_db,
            one.objective.cost_db
        ),
    ];
    canvas.text(Text::new(name, at, 2.8).semibold());
    for (index, says) in lines.into_iter().enumerate() {
        let place = at + DVec2::new(9.0, 3.6 * index as f64);
        let says = typeface::fit(&says, 2.4, crate::canvas::Weight::Regular, wide - 9.0);
        canvas.text(Text::new(says, place, 2.4));
    }
}

/// Worth in a fine field, on straight lines between the middles of cells; the edge of where a layout
/// fits is that of the cells.
fn between(map: &ObjectiveMap, row: usize, column: usize) -> Option<f64> {
    let sum_db = |row: usize, column: usize| -> Option<f64> {
        map.cost.get(row)?.get(column)?.as_ref().map(|worth: &Objective| worth.cost_db)
    };
    let (cell_row, cell_column) = (row / FINE, column / FINE);
    let own = sum_db(cell_row, cell_column)?;
    let (next_row, down) = beside(cell_row, row % FINE);
    let (next_column, across) = beside(cell_column, column % FINE);
    let at = |row: Option<usize>, column: Option<usize>| {
        row.zip(column).and_then(|(row, column)| sum_db(row, column)).unwrap_or(own)
    };
    let here = (Some(cell_row), Some(cell_column));
    let top = own * (1.0 - across) + at(here.0, next_column) * across;
    let bottom = at(next_row, here.1) * (1.0 - across) + at(next_row, next_column) * across;
    Some(top * (1.0 - down) + bottom * down)
}

/// The neighbour on whose side a fine field of a cell lies, and how far it lies toward it, in cells.
fn beside(cell: usize, fine: usize) -> (Option<usize>, f64) {
    let from_middle = (fine as f64 + 0.5) / FINE as f64 - 0.5;
    let next = if from_middle < 0.0 { cell.checked_sub(1) } else { cell.checked_add(1) };
    (next, from_middle.abs())
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;

    fn map(sums: &[&[Option<f64>]]) -> ObjectiveMap {
        let worth = |sum_db: &Option<f64>| {
            sum_db.map(|sum_db| Objective { seats: Vec::new(), prior_db: 0.0, cost_db: sum_db })
        };
        ObjectiveMap {
            seats_m: (0..sums.len()).map(|i| i as f64).collect(),
            axes_m: (0..sums[0].len()).map(|i| i as f64).collect(),
            cost: sums.iter().map(|row| row.iter().map(worth).collect()).collect(),
        }
    }

    /// A plane stays a plane between the middles of the outermost cells.
    #[test]
    fn fields_lie_on_straight_lines() {
        let rows: Vec<Vec<Option<f64>>> = (0..3)
            .map(|row| {
                (0..4).map(|column| Some(2.0 * f64::from(row) + f64::from(column))).collect()
            })
            .collect();
        let rows: Vec<&[Option<f64>]> = rows.iter().map(Vec::as_slice).collect();
        let map = map(&rows);
        let place = |fine: usize| (fine as f64 + 0.5) / 3.0 - 0.5;
        for row in 1..8 {
            for column in 1..11 {
                let sum = between(&map, row, column).unwrap();
                assert!((sum - 2.0 * place(row) - place(column)).abs() < 1e-9, "{row} {column}");
            }
        }
    }

    #[test]
    fn what_does_not_fit_is_left_out_cell_by_cell() {
        let map = map(&[&[Some(3.0), None]]);
        assert!((0..3).all(|column| (between(&map, 1, column).unwrap() - 3.0).abs() < 1e-12));
        assert!((3..6).all(|column| between(&map, 1, column).is_none()));
    }
}
