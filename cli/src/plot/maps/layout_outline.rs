//! A layout of a pair and a seat as seen from above.

use crate::canvas::{Canvas, Colour, Dash, Outline, Point, Rect, Stroke};
use crate::content::placement::PlacementView;
use crate::plot::palette::{self, line};
use crate::plot::room::projection::{Side, View};
use earline_engine::explore::placement::Layout;
use glam::DVec3;

/// The floor with one layout alone, as large as it fits in a space.
pub(crate) fn small_plan(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    one: &Layout,
    space: Rect,
) {
    let room = placed.scene.room();
    let mm_per_m = (space.size() / Side::Plan.size_m(room)).min_element();
    let view = View::new(Side::Plan, room, mm_per_m, space);
    canvas.rect(view.inside, Some(palette::FLOOR), Some(line(palette::WALL, 0.35)));
    layout(canvas, placed, &view, one, line(palette::INK, 0.2), Some(palette::PANEL));
}

/// Its seat on the sheet.
pub(crate) fn seat(view: &View, layout: &Layout) -> Point {
    view.at(DVec3::new(layout.seat_m, layout.axis_m, 0.0))
}

/// The triangle of a layout, its cabinets, and a ring at its seat.
pub(crate) fn layout(
    canvas: &mut Canvas,
    placed: &PlacementView<'_>,
    view: &View,
    layout: &Layout,
    stroke: Stroke,
    fill: Option<Colour>,
) {
    let Layout { seat_m, base_m, speaker_distance_m: front_m, converge_m, axis_m, .. } = *layout;
    let speaker = |side: f64| DVec3::new(front_m, axis_m + side * base_m, 0.0);
    let (left, right) = (view.at(speaker(-0.5)), view.at(speaker(0.5)));
    let ears = seat(view, layout);
    canvas.polyline(vec![ears, left, right, ears], stroke);
    for (id, side) in placed.plan.pair.into_iter().zip([-0.5, 0.5]) {
        let at = speaker(side);
        let facing = DVec3::new(seat_m + converge_m, axis_m, 0.0) - at;
        let facing = facing.normalize_or(DVec3::X);
        let cabinet = placed.scene[id].cabinet();
        // Where nothing is known of the cabinet, a small square on the reference point.
        let (depth_m, width_m, ahead_m) =
            cabinet.map_or((0.1, 0.1, 0.05), |cabinet| (cabinet.depth_m, cabinet.width_m, 0.0));
        let across = DVec3::Z.cross(facing) * 0.5 * width_m;
        let front = at + facing * ahead_m;
        let back = front - facing * depth_m;
        let corners = [front - across, front + across, back + across, back - across];
        let corners = corners.map(|corner| view.at(corner)).to_vec();
        let stroke = Stroke { dash: Dash::Solid, ..stroke };
        canvas.shape(Outline::Polygon(corners), fill, Some(stroke));
    }
    canvas.circle(ears, 0.9, Some(palette::PAPER), Some(line(palette::INK, 0.25)));
}
