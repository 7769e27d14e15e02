//! What stands still: the room with what is in it, and what sound runs past.

use super::super::canvas::{Canvas, words};
use super::super::from_trace::{furniture, panel, screen, speaker};
use super::super::input::{Furniture, Listener, Panel, Screen, Speaker};
use super::super::labels::Labels;
use super::super::model::{Outline, Point, Rect, Weight};
use super::super::palette::{self, line};
use super::super::view::{Side, View};
use super::super::{room, symbol, text};
use crate::filmed::Filmed;
use earline_engine::scene::Room;
use earline_engine::wavefront::Cut;
use glam::DVec2;

/// The room in its state, ready to be drawn.
pub(super) struct Stage {
    pub(super) room: Room,
    pub(super) side: Side,
    panels: Vec<Panel>,
    screens: Vec<Screen>,
    furniture: Vec<Furniture>,
    speaker: Speaker,
    /// The colour of the speaker is that of its place in the scene.
    speaker_index: usize,
    listeners: Vec<Listener>,
    /// The height of a plan.
    level_m: Option<f64>,
}

impl Stage {
    pub(super) fn new(filmed: &Filmed<'_>, cut: Cut) -> Self {
        let Filmed { scene, state, .. } = *filmed;
        let heard = &scene.speakers()[filmed.speaker];
        let mut listeners: Vec<Listener> = Vec::new();
        for &index in filmed.listeners {
            let ears = &scene.listeners()[index];
            let listener =
                Listener { name: ears.name.clone(), at: ears.at, ahead: ears.frame()[0] };
            // Seated and standing ears above each other are one head from above.
            let seen = cut.normal();
            let apart = |other: &Listener| {
                let way = other.at - listener.at;
                (way - seen * way.dot(seen)).length()
            };
            match listeners.iter_mut().find(|other| apart(other) < 0.05) {
                Some(other) => other.name = format!("{}, {}", other.name, listener.name),
                None => listeners.push(listener),
            }
        }
        Self {
            room: *scene.room(),
            side: if cut == Cut::Plan { Side::Plan } else { Side::Section },
            panels: state.panels.iter().map(|p| panel(scene, p)).collect(),
            screens: state.screens.iter().map(|s| screen(scene, s)).collect(),
            furniture: state.furniture.iter().map(|f| furniture(f)).collect(),
            speaker: speaker(heard),
            speaker_index: filmed.speaker,
            listeners,
            level_m: (cut == Cut::Plan).then_some(heard.at.z),
        }
    }

    /// The largest view of the room in a space.
    pub(super) fn view(&self, space: Rect) -> View {
        let size_m = self.side.size_m(&self.room);
        View::new(self.side, &self.room, (space.size() / size_m).min_element(), space)
    }

    /// Draws what lies under the sound; names only if asked for.
    pub(super) fn beneath(&self, canvas: &mut Canvas, view: &View, named: bool) {
        room::walls(canvas, view, &Default::default());
        let mut labels = Labels::default();
        for piece in &self.furniture {
            if let Some(home) = room::furniture(canvas, view, piece) {
                labels.name(&piece.name, home.middle(), 0.5, Some(home));
            }
            if self.is_cut(piece) {
                let base = piece.base.iter().map(|&corner| view.at(corner)).collect();
                canvas.shape(Outline::Polygon(base), None, Some(line(palette::WALL, 0.5)));
            }
        }
        for panel in &self.panels {
            room::panel(canvas, view, &self.room, panel);
        }
        for screen in &self.screens {
            if let Some(at) = room::screen(canvas, view, screen) {
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

    /// Whether a piece reaches through the height of a plan, so that sound there does not pass it.
    fn is_cut(&self, piece: &Furniture) -> bool {
        let bottom_m = piece.base[0].z;
        self.level_m.is_some_and(|level| bottom_m < level && level < bottom_m + piece.height_m)
    }

    /// Draws what the sound must not cover: speaker and heads.
    pub(super) fn above(&self, canvas: &mut Canvas, view: &View, named: bool) {
        symbol::speaker(canvas, view, &self.speaker, palette::speaker(self.speaker_index));
        for listener in &self.listeners {
            let head = symbol::head(canvas, view, listener);
            if named {
                let room_mm = view.inside.size().x * 0.6;
                let name = text::fit(&listener.name, 2.5, Weight::Semibold, room_mm);
                let half = text::width(&name, 2.5, Weight::Semibold) / 2.0;
                let x = head
                    .middle()
                    .x
                    .clamp(view.inside.min.x + half + 1.0, view.inside.max.x - half - 1.0);
                let at = Point::new(x, head.max.y + 3.0);
                canvas.text(words(name, at, 2.5).strong().centred().with_halo());
            }
        }
    }
}
