//! The floor of a setting-out sheet: walls with the tape along them, crosses, triangles.

use crate::canvas::{Canvas, Dash, Point, Rect};
use crate::content::setting_out::SettingOutSheet;
use crate::plot::data::input::{LimitVerdict, ListenerHead};
use crate::plot::palette::{self, SpeakerStyle, dashed, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{dimension_marks, elements, symbol};
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::lengths;
use crate::plot::sheet::ordinate::{self, Tick, Writing};
use crate::plot::sheet::scale_bar::scale_bar;
use earline_engine::analysis::setting_out::{Mark, MarkTarget, PairAtSeat, PairLayout};
use earline_engine::scene::Aim;
use glam::{DVec2, DVec3};

/// Height of the scale bar with its figures.
const BAR: f64 = 9.0;

/// Draws the floor as large as a ruler's scale allows; returns that scale.
pub(crate) fn draw(
    canvas: &mut Canvas,
    setting: &SettingOutSheet<'_>,
    space: Rect,
) -> DrawingScale {
    let (view, scale, marks) = fit(setting, space);
    elements::walls(canvas, &view, &dimension_marks::crossings(&view, &marks));
    let mut labels = Labels::default();
    for piece in &setting.state.furniture {
        if let Some(home) = elements::furniture(canvas, &view, piece) {
            labels.name(&piece.name, home.middle(), 0.5, Some(home));
        }
    }
    let spare = spare(&view, space);
    for (index, (edge, ticks)) in dimension_marks::edges(&view).into_iter().zip(&marks).enumerate()
    {
        ordinate::draw(canvas, edge, ticks, Writing::Upright, if index < 2 { spare } else { 1.5 });
    }
    centre_line(canvas, setting, &view);
    witnesses(canvas, setting, &view);
    for pair in &setting.out.pairs {
        triangle(canvas, setting, &view, pair, &mut labels);
    }
    things(canvas, setting, &view);
    for (letter, mark) in setting.crosses() {
        let at = view.at(mark.at());
        cross(canvas, at);
        labels.badge(tag(letter, style(mark)), at, clear(setting, &view, mark));
    }
    labels.write(canvas, space);
    let corner = Point::new(space.min.x + 3.0, space.max.y - 1.5);
    scale_bar(canvas, corner, &scale, setting.units);
    scale
}

/// The largest scale at which the room and its dimensions fit, and the marks on each tape: all, or
/// as many as there is room for beside each other.
fn fit(setting: &SettingOutSheet<'_>, space: Rect) -> (View, DrawingScale, [Vec<Tick>; 4]) {
    let whole = fit_of(setting, space, usize::MAX);
    if is_clear(&whole.0, &whole.2, space) {
        return whole;
    }
    let fewer = FEWER.into_iter().map(|most| fit_of(setting, space, most));
    fewer.into_iter().find(|(view, _, marks)| is_clear(view, marks, space)).unwrap_or(whole)
}

/// So many crosses are tried on the tapes where not all have room; the rest are in the tables.
const FEWER: [usize; 6] = [16, 12, 9, 6, 3, 0];

/// Whether the labels of the tapes have room beside each other.
fn is_clear(view: &View, marks: &[Vec<Tick>; 4], space: Rect) -> bool {
    let size = view.inside.size();
    ordinate::length(&marks[0], false, Writing::Upright) <= size.x + 2.0 * spare(view, space)
        && ordinate::length(&marks[2], true, Writing::Upright) <= size.y
}

fn fit_of(
    setting: &SettingOutSheet<'_>,
    space: Rect,
    most: usize,
) -> (View, DrawingScale, [Vec<Tick>; 4]) {
    let room = setting.scene.room();
    let space = Rect { max: space.max - DVec2::new(0.0, BAR), ..space };
    let unit = View::new(Side::Plan, room, 1.0, space);
    let marks = along(setting, &unit, most);
    let deep = |index: usize| ordinate::depth(&marks[index], 2 <= index, Writing::Upright);
    let inner = Rect {
        min: space.min + DVec2::new(deep(2), deep(0)),
        max: space.max - DVec2::new(deep(3), deep(1)),
    };
    let scale = drawing_scale::fitting(Side::Plan.size_m(room), inner.size(), setting.units);
    let view = View::new(Side::Plan, room, scale.mm_per_m, inner);
    let marks = along(setting, &view, most);
    (view, scale, marks)
}

/// Space for labels at the front and back wall past the corners.
fn spare(view: &View, space: Rect) -> f64 {
    (view.inside.min.x - space.min.x).min(space.max.x - view.inside.max.x).clamp(0.0, 22.0)
}

/// The first crosses on the tapes along the front wall and along the left wall.
fn along(setting: &SettingOutSheet<'_>, view: &View, most: usize) -> [Vec<Tick>; 4] {
    let edges = dimension_marks::edges(view);
    std::array::from_fn(|index| {
        let mut found = Vec::new();
        let crosses = if index % 2 == 0 { setting.crosses() } else { Vec::new() };
        for (letter, mark) in crosses.into_iter().take(most) {
            let metres = if index == 0 { mark.from_left_m } else { mark.from_front_m };
            let distance = lengths::with_fractions(&setting.mark(metres));
            let tag = tag(letter, style(mark));
            dimension_marks::add(&mut found, metres * view.mm_per_m, distance, Some(tag));
        }
        found.iter_mut().for_each(abridge);
        let whole = edges[index].zero.distance(edges[index].end);
        let distance = lengths::with_fractions(&setting.mark(whole / view.mm_per_m));
        found.push(Tick { along: whole, tags: Vec::new(), distance, strong: true });
        found
    })
}

/// Of many letters at one mark the first few, and how many more there are.
fn abridge(tick: &mut Tick) {
    if tick.tags.len() <= LETTERS {
        return;
    }
    let more = tick.tags.len() + 1 - LETTERS;
    tick.tags.truncate(LETTERS - 1);
    if let Some(last) = tick.tags.last() {
        let counted = Badge { content: format!("+{more}"), ..last.clone() };
        tick.tags.push(counted);
    }
}

/// Letters at one mark of a tape.
const LETTERS: usize = 4;

fn centre_line(canvas: &mut Canvas, setting: &SettingOutSheet<'_>, view: &View) {
    let middle_m = setting.out.centre_line_m;
    let ends = [0.0, setting.scene.room().length_m];
    let ends = ends.map(|x| view.at(DVec3::new(x, middle_m, 0.0)));
    canvas.polyline(ends.to_vec(), dashed(palette::SECONDARY, 0.2, Dash::Chain));
    canvas.lines.push(ends);
}

/// Hairlines from the crosses to the two walls they are measured from.
fn witnesses(canvas: &mut Canvas, setting: &SettingOutSheet<'_>, view: &View) {
    for (_, mark) in setting.crosses() {
        for foot in [mark.at().with_x(0.0), mark.at().with_y(0.0)] {
            let fine = dashed(palette::RULE, 0.16, Dash::Short);
            canvas.polyline(vec![view.at(foot), view.at(mark.at())], fine);
        }
    }
}

/// The pair's triangle with the seat it is made for, and how far its axes go.
fn triangle(
    canvas: &mut Canvas,
    setting: &SettingOutSheet<'_>,
    view: &View,
    pair: &PairLayout,
    labels: &mut Labels,
) {
    let [left, right] = [pair.left, pair.right].map(|id| &setting.scene[id]);
    let colour = palette::speaker(pair.left.index()).colour;
    if let Some([x, y]) = pair.axes_cross_m {
        let crossing = view.at(DVec3::new(x, y, 0.0));
        for speaker in [left, right] {
            if let Some(axis) = view.inside.cut([view.at(speaker.at), crossing]) {
                canvas.polyline(axis.to_vec(), dashed(colour, 0.18, Dash::Short));
            }
        }
    }
    let Some(seat) = made_for(pair, &left.aim) else { return };
    let listener = &setting.scene[seat.listener];
    for (from, to, metres) in [
        (left.at, right.at, pair.base_floor_m),
        (left.at, listener.at, seat.to_cross_m[0]),
        (right.at, listener.at, seat.to_cross_m[1]),
    ] {
        let ends = [from, to].map(|point| view.at(point));
        canvas.polyline(ends.to_vec(), line(colour, 0.3));
        canvas.lines.push(ends);
        let length = lengths::with_fractions(&setting.mark(metres));
        labels.length(&length, ends[0].midpoint(ends[1]), colour);
    }
}

/// The seat that a pair is aimed at, or else the one nearest to its apex.
fn made_for<'p>(pair: &'p PairLayout, aim: &Aim) -> Option<&'p PairAtSeat> {
    if let Aim::Listener(id) = aim
        && let Some(seat) = pair.seats.iter().find(|seat| seat.listener == *id)
    {
        return Some(seat);
    }
    let away = |seat: &PairAtSeat| seat.lean.map_or(f64::INFINITY, |lean| lean.distance_m());
    pair.seats.iter().reduce(|best, seat| if away(seat) < away(best) { seat } else { best })
}

