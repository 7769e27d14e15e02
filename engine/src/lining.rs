//! What lines a room in one of its states: every absorbing area with its coefficient.

use crate::material::Material;
use crate::scene::{Furniture, Scene, State, Surface, UprightBox};
use crate::statistics::Absorber;

/// Every absorbing area of a scene in one of its states.
///
/// The bare surfaces less what covers them; panels; both faces of screens; the faces of furniture
/// that are not put down on the floor; solid speaker cabinets all round. Panels that overlap count in full, and a surface is never
/// less than nothing.
pub fn lining(scene: &Scene, state: &State<'_>) -> Vec<Absorber> {
    let absorber = |material: &Material, area_m2: f64| Absorber {
        area_m2,
        absorption: material.random_incidence(scene.air()),
    };
    let of = |index: usize, area_m2: f64| {
        scene.materials().get(index).map(|material| absorber(material, area_m2))
    };
    let bare = Surface::ALL.iter().map(|&surface| {
        let area = scene.room().area_m2(surface) - covered_m2(surface, state);
        absorber(scene.surface_material(surface), area.max(0.0))
    });
    let panels = state.panels.iter().filter_map(|p| of(p.material, p.size_m[0] * p.size_m[1]));
    let screens =
        state.screens.iter().filter_map(|s| of(s.material, 2.0 * s.size_m[0] * s.size_m[1]));
    let furniture = state.furniture.iter().filter_map(|f| of(f.material, exposed_m2(f)));
    let cabinets = scene
        .speakers()
        .iter()
        .filter_map(|speaker| of(speaker.solid?, cabinet_m2(&speaker.solid_box()?)));
    bare.chain(panels).chain(screens).chain(furniture).chain(cabinets).collect()
}

/// A box that ends this close above the floor stands on it, metres.
const ON_THE_FLOOR_M: f64 = 1e-3;

fn covered_m2(surface: Surface, state: &State<'_>) -> f64 {
    let panels = state.panels.iter().filter(|p| p.on == surface);
    let standing = state
        .furniture
        .iter()
        .filter(|f| surface == Surface::Floor && f.corner.z <= ON_THE_FLOOR_M);
    panels.map(|p| p.size_m[0] * p.size_m[1]).sum::<f64>()
        + standing.map(|f| f.size.x * f.size.y).sum::<f64>()
}

fn exposed_m2(furniture: &Furniture) -> f64 {
    let size = furniture.size;
    let plan = size.x * size.y;
    let under = if furniture.corner.z <= ON_THE_FLOOR_M { 0.0 } else { plan };
    plan + under + 2.0 * size.z * (size.x + size.y)
}

fn cabinet_m2(cabinet: &UprightBox) -> f64 {
    let size = cabinet.half * 2.0;
    2.0 * (size.x * size.y + size.z * (size.x + size.y))
}
