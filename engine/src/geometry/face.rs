//! What can reflect: surfaces of the room, the two faces of a screen, the six of a piece of furniture
//! or of a solid speaker cabinet.

use super::{Body, Occluders, Rectangle};
use crate::scene::{Room, Scene, Screen, Surface, UprightBox, Variant};
use glam::DVec3;

/// Which reflecting face; the order is the fixed order of enumeration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceId {
    /// A surface of the room.
    Surface(Surface),
    /// A screen, by its index in the scene.
    Screen {
        /// Index in [`crate::scene::Scene::screens`].
        index: usize,
        /// Whether it is the side away from its facing direction.
        rear: bool,
    },
    /// A side of a piece of furniture.
    Furniture {
        /// Index in [`crate::scene::Scene::furniture`].
        index: usize,
        /// Which side.
        side: BoxSide,
    },
    /// A side of a solid speaker cabinet.
    Cabinet {
        /// Index of the speaker in [`crate::scene::Scene::speakers`].
        speaker: usize,
        /// Which side.
        side: BoxSide,
    },
}

/// A side of a box: of furniture as it lies before turning, of a speaker cabinet as one who sits
/// before it sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoxSide {
    /// Toward the front wall; of a cabinet the side with the drivers.
    Front,
    /// Toward the back wall.
    Back,
    /// Toward the left wall.
    Left,
    /// Toward the right wall.
    Right,
    /// Underside.
    Bottom,
    /// Upper side.
    Top,
}

impl BoxSide {
    /// All six, in their fixed order: the order of [`Surface::ALL`].
    pub const ALL: [Self; 6] =
        [Self::Front, Self::Back, Self::Left, Self::Right, Self::Bottom, Self::Top];

    /// Its name in machine output.
    pub fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
            Self::Bottom => "bottom",
            Self::Top => "top",
        }
    }
}

/// A reflecting face: which it is, where it lies, what it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// Which face.
    pub id: FaceId,
    /// Where, with its reflecting side in front.
    pub rectangle: Rectangle,
    /// Index of its material in [`Scene::materials`]; a surface's panels come on top.
    pub material: usize,
    /// A place it never hides: for a cabinet the reference point of its own speaker, which sits in
    /// its front and whose directivity tells how sound gets away from it.
    pub transparent_from: Option<DVec3>,
}

/// All faces of a room in one state.
#[derive(Debug)]
pub struct Faces {
    all: Vec<Face>,
    bodies: Vec<Body>,
    occluders: Occluders,
}

/// The six surfaces come first, in the order of [`Surface::ALL`].
pub(crate) const SURFACE_COUNT: usize = 6;

