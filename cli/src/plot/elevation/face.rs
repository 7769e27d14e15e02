//! One surface seen flat: panels, zones, reflection points, and what stands before it.

use crate::canvas::{Canvas, Colour, Dash, Outline, Point, Rect};
use crate::plot::data::input::{Face, Hit, Input, Lettered, LimitVerdict, Path, Zone};
use crate::plot::data::outlines;
use crate::plot::elevation::before::{screens_before, stands_at};
use crate::plot::elevation::mounting;
use crate::plot::groups;
use crate::plot::palette::{self, dashed};
use crate::plot::room::projection::View;
use crate::plot::room::{dimension_marks, elements, paths, symbol};
use crate::plot::sheet::badge::Badge;
use crate::plot::sheet::labels::Labels;
use crate::plot::sheet::lengths;
use crate::plot::sheet::ordinate::{self, Tick, Writing};
use earline_engine::scene::{Furniture, Panel, Screen, Surface};
use glam::DVec2;

/// A surface with all that its drawing needs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FaceView<'a> {
    /// The room with everything in it.
    pub(crate) input: &'a Input<'a>,
    /// The surface.
    pub(crate) face: &'a Face,
    /// Its place on the sheet.
    pub(crate) view: &'a View,
    /// The tapes around it; without them labels keep to its inside.
    pub(crate) tapes: Option<DimensionLines>,
}

/// Dimension lines around a surface.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DimensionLines {
    /// Direction of the writing at the top and bottom.
    pub(crate) writing: Writing,
    /// Space for labels past the ends of each edge, millimetres.
    pub(crate) spare: [f64; 4],
}

/// Title of a surface over its drawing.
pub(crate) fn title(surface: Surface) -> &'static str {
    match surface {
        Surface::Front => "Front wall",
        Surface::Back => "Back wall",
        Surface::Left => "Left wall",
        Surface::Right => "Right wall",
        Surface::Floor => "Floor",
        Surface::Ceiling => "Ceiling",
    }
}

/// The marks on the tapes around a surface, in the order of `Side::edges`:
/// reflection points at the top and left, the ends of their zones at the bottom and right.
pub(crate) fn marks(input: &Input, face: &Face, view: &View) -> [Vec<Tick>; 4] {
    let mut marks: [Vec<Tick>; 4] = Default::default();
    if !input.hung.is_empty() {
        marks = mounting::marks(input, face, view, [across(view), down(view)]);
    }
    for zone in face.zones.iter().filter(|_| input.hung.is_empty()) {
        let tag = tag(input, face.on, zone);
        let point = DVec2::from(face.on.tape(zone.point));
        let ends = zone.reach_m();
        for (edge, axis, places) in [(0, across(view), vec![point]), (2, down(view), vec![point])]
            .into_iter()
            .chain([(1, across(view), ends.to_vec()), (3, down(view), ends.to_vec())])
        {
            for place in places {
                let tag = Badge { first_order: edge % 2 == 0, ..tag.clone() };
                let distance = lengths::written(place[axis], input.units);
                dimension_marks::add(
                    &mut marks[edge],
                    place[axis] * view.mm_per_m,
                    distance,
                    Some(tag),
                );
            }
        }
    }
    let edges = dimension_marks::edges(view);
    for edge in [1, 3] {
        let whole = dimension_marks::whole(&edges[edge], view, input.units);
        // A zone that reaches the far end is marked by the whole length.
        let beside = |tick: &Tick| (tick.along - whole.along).abs() > 0.25;
        let ending: Vec<Badge> =
            marks[edge].iter().filter(|t| !beside(t)).flat_map(|t| t.tags.clone()).collect();
        marks[edge].retain(beside);
        marks[edge].push(Tick { tags: ending, ..whole });
    }
    marks
}

/// The tape coordinate that runs across the sheet; the other runs down or up it.
fn across(view: &View) -> usize {
    usize::from(view.side.is_from_above())
}

fn down(view: &View) -> usize {
    1 - across(view)
}

/// The number of a zone's reflection in the list, or a dash where it has none.
pub(crate) fn tag(input: &Input, on: Surface, zone: &Zone) -> Badge {
    let own = |path: &&Path| {
        path.speaker == zone.speaker
            && matches!(path.bounces.as_slice(), [only] if only.hit == Hit::Surface(on))
    };
    input.paths.iter().find(own).map_or_else(
        || Badge {
            content: "–".to_owned(),
            style: palette::speaker(zone.speaker),
            verdict: LimitVerdict::Unjudged,
            first_order: true,
        },
        |path| paths::badge(path, 0),
    )
}

