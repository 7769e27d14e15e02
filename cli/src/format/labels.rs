//! Names of what a reflection hits: for machines and for people.

use earline_engine::geometry::{BoxSide, FaceId};
use earline_engine::image_source::Bounce;
use earline_engine::metrics::absorbing_areas::AbsorbingObject;
use earline_engine::scene::{Scene, SpeakerId, Surface};
use std::borrow::Cow;

/// The name in machine output: `left`, `left:left side panel`, `cloud`, `cloud/rear`, `desk/top`,
/// `cabinet:main left/front`.
pub(crate) fn wire(scene: &Scene, bounce: &Bounce) -> String {
    match bounce.face {
        FaceId::Surface(surface) => match panel(scene, bounce) {
            Some(panel) => format!("{}:{panel}", surface.name()),
            None => surface.name().to_owned(),
        },
        FaceId::Screen { index, rear } => {
            let name = screen(scene, index);
            if rear { format!("{name}/rear") } else { name.to_owned() }
        }
        FaceId::Furniture { index, side } => {
            format!("{}/{}", furniture(scene, index), side_name(side))
        }
        FaceId::Cabinet { speaker: id, side } => {
            format!("cabinet:{}/{}", speaker(scene, id), side_name(side))
        }
    }
}

/// The surface of the room that a bounce is on; `None` where it is on something inside.
pub(crate) fn surface_of(bounce: &Bounce) -> Option<&'static str> {
    match bounce.face {
        FaceId::Surface(surface) => Some(surface.name()),
        _ => None,
    }
}

/// A surface in a sentence: `left wall`, `ceiling`.
pub(crate) fn surface(surface: Surface) -> String {
    if surface.axis() == 2 { surface.name().to_owned() } else { format!("{} wall", surface.name()) }
}

/// A face in a sentence: `left wall`, `rear of cloud`, `top of desk`, `cabinet of main left, front`.
pub(crate) fn face(scene: &Scene, face: FaceId) -> String {
    match face {
        FaceId::Surface(on) => surface(on),
        FaceId::Screen { index, rear } => {
            let name = screen(scene, index);
            if rear { format!("rear of {name}") } else { name.to_owned() }
        }
        FaceId::Furniture { index, side } => {
            format!("{} of {}", side_word(side), furniture(scene, index))
        }
        FaceId::Cabinet { side, .. } => format!("{}, {}", thing(scene, face), side_word(side)),
    }
}

/// The thing a face belongs to, as the scene names it.
pub(crate) fn thing(scene: &Scene, face: FaceId) -> Cow<'_, str> {
    match face {
        FaceId::Surface(surface) => surface.name().into(),
        FaceId::Screen { index, .. } => screen(scene, index).into(),
        FaceId::Furniture { index, .. } => furniture(scene, index).into(),
        FaceId::Cabinet { speaker: id, .. } => format!("cabinet of {}", speaker(scene, id)).into(),
    }
}

/// The name in a sentence: `left wall`, `left side panel`, `rear of cloud`, `top of desk`.
pub(crate) fn spoken(scene: &Scene, bounce: &Bounce) -> String {
    panel(scene, bounce).map_or_else(|| face(scene, bounce.face), str::to_owned)
}

/// Everything a reflection hits, in a sentence: `left wall`, or `left, then back`.
pub(crate) fn spoken_path(scene: &Scene, bounces: &[Bounce]) -> String {
    if let [only] = bounces {
        return spoken(scene, only);
    }
    let short = |bounce: &Bounce| match (bounce.face, bounce.panel) {
        (FaceId::Surface(surface), None) => surface.name().to_owned(),
        _ => spoken(scene, bounce),
    };
    bounces.iter().map(short).collect::<Vec<_>>().join(", then ")
}

/// What absorbs, in machine output, by the names of [`wire`]; furniture and cabinets as a whole.
pub(crate) fn piece_wire(piece: &AbsorbingObject<'_>) -> String {
    match piece {
        AbsorbingObject::Surface(surface) => surface.name().to_owned(),
        AbsorbingObject::Panel(panel) => format!("{}:{}", panel.on.name(), panel.name),
        AbsorbingObject::Screen(screen) => screen.name.clone(),
        AbsorbingObject::Furniture(furniture) => furniture.name.clone(),
        AbsorbingObject::Cabinet(speaker) => format!("cabinet:{}", speaker.name),
    }
}

/// What absorbs, in a sentence: `left wall`, `left side panel`, `cloud`, `cabinet of main left`.
pub(crate) fn piece(piece: &AbsorbingObject<'_>) -> String {
    match piece {
        AbsorbingObject::Surface(on) => surface(*on),
        AbsorbingObject::Panel(panel) => panel.name.clone(),
        AbsorbingObject::Screen(screen) => screen.name.clone(),
        AbsorbingObject::Furniture(furniture) => furniture.name.clone(),
        AbsorbingObject::Cabinet(speaker) => format!("cabinet of {}", speaker.name),
    }
}

/// The name of the material it is made of.
pub(crate) fn finish<'a>(scene: &'a Scene, piece: &AbsorbingObject<'_>) -> &'a str {
    let index = match piece {
        AbsorbingObject::Surface(surface) => return &scene.surface_material(*surface).name,
        AbsorbingObject::Panel(panel) => Some(panel.material),
        AbsorbingObject::Screen(screen) => Some(screen.material),
        AbsorbingObject::Furniture(furniture) => Some(furniture.material),
        AbsorbingObject::Cabinet(speaker) => speaker.solid,
    };
    index.and_then(|index| scene.materials().get(index)).map_or("material", |m| m.name.as_str())
}

fn panel<'a>(scene: &'a Scene, bounce: &Bounce) -> Option<&'a str> {
    scene.panels().get(bounce.panel?).map(|panel| panel.name.as_str())
}

fn screen(scene: &Scene, index: usize) -> &str {
    scene.screens().get(index).map_or("screen", |screen| screen.name.as_str())
}

fn furniture(scene: &Scene, index: usize) -> &str {
    scene.furniture().get(index).map_or("furniture", |piece| piece.name.as_str())
}

fn speaker(scene: &Scene, id: SpeakerId) -> &str {
    &scene[id].name
}

fn side_word(side: BoxSide) -> &'static str {
    if side == BoxSide::Bottom { "underside" } else { side_name(side) }
}

fn side_name(side: BoxSide) -> &'static str {
    match side {
        BoxSide::Front => "front",
        BoxSide::Back => "back",
        BoxSide::Left => "left",
        BoxSide::Right => "right",
        BoxSide::Bottom => "bottom",
        BoxSide::Top => "top",
    }
}
