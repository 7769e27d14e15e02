//! Absorbing areas of a scene in one of its states, with their coefficients.

use crate::medium::materials::Material;
use crate::metrics::diffuse_field::{AbsorbingArea, EnclosedAir};
use crate::scene::{Furniture, Panel, Scene, Screen, Speaker, Surface, UprightBox, Variant};

/// Object that an absorbing area belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AbsorbingObject<'a> {
    /// Bare part of a surface.
    Surface(Surface),
    /// Panel on a surface.
    Panel(&'a Panel),
    /// Screen, both faces.
    Screen(&'a Screen),
    /// Piece of furniture.
    Furniture(&'a Furniture),
    /// Solid speaker cabinet.
    Cabinet(&'a Speaker),
}

/// Absorbing areas of a scene in one of its states; see [`absorbing_areas_by_object`].
pub fn absorbing_areas(scene: &Scene, variant: &Variant<'_>) -> Vec<AbsorbingArea> {
    absorbing_areas_by_object(scene, variant).into_iter().map(|(_, absorber)| absorber).collect()
}

/// Absorbing areas of a scene in one of its states, with the object each belongs to.
///
/// Surfaces less the areas covered on them; panels; both faces of screens; the faces of furniture that
/// do not stand on the floor; all faces of solid speaker cabinets. Overlapping panels count in full, and
/// the bare part of a surface is never negative.
pub fn absorbing_areas_by_object<'a>(
    scene: &'a Scene,
    variant: &Variant<'a>,
) -> Vec<(AbsorbingObject<'a>, AbsorbingArea)> {
    let area = |material: &Material, area_m2: f64, axis_fractions: [f64; 3]| AbsorbingArea {
        area_m2,
        absorption: material.random_incidence(scene.air()),
        scattering: material.scattering,
        axis_fractions,
    };
    let of = |index: usize, area_m2: f64, axis_fractions: [f64; 3]| {
        scene.materials().get(index).map(|material| area(material, area_m2, axis_fractions))
    };
    let bare = Surface::ALL.iter().map(|&surface| {
        let bare_m2 = (scene.room().area_m2(surface) - covered_m2(surface, variant)).max(0.0);
        let material = scene.surface_material(surface);
        (AbsorbingObject::Surface(surface), area(material, bare_m2, axis_fractions(surface)))
    });
    let panels = variant.panels.iter().filter_map(|p| {
        let area_m2 = p.size_m[0] * p.size_m[1];
        Some((AbsorbingObject::Panel(p), of(p.material, area_m2, axis_fractions(p.on))?))
    });
    let screens = variant.screens.iter().filter_map(|s| {
        let area_m2 = 2.0 * s.size_m[0] * s.size_m[1];
        let axis_fractions = AbsorbingArea::axis_fractions_of(s.facing);
        Some((AbsorbingObject::Screen(s), of(s.material, area_m2, axis_fractions)?))
    });
    let furniture = variant.furniture.iter().filter_map(|f| {
        let open_below = f.corner.z > ON_THE_FLOOR_M;
        let (area_m2, axis_fractions) = exposed_area(&f.upright_box(), open_below);
        Some((AbsorbingObject::Furniture(f), of(f.material, area_m2, axis_fractions)?))
    });
    let cabinets = scene.speakers().iter().filter_map(|speaker| {
        let (area_m2, axis_fractions) = exposed_area(&speaker.solid_box()?, true);
        Some((AbsorbingObject::Cabinet(speaker), of(speaker.solid?, area_m2, axis_fractions)?))
    });
    bare.chain(panels).chain(screens).chain(furniture).chain(cabinets).collect()
}

/// Air of a scene in one of its states: without furniture and solid cabinets. Of boxes that reach into each other both
/// count, but a tenth of the room is always left.
pub fn enclosed_air(scene: &Scene, variant: &Variant<'_>) -> EnclosedAir {
    let furniture = variant.furniture.iter().map(|piece| piece.size.element_product());
    let cabinets = scene.speakers().iter().filter_map(Speaker::solid_box);
    let cabinets = cabinets.map(|cabinet| (2.0 * cabinet.half).element_product());
    let room_m3 = scene.room().volume_m3();
    let filled_m3: f64 = furniture.chain(cabinets).sum();
    EnclosedAir {
        volume_m3: (room_m3 - filled_m3).max(0.1 * room_m3),
        speed_of_sound_m_s: scene.air().speed_of_sound_m_s(),
        attenuation_db_per_m: scene.air().attenuation_db_per_m(),
    }
}

/// Greatest height above the floor of the underside of a box that stands on it, metres.
const ON_THE_FLOOR_M: f64 = 1e-3;

/// Area of a surface covered by panels and standing furniture, square metres.
fn covered_m2(surface: Surface, variant: &Variant<'_>) -> f64 {
    let panels = variant.panels.iter().filter(|p| p.on == surface);
    let standing = variant
        .furniture
        .iter()
        .filter(|f| surface == Surface::Floor && f.corner.z <= ON_THE_FLOOR_M);
    panels.map(|p| p.size_m[0] * p.size_m[1]).sum::<f64>()
        + standing.map(|f| f.size.x * f.size.y).sum::<f64>()
}

/// Axis fractions of a surface of the room.
fn axis_fractions(surface: Surface) -> [f64; 3] {
    std::array::from_fn(|axis| if axis == surface.axis() { 1.0 } else { 0.0 })
}

/// Exposed area of a box in square metres, and its fraction facing along each axis.
fn exposed_area(upright: &UprightBox, open_below: bool) -> (f64, [f64; 3]) {
    let size = upright.half * 2.0;
    let ends = if open_below { 2.0 } else { 1.0 };
    let areas = [2.0 * size.y * size.z, 2.0 * size.x * size.z, ends * size.x * size.y];
    let total: f64 = areas.iter().sum();
    let mut axis_fractions = [0.0; 3];
    for (normal, area) in upright.axes.into_iter().zip(areas) {
        for (fraction, part) in
            axis_fractions.iter_mut().zip(AbsorbingArea::axis_fractions_of(normal))
        {
            *fraction += part * area / total;
        }
    }
    (total, axis_fractions)
}
