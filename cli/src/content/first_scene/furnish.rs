//! Whether what stands in a first scene can stand there together.

use super::piece::{Measure, PieceKind, PlacedPiece};
use super::{FirstScene, Refusal, text};
use earline_engine::scene::{NoAttachments, Panel, Room, Scene, Severity, Surface, UprightBox};
use glam::DVec3;

/// Warnings that a scene which nobody has written by hand is not to have.
const STANDS_IN: [&str; 3] =
    ["scene::cabinet-in-furniture", "scene::cabinet-in-wall", "scene::inside-furniture"];

/// Nobody's tape tells less, metres.
const SLACK_M: f64 = 0.001;
/// Kept free before a door, metres (common practice): someone goes through.
const DOOR_M: f64 = 0.5;
/// Furniture higher than this is not sat on, metres.
const SEAT_TOP_M: f64 = 0.55;

impl FirstScene {
    /// Puts one more thing at a wall: at the place asked for, or the likeliest where it goes.
    ///
    /// # Errors
    /// Why it does not go there, and what would.
    pub(crate) fn put(
        &mut self,
        kind: PieceKind,
        on: Surface,
        asked_m: impl Fn(Measure) -> Option<f64>,
    ) -> Result<(), Refusal> {
        let alike = self.pieces.iter().filter(|piece| piece.kind == kind).count();
        let name = match alike {
            0 => kind.word().to_owned(),
            more => format!("{} {}", kind.word(), more + 1),
        };
        let room = (&self.layout.room, self.units);
        let mut wrong = None;
        for piece in PlacedPiece::at_its_places((kind, on), asked_m, room, &name)? {
            let mut with = self.clone();
            with.pieces.push(piece);
            match collision(&with) {
                None => {
                    *self = with;
                    return Ok(());
                }
                // What is wrong with the likeliest place says most.
                Some(why) => wrong = wrong.or(Some(why)),
            }
        }
        let remedy = "give it another place, size or wall, or leave it out";
        Err((wrong.unwrap_or_default(), remedy.to_owned()))
    }
}

/// The first thing that cannot stand where it does, in words.
pub(crate) fn collision(first: &FirstScene) -> Option<String> {
    let parsed = match Scene::parse(&text(first), &NoAttachments) {
        Ok(parsed) => parsed,
        Err(problems) => {
            let error = problems.into_iter().find(|problem| problem.severity == Severity::Error);
            return error.map(|problem| problem.message);
        }
    };
    let warned = parsed.warnings.into_iter().find(|warning| STANDS_IN.contains(&warning.code));
    warned.map(|warning| warning.message).or_else(|| by_furniture(&parsed.scene))
}

/// Furniture and subwoofers in each other, before a door or a window, or where someone sits.
fn by_furniture(scene: &Scene) -> Option<String> {
    let furniture =
        scene.furniture().iter().map(|piece| (piece.name.as_str(), piece.upright_box()));
    let subwoofers = scene
        .subwoofer_ids()
        .filter_map(|id| scene[id].cabinet_box().map(|cabinet| (scene[id].name.as_str(), cabinet)));
    let boxes: Vec<(&str, UprightBox)> = furniture.chain(subwoofers).collect();
    for (index, (name, block)) in boxes.iter().enumerate() {
        for (other, their) in boxes.iter().take(index) {
            if SLACK_M < block.overlap_m(their) {
                return Some(format!("`{name}` would stand in `{other}`"));
            }
        }
        for panel in scene.panels() {
            if SLACK_M < block.overlap_m(&before(panel, scene.room())) {
                return Some(format!("`{name}` would stand before `{}`", panel.name));
            }
        }
        let is_high = SEAT_TOP_M < block.middle.z + block.half.z;
        for listener in scene.listeners().iter().filter(|_| is_high) {
            // Someone takes the room from the floor up.
            if 0.0 < block.depth_m(listener.at.with_z(block.middle.z)) {
                return Some(format!("`{}` would sit in `{name}`", listener.name));
            }
        }
    }
    None
}

/// What is to stay free before a door or a window.
fn before(panel: &Panel, room: &Room) -> UprightBox {
    let free_m =
        if panel.name.starts_with(PieceKind::Door.word()) { DOOR_M } else { 2.0 * SLACK_M };
    let across = panel.on.axis();
    let [along, up] = panel.on.tape_axes();
    let (mut middle, mut half) = (DVec3::ZERO, DVec3::ZERO);
    middle[across] =
        if panel.on.is_far() { room.size()[across] - 0.5 * free_m } else { 0.5 * free_m };
    half[across] = 0.5 * free_m;
    for (axis, which) in [(along, 0), (up, 1)] {
        middle[axis] = panel.centre_m[which];
        half[axis] = 0.5 * panel.size_m[which];
    }
    UprightBox { middle, half, axes: [DVec3::X, DVec3::Y, DVec3::Z] }
}
