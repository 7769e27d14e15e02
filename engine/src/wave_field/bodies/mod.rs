//! Bodies in the room: furniture, and screens that stand or hang in it.
//!
//! Their faces are locally reacting, like the room's surfaces; through the porous layers of a screen sound passes,
//! through nothing else. Each is a sheet with two sides: a plate has air on both, a solid body absorbs on the inside
//! whatever would be there, so that no resonance of the inside comes into the solution of the outside. The difference u and the sum s of the pressures on
//! the two sides are unknowns; the field is that of a double layer u and a single layer
//! `(jk/2)·((β₊ + β₋)·s + (β₊ − β₋)·u)` (Colton and Kress, Integral Equation Methods in Scattering Theory; from
//! memory), with the Green's function of the rigid room.

mod axis_functions;
mod face_sums;
mod layer_basis;
mod layer_greens;
mod mixing;
mod static_layers;
mod surface_remainders;
mod yukawa;

pub(super) use layer_greens::{LayerBand, LayerGreens};
pub(super) use static_layers::{PointLayers, StaticLayers};

use super::boundary::Admittance;
use super::modes::Mode;
use crate::geometry::{Rectangle, screen_rectangle};
use crate::medium::materials::{Material, SurfaceModel};
use crate::numerics::quadrature::gauss_legendre;
use crate::scene::{Furniture, Room, Scene, UprightBox, Variant};
use glam::DVec3;
use num_complex::Complex64;

/// Solid bodies thinner than this are plates, metres.
const THIN_M: f64 = 0.1;
/// Nearer than this a body touches a surface, metres.
const TOUCHING_M: f64 = 0.01;
/// Bodies whose longest side is shorter are left out, metres. A hard sphere as wide scatters a third of what falls on its
/// area at 300 Hz and half a hundredth at 100 Hz, 7/9·(ka)⁴ (Rayleigh; from memory).
const MIN_SIDE_M: f64 = 0.3;
/// Most bodies that are solved for: the largest.
const MAX_BODIES: usize = 16;
/// Nodes along a side of a face for the mean square of a mode.
const SHAPE_NODES: usize = 8;

/// The bodies of a scene in one of its states that the wave field holds.
#[derive(Debug, Clone)]
pub(super) struct RoomBodies {
    pub(super) bodies: Vec<ReactingBody>,
    /// Names of those left out.
    pub(super) neglected: Vec<String>,
}

/// One body.
#[derive(Debug, Clone)]
pub(super) struct ReactingBody {
    pub(super) shape: BodyShape,
    admittance: Admittance,
}

/// What a body is to long waves.
#[derive(Debug, Clone, Copy)]
pub(super) enum BodyShape {
    /// With air on both sides.
    Plate(Rectangle),
    /// Of locally reacting faces.
    Solid(UprightBox),
}

/// Admittances of the two sides of a body's faces at a frequency.
#[derive(Debug, Clone, Copy)]
pub(super) struct SideAdmittances {
    /// β₊ + β₋.
    pub(super) sum: Complex64,
    /// β₊ − β₋.
    pub(super) difference: Complex64,
    /// What flows through: ρc times the velocity for a unit difference of the pressures.
    pub(super) through: Complex64,
}

