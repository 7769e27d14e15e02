//! What a layout is worth when it is moved over the floor, with the layouts a search found.

use super::border::{self, CAPTION};
use super::canvas::{Canvas, words};
use super::input::Verdict;
use super::labels::Labels;
use super::model::{Dash, Drawing, Outline, Point, Rect};
use super::ordinate::WALL;
use super::palette::{self, SpeakerStyle, dashed, line};
use super::place_shades::Shades;
use super::scale;
use super::tag::Tag;
use super::view::{Side, View};
use super::{from_trace, room, text};
use crate::content::placement::PlacementView;
use earline_engine::analysis::setting_out::SEAT_FRACTION;
use earline_engine::explore::placement::{Judged, Layout, Map};
use glam::{DVec2, DVec3};

/// Left edge of the column of words.
const COLUMN: f64 = 178.0;
/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;
/// Lays out the map.
pub(crate) fn place_map(placed: &PlacementView<'_>) -> Drawing {
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

fn floor(canvas: &mut Canvas, placed: &PlacementView<'_>, view: &View, shades: &Shades) {
    room::walls(canvas, view, &Default::default());
    shades.fields(canvas, placed.map, view);
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
    for (index, one) in placed.found.best.iter().enumerate().rev() {
        let stroke = line(palette::INK, if index == 0 { 0.5 } else { 0.2 });
        let fill = (index == 0).then_some(palette::PAPER);
        layout(canvas, placed, view, &one.layout, stroke, fill);
    }
    if let Ok(start) = &placed.found.start {
        layout(canvas, placed, view, &start.layout, dashed(palette::INK, 0.3, Dash::Short), None);
        labels.tag(tag("now"), seat(view, &start.layout), 1.2);
    }
    for (index, one) in placed.found.best.iter().enumerate() {
        labels.tag(tag(&(index + 1).to_string()), seat(view, &one.layout), 1.2);
    }
    canvas.rect(view.inside, None, Some(line(palette::INK, 0.3)));
    labels.write(canvas, view.inside.grown(WALL));
}

/// Furniture where it stands; what moves along is dashed there, and whole with the best layout.
fn furniture(canvas: &mut Canvas, placed: &PlacementView<'_>, view: &View, labels: &mut Labels) {
    let moves = |name: &str| {
        let along = placed.plan.along.iter().filter_map(|&i| placed.scene.furniture().get(i));
        along.into_iter().any(|piece| piece.name == name)
    };
    let from = placed.plan.listeners.first().and_then(|&i| placed.scene.listeners().get(i));
    let best = placed.found.best.first().map(|best| best.layout);
    let shift = from.zip(best).map_or(DVec3::ZERO, |(from, to)| {
        DVec3::new(to.seat_m, to.axis_m, 0.0) - from.at.with_z(0.0)
    });
    for piece in &placed.state.furniture {
        let piece = from_trace::furniture(piece);
        let outline = |shift: DVec3| -> Vec<Point> {
            piece.base.iter().chain(piece.base.first()).map(|&at| view.at(at + shift)).collect()
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
    let label = words("38 % of the length", at, 2.3).coloured(palette::TOLERANCE_EDGE);
    canvas.text(label.ending_here().with_halo());
}

fn seat(view: &View, layout: &Layout) -> Point {
    view.at(DVec3::new(layout.seat_m, layout.axis_m, 0.0))
}

/// The triangle of a layout, its cabinets, and a ring at its seat.
fn layout(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    view: &View,
    layout: &Layout,
    stroke: super::model::Stroke,
    fill: Option<super::model::Colour>,
) {
    let Layout { seat_m, base_m, front_m, converge_m, axis_m, .. } = *layout;
    let speaker = |side: f64| DVec3::new(front_m, axis_m + side * base_m, 0.0);
    let (left, right) = (view.at(speaker(-0.5)), view.at(speaker(0.5)));
    let ears = seat(view, layout);
    canvas.polyline(vec![ears, left, right, ears], stroke);
    for (index, side) in placed.plan.pair.into_iter().zip([-0.5, 0.5]) {
        let at = speaker(side);
        let facing = DVec3::new(seat_m + converge_m, axis_m, 0.0) - at;
        let facing = facing.normalize_or(DVec3::X);
        let cabinet = placed.scene.speakers().get(index).and_then(|speaker| speaker.cabinet());
        // Where nothing is known of the cabinet, a small square on the reference point.
        let (depth_m, width_m, ahead_m) =
            cabinet.map_or((0.1, 0.1, 0.05), |cabinet| (cabinet.depth_m, cabinet.width_m, 0.0));
        let across = DVec3::Z.cross(facing) * 0.5 * width_m;
        let front = at + facing * ahead_m;
        let back = front - facing * depth_m;
        let corners = [front - across, front + across, back + across, back - across];
        let corners = corners.map(|corner| view.at(corner)).to_vec();
        let stroke = super::model::Stroke { dash: Dash::Solid, ..stroke };
        canvas.shape(Outline::Polygon(corners), fill, Some(stroke));
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
fn side(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    shades: &Shades,
    scale: &str,
    column: Rect,
) {
    let title = placed.scene.title();
    let scale = format!("{scale} on A4");
    let pair = format!("pair: {}", placed.pair);
    let about = [pair.clone(), pair];
    let taken = border::headline(canvas, column, title, "Seat and speakers", &scale, &about);
    let mut y = column.min.y + taken + 4.0;
    let wide = column.size().x;
    y += shades.key(canvas, Rect { min: Point::new(column.min.x, y), max: column.max });
    let step = crate::format::length::offset(map_step_m(placed.map), placed.units());
    let mut notes = vec![
        "Each field: layout 1 moved as a whole, its seat there.".to_owned(),
        format!("Traced every {step}, even steps between."),
        "Dashed: as it stands now.".to_owned(),
    ];
    if !placed.scene.keep_outs().is_empty() {
        notes.push("Hatched: kept out.".to_owned());
    }
    for says in notes {
        canvas.text(
            words(
                text::fit(&says, 2.4, super::model::Weight::Regular, wide),
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

/// How far apart the traced places of a map are, metres.
fn map_step_m(map: &Map) -> f64 {
    map.seats_m.windows(2).map(|two| two[1] - two[0]).next().unwrap_or_default()
}

/// A layout in three lines; returns where the next one begins.
fn described(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    name: &str,
    one: &Judged,
    at: Point,
    wide: f64,
) -> f64 {
    use earline_engine::explore::placement::Parameter::{Base, Front, Seat, Up};
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
