//! What covers a part of a surface.

use super::outline;
use crate::medium::bands::{BAND_COUNT, exact_hz};
use crate::scene::{Panel, Scene, Surface, Variant};
use glam::{DVec2, DVec3};

/// What lies over a zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// The panels that are up and reach into it, in the scene's order.
    pub panels: Vec<PanelShare>,
    /// Share of its area that absorbs, 0 to 1: under absorbing panels, and the bare rest where the
    /// surface itself absorbs.
    pub absorbing_share: f64,
    /// The same in a word.
    pub class: CoverageClass,
}

/// How much of a zone one panel covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelShare {
    /// Index of the panel in [`Scene::panels`].
    pub panel: usize,
    /// Share of the zone's area, 0 to 1.
    pub share: f64,
    /// Whether it absorbs; a window or a door does not.
    pub absorbs: bool,
}

/// How well a zone is treated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoverageClass {
    /// At least [`COVERED_FROM`] of it absorbs.
    Covered,
    /// At least [`HALF_FROM`], but no more than that.
    HalfCovered,
    /// Less than [`HALF_FROM`].
    Missed,
}

/// A zone counts as covered from this share on: our choice, not a published one.
pub const COVERED_FROM: f64 = 0.75;
/// A zone counts as half covered from this share on: our choice, not a published one.
pub const HALF_FROM: f64 = 0.25;
/// A material counts as absorbing from this random-incidence coefficient on, in the octave of the
/// zone's frequency: our choice, not a published one.
pub const ABSORBS_FROM: f64 = 0.5;

/// Whether a material, by its index in the scene, absorbs in the octave of a frequency in hertz.
pub fn absorbs(scene: &Scene, material: usize, hz: f64) -> bool {
    let band = band_of(hz);
    let material = scene.materials().get(material);
    material.is_some_and(|m| m.random_incidence(scene.air())[band] >= ABSORBS_FROM)
}

/// A surface and what is on it.
#[derive(Debug)]
pub(super) struct TreatedSurface<'a> {
    pub(super) surface: Surface,
    /// Size along its two tape coordinates, metres.
    pub(super) size_m: DVec2,
    /// Where it lies along its axis, metres.
    level_m: f64,
    absorbs: bool,
    panels: Vec<(usize, &'a Panel, bool)>,
}

impl<'a> TreatedSurface<'a> {
    pub(super) fn new(scene: &'a Scene, variant: &Variant<'_>, surface: Surface, hz: f64) -> Self {
        let absorbs = |material: usize| absorbs(scene, material, hz);
        let is_up = |panel: &Panel| variant.panels.iter().any(|&up| std::ptr::eq(up, panel));
        let here = scene.panels().iter().enumerate().filter(|(_, p)| p.on == surface && is_up(p));
        let size = scene.room().size();
        Self {
            surface,
            size_m: DVec2::from(surface.tape(size)),
            level_m: if surface.is_far() { size[surface.axis()] } else { 0.0 },
            absorbs: absorbs(scene.surface_material_index(surface)),
            panels: here.map(|(index, panel)| (index, panel, absorbs(panel.material))).collect(),
        }
    }

    /// Distance of a point in the room from the surface, metres.
    pub(super) fn height_m(&self, point: DVec3) -> f64 {
        (point[self.surface.axis()] - self.level_m).abs()
    }

    /// The point of the surface at these tape coordinates.
    pub(super) fn point(&self, tape: DVec2) -> DVec3 {
        let [a, b] = self.surface.tape_axes();
        let mut point = DVec3::ZERO;
        point[self.surface.axis()] = self.level_m;
        (point[a], point[b]) = (tape.x, tape.y);
        point
    }

    /// What covers the union of convex outlines. Panels of a scene do not overlap.
    pub(super) fn coverage(&self, outlines: &[&[DVec2]]) -> Coverage {
        let whole_m2 = outline::union_area_m2(outlines);
        let share = |panel: &Panel| {
            let (middle, half) = (DVec2::from(panel.centre_m), DVec2::from(panel.size_m) / 2.0);
            let parts: Vec<Vec<DVec2>> = outlines
                .iter()
                .map(|outline| outline::clipped(outline, middle - half, middle + half))
                .collect();
            let parts: Vec<&[DVec2]> = parts.iter().map(Vec::as_slice).collect();
            if whole_m2 > 0.0 { outline::union_area_m2(&parts) / whole_m2 } else { 0.0 }
        };
        let panels: Vec<PanelShare> = self
            .panels
            .iter()
            .map(|&(panel, place, absorbs)| PanelShare { panel, share: share(place), absorbs })
            .filter(|covered| covered.share > 0.0)
            .collect();
        let soft = panels.iter().filter(|p| p.absorbs).map(|p| p.share).sum::<f64>();
        let bare = (1.0 - panels.iter().map(|p| p.share).sum::<f64>()).max(0.0);
        let absorbing_share = (soft + if self.absorbs { bare } else { 0.0 }).min(1.0);
        Coverage { panels, absorbing_share, class: CoverageClass::of(absorbing_share) }
    }
}

impl CoverageClass {
    /// What a share amounts to.
    pub fn of(share: f64) -> Self {
        if share >= COVERED_FROM {
            Self::Covered
        } else if share >= HALF_FROM {
            Self::HalfCovered
        } else {
            Self::Missed
        }
    }
}

/// The octave band that a frequency lies in, or the nearest one.
fn band_of(hz: f64) -> usize {
    let apart = |band: &usize| (hz / exact_hz(*band)).ln().abs();
    (0..BAND_COUNT).min_by(|a, b| apart(a).total_cmp(&apart(b))).unwrap_or(0)
}