impl RoomBodies {
    pub(super) fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let room = scene.room();
        let admittance = |index: usize| Admittance::new(&scene.materials()[index], scene.air());
        let screens = variant.screens.iter().map(|screen| {
            let shape = BodyShape::Plate(screen_rectangle(screen));
            let body = ReactingBody { shape, admittance: admittance(screen.material) };
            (screen.name.clone(), body, is_soft(&scene.materials()[screen.material]))
        });
        let furniture = variant.furniture.iter().map(|piece| {
            let body =
                ReactingBody { shape: shape(room, piece), admittance: admittance(piece.material) };
            (piece.name.clone(), body, false)
        });
        let mut all: Vec<(String, ReactingBody, bool)> = screens.chain(furniture).collect();
        let mut by_size: Vec<usize> = (0..all.len()).collect();
        by_size.sort_by(|&a, &b| all[b].1.size_m().total_cmp(&all[a].1.size_m()).then(a.cmp(&b)));
        let is_held = |index: &usize| {
            let rank = by_size.iter().position(|other| other == index);
            rank.is_some_and(|rank| rank < MAX_BODIES)
                && MIN_SIDE_M <= all[*index].1.size_m()
                && !all[*index].1.holds_a_position(scene)
                && !all[*index].2
        };
        let held: Vec<bool> = (0..all.len()).map(|index| is_held(&index)).collect();
        let (mut bodies, mut neglected) = (Vec::new(), Vec::new());
        for ((name, body, _), held) in all.drain(..).zip(held) {
            if held { bodies.push(body) } else { neglected.push(name) }
        }
        let cabinets = scene.speakers().iter().filter(|speaker| speaker.solid.is_some());
        neglected.extend(cabinets.map(|speaker| format!("cabinet of {}", speaker.name)));
        Self { bodies, neglected }
    }

    /// Part of the bodies in the modal damping `∮ Re β ψ_N² dS` of a rigid mode, 1/m.
    pub(super) fn modal_damping(&self, room: &Room, mode: &Mode, hz: f64) -> f64 {
        let rule = gauss_legendre(SHAPE_NODES);
        let mean_square = |face: &Rectangle| -> f64 {
            let at = |x: f64, y: f64| {
                face.centre
                    + face.along * (2.0 * x - 1.0) * face.half_along_m
                    + face.across() * (2.0 * y - 1.0) * face.half_across_m
            };
            let pairs = rule.iter().flat_map(|a| rule.iter().map(move |b| (a, b)));
            let square = |((x, v), (y, w)): (&(f64, f64), &(f64, f64))| {
                v * w * mode.shape_at(room, at(*x, *y)).powi(2)
            };
            pairs.map(square).sum()
        };
        let of_body = |body: &ReactingBody| {
            let (faces, conductance) = body.faces(room, hz);
            let area = |face: &Rectangle| 4.0 * face.half_along_m * face.half_across_m;
            let sum: f64 = faces.iter().map(|face| area(face) * mean_square(face)).sum();
            conductance * sum
        };
        self.bodies.iter().map(of_body).sum()
    }

    /// Whether a point is inside a solid body.
    pub(super) fn contains(&self, point: DVec3) -> bool {
        self.bodies.iter().any(|body| body.contains(point))
    }
}

impl ReactingBody {
    fn contains(&self, point: DVec3) -> bool {
        match self.shape {
            BodyShape::Plate(_) => false,
            BodyShape::Solid(upright) => 0.0 < upright.depth_m(point),
        }
    }

    /// Whether a speaker or a head is inside, which a scene may have on purpose: a shelf with speakers in it is then
    /// left out.
    fn holds_a_position(&self, scene: &Scene) -> bool {
        let speakers = scene.speakers().iter().map(|speaker| speaker.at);
        let heads = scene.listeners().iter().map(|listener| listener.at);
        speakers.chain(heads).any(|at| self.contains(at))
    }

    /// Longest side, metres.
    fn size_m(&self) -> f64 {
        match self.shape {
            BodyShape::Plate(plate) => 2.0 * plate.half_along_m.max(plate.half_across_m),
            BodyShape::Solid(upright) => 2.0 * upright.half.max_element(),
        }
    }

    /// At a frequency in hertz.
    pub(super) fn admittances(&self, hz: f64) -> SideAdmittances {
        match self.shape {
            BodyShape::Plate(_) => {
                let [even, odd] = self.admittance.hung_at(hz);
                SideAdmittances {
                    sum: 2.0 * even,
                    difference: Complex64::ZERO,
                    through: 0.5 * (odd - even),
                }
            }
            BodyShape::Solid(_) => {
                let outside = self.admittance.at(hz);
                SideAdmittances {
                    sum: outside + 1.0,
                    difference: outside - 1.0,
                    through: Complex64::ZERO,
                }
            }
        }
    }

