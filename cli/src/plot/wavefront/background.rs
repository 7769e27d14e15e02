//! Background of an animation: the room with everything in it, which sound runs past.

use crate::canvas::{Canvas, Outline, Point, Rect, Text, Weight, typeface};
use crate::content::wavefront::WavefrontView;
use crate::plot::data::from_trace::ABSORBS_AT_HZ;
use crate::plot::data::input::ListenerHead;
use crate::plot::data::outlines;
use crate::plot::palette::{self, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::room::{elements, symbol};
use crate::plot::sheet::labels::Labels;
use earline_engine::analysis::wavefront::CutPlane;
use earline_engine::analysis::zones;
use earline_engine::scene::{Furniture, Panel, Room, Screen, Speaker};
use glam::DVec2;

/// Size of the listeners' names.
const NAME: f64 = 2.5;

/// The room in its state, ready to be drawn.
pub(crate) struct Background<'a> {
    pub(crate) room: &'a Room,
    pub(crate) side: Side,
    /// Each with whether it absorbs.
    panels: Vec<(&'a Panel, bool)>,
    screens: Vec<&'a Screen>,
    furniture: Vec<&'a Furniture>,
    speaker: &'a Speaker,
    /// The colour of the speaker is that of its place in the scene.
    speaker_index: usize,
    listeners: Vec<ListenerHead>,
    /// Position of the section plane.
    cut_m: f64,
}

impl<'a> Background<'a> {
    pub(crate) fn new(filmed: &WavefrontView<'a>, cut: CutPlane) -> Self {
        let WavefrontView { scene, state, .. } = *filmed;
        let heard = &scene[filmed.speaker];
        let mut listeners: Vec<ListenerHead> = Vec::new();
        for &id in filmed.listeners {
            let ears = &scene[id];
            let listener = ListenerHead::of(ears);
            // Seated and standing ears above each other are one head from above.
            let seen = cut.normal();
            let apart = |other: &ListenerHead| {
                let way = other.at - listener.at;
                (way - seen * way.dot(seen)).length()
            };
            match listeners.iter_mut().find(|other| apart(other) < 0.05) {
                Some(other) => other.name = format!("{}, {}", other.name, listener.name),
                None => listeners.push(listener),
            }
        }
        let absorbs = |panel: &Panel| zones::absorbs(scene, panel.material, ABSORBS_AT_HZ);
        Self {
            room: scene.room(),
            side: if cut == CutPlane::Plan { Side::Plan } else { Side::Section },
            panels: state.panels.iter().map(|panel| (*panel, absorbs(panel))).collect(),
            screens: state.screens.clone(),
            furniture: state.furniture.clone(),
            speaker: heard,
            speaker_index: filmed.speaker.index(),
            listeners,
            cut_m: cut.normal().dot(heard.at),
        }
    }

    /// The largest view of the room in a space.
    pub(crate) fn view(&self, space: Rect) -> View {
        let size_m = self.side.size_m(self.room);
        View::new(self.side, self.room, (space.size() / size_m).min_element(), space)
    }

    /// Draws what lies under the sound; names only if asked for.
    pub(crate) fn beneath(&self, canvas: &mut Canvas, view: &View, named: bool) {
        elements::walls(canvas, view, &Default::default());
        let mut labels = Labels::default();
        for piece in &self.furniture {
            let Some(home) = elements::furniture(canvas, view, piece) else { continue };
            labels.name(&piece.name, home.middle(), 0.5, Some(home));
            if self.is_cut(piece) {
                self.edge(canvas, view, piece, home);
            }
        }
        for &(panel, absorbs) in &self.panels {
            elements::panel(canvas, view, self.room, panel, absorbs);
        }
        for screen in &self.screens {
            if let Some(at) = elements::screen(canvas, view, screen) {
                labels.name(&screen.name, at, 1.2, None);
            }
        }
        if named {
            let taken =
                self.listeners.iter().map(|l| Rect::around(view.at(l.at), DVec2::splat(5.0)));
            canvas.solid.extend(taken);
            canvas.solid.push(Rect::around(view.at(self.speaker.at), DVec2::splat(5.0)));
            labels.write(canvas, view.inside.grown(-0.8));
        }
    }

    /// Whether a piece reaches through the cut, so that sound there does not pass it.
    fn is_cut(&self, piece: &Furniture) -> bool {
        let (least_m, greatest_m) = if self.side == Side::Plan {
            (piece.corner.z, piece.corner.z + piece.size.z)
        } else {
            let across = outlines::furniture_base(piece).map(|corner| corner.y);
            (
                across.into_iter().fold(f64::INFINITY, f64::min),
                across.into_iter().fold(0.0, f64::max),
            )
        };
        least_m < self.cut_m && self.cut_m < greatest_m
    }

    /// A heavy outline for what is cut.
    fn edge(&self, canvas: &mut Canvas, view: &View, piece: &Furniture, seen: Rect) {
        let heavy = line(palette::WALL, 0.5);
        if self.side == Side::Plan {
            let base = elements::furniture_outline(view, piece);
            canvas.shape(Outline::Polygon(base), None, Some(heavy));
        } else {
            canvas.rect(seen, None, Some(heavy));
        }
    }

    /// Draws what the sound must not cover: speaker and heads.
    pub(crate) fn above(&self, canvas: &mut Canvas, view: &View, named: bool) {
        symbol::speaker(canvas, view, self.speaker, palette::speaker(self.speaker_index));
        for listener in &self.listeners {
            let head = symbol::head(canvas, view, listener);
            if named {
                self.name(canvas, view, &listener.name, head);
            }
        }
    }

    /// Writes a listener's name under the head in a plan, beside it in a section, where heads may be
    /// above each other.
    fn name(&self, canvas: &mut Canvas, view: &View, name: &str, head: Rect) {
        let inside = view.inside;
        let name = typeface::fit(name, NAME, Weight::Semibold, inside.size().x * 0.6);
        let wide = typeface::width(&name, NAME, Weight::Semibold);
        let at = if self.side == Side::Plan {
            let least = inside.min.x + 1.0;
            let left = (head.middle().x - wide / 2.0).min(inside.max.x - wide - 1.0).max(least);
            Point::new(left, head.max.y + 3.0)
        } else if head.max.x + 1.0 + wide < inside.max.x {
            Point::new(head.max.x + 1.0, head.middle().y)
        } else {
            Point::new(head.min.x - 1.0 - wide, head.middle().y)
        };
        canvas.text(Text::new(name, at, NAME).semibold().haloed());
    }
}