impl Faces {
    /// The faces of a scene in one of its states.
    pub fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let mut all = surfaces(scene.room(), |surface| scene.surface_material_index(surface));
        let mut bodies = Vec::new();
        for (index, screen) in variant.screens.iter().map(|&s| (position(scene.screens(), s), s)) {
            let front = screen_rectangle(screen);
            bodies.push(Body::screen(index, front));
            for (rear, rectangle) in [(false, front), (true, front.flipped())] {
                let id = FaceId::Screen { index, rear };
                all.push(Face { id, rectangle, material: screen.material, transparent_from: None });
            }
        }
        let mut add_box = |upright: &UprightBox,
                           material: usize,
                           transparent_from: Option<DVec3>,
                           id: &dyn Fn(BoxSide) -> FaceId| {
            let sides = BoxSide::ALL.map(|side| side_rectangle(upright, side));
            bodies.push(Body::solid(
                id(BoxSide::Front),
                sides.to_vec(),
                upright.middle,
                transparent_from,
            ));
            for (side, rectangle) in BoxSide::ALL.into_iter().zip(sides) {
                if !lies_on_a_surface(scene.room(), &rectangle) {
                    all.push(Face { id: id(side), rectangle, material, transparent_from });
                }
            }
        };
        for (index, item) in variant.furniture.iter().map(|&f| (position(scene.furniture(), f), f))
        {
            let id = |side| FaceId::Furniture { index, side };
            add_box(&item.upright_box(), item.material, None, &id);
        }
        for (speaker, cabinet) in scene.speakers().iter().enumerate() {
            if let (Some(material), Some(upright)) = (cabinet.solid, cabinet.solid_box()) {
                let id = |side| FaceId::Cabinet { speaker, side };
                add_box(&upright, material, Some(cabinet.at), &id);
            }
        }
        let occluders = Occluders::new(&all[SURFACE_COUNT..]);
        Self { all, bodies, occluders }
    }

    /// The six surfaces of a bare box, all of material 0.
    pub fn bare_box(room: &Room) -> Self {
        let all = surfaces(room, |_| 0);
        Self { all, bodies: Vec::new(), occluders: Occluders::new(&[]) }
    }

    /// Every face: the six surfaces first, then screens, furniture and solid cabinets in the scene's
    /// order.
    pub fn all(&self) -> &[Face] {
        &self.all
    }

    /// Screens, furniture and solid cabinets as whole bodies.
    pub fn bodies(&self) -> &[Body] {
        &self.bodies
    }

    /// Whether anything but the six surfaces is there.
    pub fn is_bare_box(&self) -> bool {
        self.all.len() == SURFACE_COUNT
    }

    /// The faces inside the room, ready to be asked what they hide.
    pub fn occluders(&self) -> &Occluders {
        &self.occluders
    }

    /// Whether a face inside the room stands between two points; faces that the points lie on do not,
    /// nor does a speaker's own cabinet hide its reference point.
    pub fn is_occluded(&self, a: DVec3, b: DVec3) -> bool {
        self.occluders.is_occluded(a, b)
    }

    /// Which face inside the room stands between two points, if any: the first in the scene's order.
    pub fn first_occluder(&self, a: DVec3, b: DVec3) -> Option<FaceId> {
        let index = self.occluders.first_between(a, b)?;
        Some(self.all.get(SURFACE_COUNT + index)?.id)
    }
}

fn surfaces(room: &Room, material: impl Fn(Surface) -> usize) -> Vec<Face> {
    let face = |&surface: &Surface| Face {
        id: FaceId::Surface(surface),
        rectangle: surface_rectangle(room, surface),
        material: material(surface),
        transparent_from: None,
    };
    Surface::ALL.iter().map(face).collect()
}

/// Where an item taken from a slice stands in it. The state borrows from the scene, so it is there.
fn position<T>(all: &[T], item: &T) -> usize {
    all.iter().position(|other| std::ptr::eq(other, item)).unwrap_or(0)
}

fn surface_rectangle(room: &Room, surface: Surface) -> Rectangle {
    let size = room.size();
    let inward = unit(surface.axis()) * if surface.is_far() { -1.0 } else { 1.0 };
    let mut centre = size / 2.0;
    centre[surface.axis()] = if surface.is_far() { size[surface.axis()] } else { 0.0 };
    let [a, b] = surface.tape_axes();
    Rectangle {
        centre,
        normal: inward,
        along: unit(a),
        half_along_m: size[a] / 2.0,
        half_across_m: size[b] / 2.0,
    }
}

fn screen_rectangle(screen: &Screen) -> Rectangle {
    Rectangle {
        centre: screen.centre,
        normal: screen.facing,
        along: screen.along,
        half_along_m: screen.size_m[0] / 2.0,
        half_across_m: screen.size_m[1] / 2.0,
    }
}

fn side_rectangle(upright: &UprightBox, side: BoxSide) -> Rectangle {
    let UprightBox { middle, half, axes } = *upright;
    let axis = side as usize / 2;
    let outward = axes[axis] * if side as usize % 2 == 1 { 1.0 } else { -1.0 };
    let [a, b] = [(axis + 1) % 3, (axis + 2) % 3];
    Rectangle {
        centre: middle + outward * half[axis],
        normal: outward,
        along: axes[a],
        half_along_m: half[a],
        half_across_m: half[b],
    }
}

/// A side of a box flat against a surface of the room neither reflects nor is seen.
fn lies_on_a_surface(room: &Room, rectangle: &Rectangle) -> bool {
    let touches = |surface: &Surface| {
        let plane = surface_rectangle(room, *surface);
        rectangle.corners().iter().all(|&c| plane.signed_distance_m(c).abs() < super::SAME_POINT_M)
    };
    Surface::ALL.iter().any(touches)
}

fn unit(axis: usize) -> DVec3 {
    DVec3::AXES[axis]
}
