//! All faces of a room in one of its states.

use super::body::Body;
use super::face::{BoxSide, Face, FaceId, SURFACE_COUNT};
use super::ray_cast::{BruteForce, FaceBvh, Hit, Ray, RayCast};
use super::{Rectangle, SAME_POINT_M};
use crate::scene::{Room, Scene, Screen, Surface, UprightBox, Variant};
use glam::DVec3;

/// All faces of a room in one state.
#[derive(Debug)]
pub struct Faces {
    all: Vec<Face>,
    bodies: Vec<Body>,
    bvh: FaceBvh,
}

impl Faces {
    /// Faces of a scene in one of its states.
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
        for speaker in scene.speaker_ids() {
            let cabinet = &scene[speaker];
            if let (Some(material), Some(upright)) = (cabinet.solid, cabinet.solid_box()) {
                let id = |side| FaceId::Cabinet { speaker, side };
                add_box(&upright, material, Some(cabinet.at), &id);
            }
        }
        let bvh = FaceBvh::new(&all);
        Self { all, bodies, bvh }
    }

    /// Six surfaces of an empty room, all of material 0.
    pub fn bare_box(room: &Room) -> Self {
        let all = surfaces(room, |_| 0);
        let bvh = FaceBvh::new(&all);
        Self { all, bodies: Vec::new(), bvh }
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

    /// Nearest face along a ray, as [`RayCast::nearest_hit`].
    pub fn nearest_hit(&self, ray: &Ray) -> Option<Hit> {
        self.bvh.nearest_hit(ray)
    }

    /// Whether a face inside the room stands between two points, as [`RayCast::is_occluded`].
    pub fn is_occluded(&self, from: DVec3, to: DVec3) -> bool {
        self.bvh.is_occluded(from, to)
    }

    /// The face inside the room that stands between two points, if any: the first in the scene's order.
    pub fn first_occluder(&self, from: DVec3, to: DVec3) -> Option<FaceId> {
        let index = BruteForce(&self.all).first_occluder(from, to)?;
        Some(self.all.get(index)?.id)
    }
}

pub(super) fn surfaces(room: &Room, material: impl Fn(Surface) -> usize) -> Vec<Face> {
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

pub(crate) fn screen_rectangle(screen: &Screen) -> Rectangle {
    Rectangle {
        centre: screen.centre,
        normal: screen.facing,
        along: screen.along,
        half_along_m: screen.size_m[0] / 2.0,
        half_across_m: screen.size_m[1] / 2.0,
    }
}

pub(super) fn side_rectangle(upright: &UprightBox, side: BoxSide) -> Rectangle {
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
        rectangle.corners().iter().all(|&c| plane.signed_distance_m(c).abs() < SAME_POINT_M)
    };
    Surface::ALL.iter().any(touches)
}

fn unit(axis: usize) -> DVec3 {
    DVec3::AXES[axis]
}