/// Draws a surface; labels stay inside an area, or inside the surface where it has no tapes.
pub(crate) fn draw(canvas: &mut Canvas, marked: &FaceView<'_>, area: Rect) {
    let FaceView { input, face, view, tapes } = *marked;
    let marks = if tapes.is_some() { marks(input, face, view) } else { Default::default() };
    let mut labels = Labels::default();
    elements::walls(canvas, view, &dimension_marks::crossings(view, &marks));
    for piece in input.furniture.iter().filter(|f| stands_at(f, face.on, input.room)) {
        if let Some(home) = elements::furniture(canvas, view, piece) {
            labels.name(&piece.name, home.middle(), 0.5, Some(home.grown(-0.5)));
        }
    }
    tints(canvas, view, face);
    mounting::kept_clear(canvas, input, face, view, &mut labels);
    panels(canvas, marked, &mut labels);
    screens(canvas, marked, &mut labels);
    if let Some(DimensionLines { writing, spare }) = tapes {
        for (index, (edge, ticks)) in
            dimension_marks::edges(view).into_iter().zip(&marks).enumerate()
        {
            ordinate::draw(canvas, edge, ticks, writing, spare[index]);
        }
    }
    outlines(canvas, marked);
    if !input.hung.is_empty() {
        mounting::crosses(canvas, input, face, view);
    }
    for zone in face.zones.iter().filter(|_| input.hung.is_empty()) {
        let style = palette::speaker(zone.speaker);
        let tag = tag(input, face.on, zone);
        canvas.group(groups::path(tag.content.clone()), |canvas| {
            symbol::bounce(canvas, view, zone.point, Hit::Surface(face.on), style, paths::MARK);
        });
        let at = view.at(zone.point);
        canvas.solid.push(Rect::around(at, DVec2::splat(2.0 * paths::MARK)));
        labels.badge(tag, at, paths::MARK + 0.2);
    }
    labels.write(canvas, if tapes.is_some() { area } else { view.inside.grown(-0.3) });
}

/// Whether a surface is drawn alike in two rooms: its zones with what they are worth and their numbers, what is
/// on it, and what stands or hangs before it.
pub(crate) fn is_alike(one: &Input, other: &Input, on: Surface) -> bool {
    type Content<'a> = (
        Option<&'a Face>,
        Vec<Badge>,
        Vec<(&'a Lettered<'a, Panel>, bool)>,
        Vec<&'a Lettered<'a, Screen>>,
        Vec<&'a Furniture>,
    );
    fn content<'a>(input: &'a Input<'a>, on: Surface) -> Content<'a> {
        let zones = input.zones.as_ref();
        let face = zones.and_then(|zones| zones.faces.iter().find(|face| face.on == on));
        let is_absorbing = |index: usize| zones.is_some_and(|z| z.absorbing.contains(&index));
        let panels = input.panels.iter().enumerate().filter(|(_, panel)| panel.on == on);
        let tags = face.into_iter().flat_map(|face| &face.zones).map(|zone| tag(input, on, zone));
        let furniture = input.furniture.iter().copied();
        (
            face,
            tags.collect(),
            panels.map(|(index, panel)| (panel, is_absorbing(index))).collect(),
            face.map_or_else(Vec::new, |face| screens_before(input, face)),
            furniture.filter(|piece| stands_at(piece, on, input.room)).collect(),
        )
    }
    content(one, on) == content(other, on)
}

/// Zones in a tint that panels will cover; those behind something only veiled.
fn tints(canvas: &mut Canvas, view: &View, face: &Face) {
    let mut zones: Vec<&Zone> = face.zones.iter().collect();
    zones.sort_by_key(|zone| zone.behind.is_none());
    for zone in zones {
        let colour = tint(zone.behind.is_some());
        let outline = Outline::Polygon(outline(view, face.on, zone));
        canvas.shape(outline, Some(colour), None);
    }
}

fn outlines(canvas: &mut Canvas, marked: &FaceView<'_>) {
    let FaceView { input, face, view, .. } = *marked;
    for zone in &face.zones {
        let style = palette::speaker(zone.speaker);
        let width = if zone.behind.is_some() { 0.2 } else { 0.45 };
        let corners = outline(view, face.on, zone);
        canvas.lines.extend(elements::edges(&corners));
        let stroke = dashed(style.colour, width, style.dash);
        canvas.group(groups::path(tag(input, face.on, zone).content), |canvas| {
            canvas.shape(Outline::Polygon(corners), None, Some(stroke));
        });
    }
}

fn outline(view: &View, on: Surface, zone: &Zone) -> Vec<Point> {
    zone.outline_m.iter().map(|&corner| view.on(on, corner)).collect()
}

fn panels(canvas: &mut Canvas, marked: &FaceView<'_>, labels: &mut Labels) {
    let FaceView { input, face, view, .. } = *marked;
    for (index, panel) in input.panels.iter().enumerate().filter(|(_, p)| p.on == face.on) {
        let corners = outlines::panel_reach_m(panel).map(|corner| view.on(face.on, corner));
        let Some(area) = Rect::bounding(&corners) else { continue };
        if input.zones.as_ref().is_some_and(|zones| zones.absorbing.contains(&index)) {
            elements::hatched(canvas, area);
        } else {
            canvas.rect(area, None, Some(dashed(palette::PANEL_EDGE, 0.25, Dash::Short)));
            canvas.lines.extend(elements::outline_of(area));
        }
        let corner = Point::new(area.min.x + 2.4, area.max.y - 2.4);
        labels.letter(&panel.letter, corner, 0.2);
    }
}

fn screens(canvas: &mut Canvas, marked: &FaceView<'_>, labels: &mut Labels) {
    for screen in screens_before(marked.input, marked.face) {
        if let Some(at) = elements::screen(canvas, marked.view, screen) {
            labels.letter(&screen.letter, at, 0.9);
        }
    }
}

/// Fill of a zone.
pub(crate) fn tint(is_behind: bool) -> Colour {
    if is_behind { palette::VEIL } else { palette::ZONE }
}
