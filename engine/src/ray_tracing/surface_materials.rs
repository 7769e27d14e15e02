//! Materials at the hits of rays: that of the face, or of a panel on it.

use super::path_packet::PathPacket;
use crate::geometry::SAME_POINT_M;
use crate::geometry::enclosure::Enclosure;
use crate::geometry::ray_cast::packet::{RayColumn, RayPacket, WIDTH};
use crate::numerics::single_precision::to_f32;
use crate::scene::Surface;

/// Materials and normals of all faces, and the panels on them.
#[derive(Debug)]
pub(super) struct SurfaceMaterials {
    /// Material of each face.
    materials: Vec<u32>,
    /// Unit vector out of the front of each face.
    normals: Vec<[f32; 3]>,
    /// Panels on walls; where two overlap the last of these counts.
    panels: Vec<PanelRect>,
}

#[derive(Debug, Clone, Copy)]
struct PanelRect {
    surface: u32,
    /// Axes along the surface.
    axes: [usize; 2],
    /// Least and greatest coordinates on them.
    low: [f32; 2],
    high: [f32; 2],
    material: u32,
}

impl SurfaceMaterials {
    /// Of a room in one state.
    pub(super) fn new(enclosure: &Enclosure) -> Self {
        let faces = enclosure.faces().all();
        let materials = (0..faces.len()).map(|face| enclosure.material(face, None) as u32);
        let normals = faces.iter().map(|face| face.rectangle.normal.to_array().map(to_f32));
        let panels = Surface::ALL.iter().flat_map(|&surface| {
            enclosure.panels_on(surface).map(move |(panel, rectangle)| {
                let axes = surface.tape_axes();
                let [a, c] = [rectangle.corners()[0], rectangle.corners()[2]];
                PanelRect {
                    surface: surface as u32,
                    axes,
                    low: axes.map(|axis| to_f32(a[axis].min(c[axis]) - SAME_POINT_M)),
                    high: axes.map(|axis| to_f32(a[axis].max(c[axis]) + SAME_POINT_M)),
                    material: enclosure.panel_material(panel) as u32,
                }
            })
        });
        let mut panels: Vec<PanelRect> = panels.collect();
        // Of panels that overlap the first in the scene is in front.
        panels.reverse();
        Self { materials: materials.collect(), normals: normals.collect(), panels }
    }

    /// Sets the material that each ray has hit.
    #[inline(always)]
    pub(super) fn assign(&self, packet: &mut PathPacket) {
        let PathPacket { rays: RayPacket { origin, face, .. }, material, .. } = packet;
        let origin = &*origin;
        for i in 0..WIDTH {
            material[i] = self.materials[face[i] as usize];
        }
        for panel in &self.panels {
            // A copy, or the compiler selects between places in memory instead of numbers.
            let panel = *panel;
            let [a, b] = panel.axes.map(|axis| &origin[axis]);
            for i in 0..WIDTH {
                let is_within = |coordinate: &RayColumn<f32>, side: usize| {
                    (panel.low[side] <= coordinate[i]) & (coordinate[i] <= panel.high[side])
                };
                let on_panel = (face[i] == panel.surface) & is_within(a, 0) & is_within(b, 1);
                material[i] = if on_panel { panel.material } else { material[i] };
            }
        }
    }

    /// Whether every surface is of one material all over.
    pub(super) fn is_uniform(&self) -> bool {
        self.panels.is_empty()
    }

    /// Material of a face where no panel is.
    #[inline(always)]
    pub(super) fn material(&self, face: usize) -> u32 {
        self.materials[face]
    }

    /// Unit vector out of the front of a face.
    #[inline(always)]
    pub(super) fn normal(&self, face: u32) -> [f32; 3] {
        self.normals[face as usize]
    }
}