/// Cabinets and heads.
fn things(canvas: &mut Canvas, setting: &SettingOutSheet<'_>, view: &View) {
    // Where heads overlap the first one is on top.
    for (_, mark) in setting.crosses().into_iter().rev() {
        let extent = match mark.of {
            MarkTarget::Speaker(id) => {
                let style = palette::speaker(id.index());
                symbol::speaker(canvas, view, &setting.scene[id], style)
            }
            MarkTarget::Listener(id) => {
                symbol::head(canvas, view, &ListenerHead::of(&setting.scene[id]))
            }
        };
        canvas.solid.push(extent);
    }
}

/// The cross itself.
fn cross(canvas: &mut Canvas, at: Point) {
    for arm in [DVec2::X, DVec2::Y] {
        canvas.polyline(vec![at - arm * 2.2, at + arm * 2.2], line(palette::PAPER, 0.5));
    }
    for arm in [DVec2::X, DVec2::Y] {
        canvas.polyline(vec![at - arm * 2.0, at + arm * 2.0], line(palette::INK, 0.2));
    }
    canvas.circle(at, 0.9, None, Some(palette::hairline()));
}

/// Radius of what is drawn at a mark, millimetres.
fn clear(setting: &SettingOutSheet<'_>, view: &View, mark: &Mark) -> f64 {
    let half_m = match mark.of {
        MarkTarget::Speaker(id) => {
            setting.scene[id].cabinet().map_or(0.1, |cabinet| 0.5 * cabinet.width_m)
        }
        MarkTarget::Listener(_) => 0.2,
    };
    (half_m * view.mm_per_m).max(2.2)
}

fn style(mark: &Mark) -> SpeakerStyle {
    match mark.of {
        MarkTarget::Speaker(id) => palette::speaker(id.index()),
        MarkTarget::Listener(_) => SpeakerStyle {
            colour: palette::INK,
            dash: Dash::Solid,
            badge_fill: palette::PAPER,
            badge_ink: palette::INK,
        },
    }
}

fn tag(letter: String, style: SpeakerStyle) -> Badge {
    Badge { content: letter, style, verdict: LimitVerdict::Unjudged, first_order: true }
}