    /// Faces with air before them, and the conductance of all of their sides with air at a frequency in hertz.
    fn faces(&self, room: &Room, hz: f64) -> (Vec<Rectangle>, f64) {
        match self.shape {
            BodyShape::Plate(plate) => (vec![plate], self.admittances(hz).sum.re),
            BodyShape::Solid(upright) => {
                let sides = solid_faces(room, &upright).into_iter();
                let faces = sides.map(|(.., rectangle)| rectangle).collect();
                (faces, self.admittance.at(hz).re)
            }
        }
    }
}

/// Faces of a solid body that no surface of the room covers: axis, end (0 or 1) and rectangle.
pub(super) fn solid_faces(room: &Room, upright: &UprightBox) -> Vec<(usize, usize, Rectangle)> {
    let face = |axis: usize, end: usize| {
        let outward = upright.axes[axis] * if end == 1 { 1.0 } else { -1.0 };
        let [a, b] = [(axis + 1) % 3, (axis + 2) % 3];
        let rectangle = Rectangle {
            centre: upright.middle + outward * upright.half[axis],
            normal: outward,
            along: upright.axes[a],
            half_along_m: upright.half[a],
            half_across_m: upright.half[b],
        };
        (axis, end, rectangle)
    };
    let all = (0..3).flat_map(|axis| [0, 1].map(|end| face(axis, end)));
    all.filter(|(.., rectangle)| !touches_a_surface(room, rectangle.corners())).collect()
}

/// Whether all of some points lie in one surface of the room.
pub(super) fn touches_a_surface<const N: usize>(room: &Room, points: [DVec3; N]) -> bool {
    let size = room.size();
    (0..3).any(|axis| {
        points.iter().all(|point| point[axis] < TOUCHING_M)
            || points.iter().all(|point| size[axis] - TOUCHING_M < point[axis])
    })
}

/// Whether something that hangs clear is soft by its absorption coefficients, so that sound goes through it and
/// nobody has told how much: more than a third at 500 Hz, our own measure. A porous build tells.
fn is_soft(material: &Material) -> bool {
    const HZ_500: usize = 3;
    match &material.surface_model {
        SurfaceModel::Absorption(alpha) => 1.0 / 3.0 < alpha[HZ_500],
        SurfaceModel::Impedance(_) | SurfaceModel::Porous(_) => false,
    }
}

/// Furniture as a plate, where it is thin, or as a solid body, which reaches the surfaces that it touches.
fn shape(room: &Room, piece: &Furniture) -> BodyShape {
    let mut upright = piece.upright_box();
    let thinnest = (0..3).min_by(|&a, &b| upright.half[a].total_cmp(&upright.half[b])).unwrap_or(2);
    if 2.0 * upright.half[thinnest] < THIN_M {
        let [a, b] = [(thinnest + 1) % 3, (thinnest + 2) % 3];
        return BodyShape::Plate(Rectangle {
            centre: upright.middle,
            normal: upright.axes[thinnest],
            along: upright.axes[a],
            half_along_m: upright.half[a],
            half_across_m: upright.half[b],
        });
    }
    for axis in 0..3 {
        let along = upright.axes[axis];
        let Some(of_room) = (0..3).find(|&of_room| along[of_room].abs() > 1.0 - 1e-9) else {
            continue;
        };
        let reach = [-1.0, 1.0].map(|side| upright.middle[of_room] + side * upright.half[axis]);
        let length_m = room.size()[of_room];
        let low = if reach[0] < TOUCHING_M { 0.0 } else { reach[0] };
        let high = if length_m - TOUCHING_M < reach[1] { length_m } else { reach[1] };
        upright.middle[of_room] = 0.5 * (low + high);
        upright.half[axis] = 0.5 * (high - low);
    }
    BodyShape::Solid(upright)
}
