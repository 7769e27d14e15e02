//! What lines a room in one of its states: every absorbing area with its coefficient.

use crate::medium::materials::Material;
use crate::metrics::diffuse_field::AbsorbingArea;
use crate::scene::{Furniture, Panel, Scene, Screen, Speaker, Surface, UprightBox, Variant};

/// What an absorbing area belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AbsorbingObject<'a> {
    /// What is bare of a surface.
    Surface(Surface),
    /// A panel.
    Panel(&'a Panel),
    /// A screen, both faces.
    Screen(&'a Screen),
    /// A piece of furniture.
    Furniture(&'a Furniture),
    /// A solid speaker cabinet.
    Cabinet(&'a Speaker),
}

/// Every absorbing area of a scene in one of its states; see [`absorbing_areas_by_object`].
pub fn absorbing_areas(scene: &Scene, variant: &Variant<'_>) -> Vec<AbsorbingArea> {
    absorbing_areas_by_object(scene, variant).into_iter().map(|(_, absorber)| absorber).collect()
}

/// Every absorbing area of a scene in one of its states, with what it belongs to.
///
/// The bare surfaces less what covers them; panels; both faces of screens; the faces of furniture
/// that are not put down on the floor; solid speaker cabinets all round. Panels that overlap count in full, and a surface is never
/// less than nothing.
pub fn absorbing_areas_by_object<'a>(
    scene: &'a Scene,
    variant: &Variant<'a>,
) -> Vec<(AbsorbingObject<'a>, AbsorbingArea)> {
    let absorber = |material: &Material, area_m2: f64, axis_fractions: [f64; 3]| AbsorbingArea {
        area_m2,
        absorption: material.random_incidence(scene.air()),
        scattering: material.scattering,
        axis_fractions,
    };
    let of = |index: usize, area_m2: f64, axis_fractions: [f64; 3]| {
        scene.materials().get(index).map(|material| absorber(material, area_m2, axis_fractions))
    };
    let bare = Surface::ALL.iter().map(|&surface| {
        let area = scene.room().area_m2(surface) - covered_m2(surface, variant);
        let found =
            absorber(scene.surface_material(surface), area.max(0.0), axis_fractions(surface));
        (AbsorbingObject::Surface(surface), found)
    });
    let panels = variant.panels.iter().filter_map(|p| {
        Some((
            AbsorbingObject::Panel(p),
            of(p.material, p.size_m[0] * p.size_m[1], axis_fractions(p.on))?,
        ))
    });
    let screens = variant.screens.iter().filter_map(|s| {
        let area_m2 = 2.0 * s.size_m[0] * s.size_m[1];
        Some((
            AbsorbingObject::Screen(s),
            of(s.material, area_m2, AbsorbingArea::axis_fractions_of(s.facing))?,
        ))
    });
    let furniture = variant.furniture.iter().filter_map(|f| {
        let open_below = f.corner.z > ON_THE_FLOOR_M;
        let (area_m2, axis_fractions) = exposed(&f.upright_box(), open_below);
        Some((AbsorbingObject::Furniture(f), of(f.material, area_m2, axis_fractions)?))
    });
    let cabinets = scene.speakers().iter().filter_map(|speaker| {
        let (area_m2, axis_fractions) = exposed(&speaker.solid_box()?, true);
        Some((AbsorbingObject::Cabinet(speaker), of(speaker.solid?, area_m2, axis_fractions)?))
    });
    bare.chain(panels).chain(screens).chain(furniture).chain(cabinets).collect()
}

/// A box that ends this close above the floor stands on it, metres.
const ON_THE_FLOOR_M: f64 = 1e-3;

fn covered_m2(surface: Surface, variant: &Variant<'_>) -> f64 {
    let panels = variant.panels.iter().filter(|p| p.on == surface);
    let standing = variant
        .furniture
        .iter()
        .filter(|f| surface == Surface::Floor && f.corner.z <= ON_THE_FLOOR_M);
    panels.map(|p| p.size_m[0] * p.size_m[1]).sum::<f64>()
        + standing.map(|f| f.size.x * f.size.y).sum::<f64>()
}

fn axis_fractions(surface: Surface) -> [f64; 3] {
    std::array::from_fn(|axis| if axis == surface.axis() { 1.0 } else { 0.0 })
}

/// Area of the sides of a box that sound gets to, and which way they face on the whole.
fn exposed(upright: &UprightBox, open_below: bool) -> (f64, [f64; 3]) {
    let size = upright.half * 2.0;
    let ends = if open_below { 2.0 } else { 1.0 };
    let areas = [2.0 * size.y * size.z, 2.0 * size.x * size.z, ends * size.x * size.y];
    let all: f64 = areas.iter().sum();
    let mut axis_fractions = [0.0; 3];
    for (normal, area) in upright.axes.into_iter().zip(areas) {
        for (share, part) in axis_fractions.iter_mut().zip(AbsorbingArea::axis_fractions_of(normal))
        {
            *share += part * area / all;
        }
    }
    (all, axis_fractions)
}
