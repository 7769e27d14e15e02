//! Which material a ray lands on: that of the face, or of a panel on it.

use super::path_packet::{Column, PathPacket, WIDTH};
use super::reflectance::to_f32;
use crate::geometry::SAME_POINT_M;
use crate::geometry::enclosure::Enclosure;
use crate::scene::Surface;

/// The faces and panels of a room, as far as a landing ray must know them.
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
    /// The two axes along the surface, and where the panel begins and ends on them.
    axes: [usize; 2],
    low: [f32; 2],
    high: [f32; 2],
    material: u32,
}

impl SurfaceMaterials {
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

    /// Enters the material on which each ray has hit_position.
    #[inline(always)]
    pub(super) fn assign(&self, packet: &mut PathPacket) {
        let PathPacket { origin, face, material, .. } = packet;
        let origin = &*origin;
        for i in 0..WIDTH {
            material[i] = self.materials[face[i] as usize];
        }
        for panel in &self.panels {
            // A copy, or the compiler selects between places in memory instead of numbers.
            let panel = *panel;
            let [a, b] = panel.axes.map(|axis| &origin[axis]);
            for i in 0..WIDTH {
                let inside = |place: &Column<f32>, side: usize| {
                    (panel.low[side] <= place[i]) & (place[i] <= panel.high[side])
                };
                let on = (face[i] == panel.surface) & inside(a, 0) & inside(b, 1);
                material[i] = if on { panel.material } else { material[i] };
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
