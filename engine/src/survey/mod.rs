//! What a tape measure and a little arithmetic say of a room before anything is traced.

mod pair;
mod proportions;
mod seat;

pub use pair::{PairMirror, PairSeen};
pub use proportions::{ProportionRule, Proportions};
pub use seat::{Seat, SpeakerSeen};

use crate::scene::{Furniture, Panel, Room, Scene, Screen, State, Surface};
use glam::DVec3;

/// What a room is: figures of its box, its seats and its speakers.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Volume in cubic metres.
    pub volume_m3: f64,
    /// Area of all six surfaces in square metres.
    pub surface_m2: f64,
    /// Floor area in square metres.
    pub floor_m2: f64,
    /// Proportions and the published rule on them.
    pub proportions: Proportions,
    /// How the room differs left from right.
    pub mirror: RoomMirror,
    /// Distances of each speaker from the room's surfaces, in the scene's order.
    pub speakers: Vec<SpeakerPlace>,
    /// Each pair of speakers as it stands in the room, in the order of its left speaker.
    pub pairs: Vec<PairMirror>,
    /// Each listener's seat, in the scene's order.
    pub seats: Vec<Seat>,
}

/// Where a speaker stands: distances from its reference point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeakerPlace {
    /// Index in the scene.
    pub speaker: usize,
    /// Distance to each surface in metres, in the order of [`Surface::ALL`].
    pub from_surfaces_m: [f64; 6],
}

/// How a room's own surfaces differ left from right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoomMirror {
    /// Whether left and right wall are bare of the same material.
    pub walls_alike: bool,
    /// Panels without a like one at the mirrored place.
    pub panels_without_twin: usize,
    /// Screens and furniture without a like one at the mirrored place.
    pub objects_without_twin: usize,
}

/// Survey a scene in one of its states.
pub fn survey(scene: &Scene, state: &State<'_>) -> Survey {
    let room = scene.room();
    let pairs = pair::pairs(scene);
    Survey {
        volume_m3: room.volume_m3(),
        surface_m2: room.surface_m2(),
        floor_m2: room.area_m2(Surface::Floor),
        proportions: Proportions::of(room),
        mirror: room_mirror(scene, state),
        speakers: scene
            .speakers()
            .iter()
            .enumerate()
            .map(|(speaker, s)| SpeakerPlace {
                speaker,
                from_surfaces_m: from_surfaces_m(room, s.at),
            })
            .collect(),
        seats: seat::seats(scene, &pairs),
        pairs: pairs.iter().map(|&p| PairMirror::of(scene, p)).collect(),
    }
}

fn from_surfaces_m(room: &Room, at: DVec3) -> [f64; 6] {
    let far = room.size() - at;
    [at.x, far.x, at.y, far.y, at.z, far.z]
}

/// Places closer than this count as mirrored: what a tape measure and a pencil hold to, metres.
const MIRROR_TOLERANCE_M: f64 = 0.005;

fn room_mirror(scene: &Scene, state: &State<'_>) -> RoomMirror {
    let width = scene.room().width_m;
    let panel_twin = |a: &Panel, b: &Panel| {
        let (on, centre) = mirrored_panel(a.on, a.centre_m, width);
        b.on == on
            && near(b.centre_m, centre)
            && near(b.size_m, a.size_m)
            && a.material == b.material
    };
    let screen_twin = |a: &Screen, b: &Screen| {
        b.centre.distance(mirrored(a.centre, width)) < MIRROR_TOLERANCE_M
            && a.material == b.material
            && parallel(b.facing, mirrored(a.facing, 0.0))
            && near(b.size_m, a.size_m)
    };
    let furniture_twin = |a: &Furniture, b: &Furniture| {
        (b.corner + b.size / 2.0).distance(mirrored(a.corner + a.size / 2.0, width))
            < MIRROR_TOLERANCE_M
            && b.size.distance(a.size) < MIRROR_TOLERANCE_M
            && near([b.turn_deg, 0.0], [-a.turn_deg, 0.0])
            && a.material == b.material
    };
    RoomMirror {
        walls_alike: scene.surface_material(Surface::Left)
            == scene.surface_material(Surface::Right),
        panels_without_twin: without_twin(&state.panels, panel_twin),
        objects_without_twin: without_twin(&state.screens, screen_twin)
            + without_twin(&state.furniture, furniture_twin),
    }
}

fn without_twin<T>(things: &[&T], twins: impl Fn(&T, &T) -> bool) -> usize {
    things.iter().filter(|a| !things.iter().any(|b| twins(a, b))).count()
}

fn mirrored(point: DVec3, width_m: f64) -> DVec3 {
    DVec3::new(point.x, width_m - point.y, point.z)
}

/// Whether two unit vectors lie along one line; both faces of a screen are the same.
fn parallel(a: DVec3, b: DVec3) -> bool {
    a.cross(b).length() < MIRROR_TOLERANCE_M
}

fn mirrored_panel(on: Surface, centre_m: [f64; 2], width_m: f64) -> (Surface, [f64; 2]) {
    let [a, b] = centre_m;
    match on {
        Surface::Left => (Surface::Right, centre_m),
        Surface::Right => (Surface::Left, centre_m),
        Surface::Front | Surface::Back => (on, [width_m - a, b]),
        Surface::Floor | Surface::Ceiling => (on, [a, width_m - b]),
    }
}

fn near(a: [f64; 2], b: [f64; 2]) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < MIRROR_TOLERANCE_M)
}
