//! A room in one of its states, ready to be asked how it reflects.

use crate::geometry::{FaceId, Faces, Rectangle, SAME_POINT_M};
use crate::medium::bands::{FrequencyGrid, PerBand};
use crate::medium::materials::Reflector;
use crate::scene::{Panel, Room, Scene, Surface, Variant};
use glam::DVec3;

/// The faces of a room in one state, what they are made of, and the air between them.
#[derive(Debug)]
pub struct Enclosure<'a> {
    scene: &'a Scene,
    faces: Faces,
    grid: FrequencyGrid,
    reflectors: Vec<Reflector>,
    panels: [Vec<PanelPlace<'a>>; 6],
    attenuation_db_per_m: PerBand<f64>,
    speed_of_sound_m_s: f64,
}

/// A panel and its index in the scene.
#[derive(Debug, Clone, Copy)]
struct PanelPlace<'a> {
    index: usize,
    panel: &'a Panel,
}

impl<'a> Enclosure<'a> {
    /// Prepares a scene in one of its states.
    pub fn new(scene: &'a Scene, variant: &Variant<'a>) -> Self {
        let grid = FrequencyGrid::new();
        let reflectors = scene
            .materials()
            .iter()
            .map(|m| Reflector::new(m, scene.model().reflection, scene.air(), &grid))
            .collect();
        let panels = Surface::ALL.map(|surface| {
            let here = |place: &PanelPlace| {
                place.panel.on == surface
                    && variant.panels.iter().any(|&p| std::ptr::eq(p, place.panel))
            };
            let all = scene.panels().iter().enumerate();
            all.map(|(index, panel)| PanelPlace { index, panel }).filter(here).collect()
        });
        Self {
            scene,
            faces: Faces::new(scene, variant),
            grid,
            reflectors,
            panels,
            attenuation_db_per_m: scene.air().attenuation_db_per_m(),
            speed_of_sound_m_s: scene.air().speed_of_sound_m_s(),
        }
    }

    /// The room's dimensions.
    pub fn room(&self) -> &Room {
        self.scene.room()
    }

    /// Everything that reflects.
    pub fn faces(&self) -> &Faces {
        &self.faces
    }

    /// The inner frequency grid.
    pub fn grid(&self) -> &FrequencyGrid {
        &self.grid
    }

    /// Speed of sound in metres a second.
    pub fn speed_of_sound_m_s(&self) -> f64 {
        self.speed_of_sound_m_s
    }

    /// Air attenuation in decibels a metre.
    pub fn attenuation_db_per_m(&self) -> PerBand<f64> {
        self.attenuation_db_per_m
    }

    /// Share of energy that the air leaves over a distance, per band.
    pub fn air_energy(&self, distance_m: f64) -> PerBand<f64> {
        self.attenuation_db_per_m.map(|db| 10f64.powf(-0.1 * db * distance_m))
    }

    /// The panel that a point of a face lies on, by its index in the scene.
    pub fn panel_at(&self, face: usize, point: DVec3) -> Option<usize> {
        let FaceId::Surface(surface) = self.faces.all()[face].id else { return None };
        let tape = surface.tape(point);
        self.panels[surface as usize]
            .iter()
            .find(|place| covers(place.panel, tape))
            .map(|place| place.index)
    }

    /// The panels on a surface, by their index in the scene, as rectangles that face the room.
    pub fn panels_on(&self, surface: Surface) -> impl Iterator<Item = (usize, Rectangle)> + '_ {
        let wall = self.faces.all()[surface as usize].rectangle;
        self.panels[surface as usize].iter().map(move |place| {
            let [a, b] = surface.tape_axes();
            let mut centre = wall.centre;
            centre[a] = place.panel.centre_m[0];
            centre[b] = place.panel.centre_m[1];
            let [along, across] = place.panel.size_m;
            let half = |length: f64| length / 2.0;
            let rectangle = Rectangle {
                centre,
                half_along_m: half(along),
                half_across_m: half(across),
                ..wall
            };
            (place.index, rectangle)
        })
    }

    /// Index of a panel's material in the scene.
    pub fn panel_material(&self, panel: usize) -> usize {
        self.scene.panels()[panel].material
    }

    /// How a material reflects, by its index in the scene.
    pub fn reflector(&self, material: usize) -> &Reflector {
        &self.reflectors[material]
    }

    /// Index of the material at a point of a face.
    pub fn material(&self, face: usize, panel: Option<usize>) -> usize {
        panel.map_or(self.faces.all()[face].material, |p| self.scene.panels()[p].material)
    }
}

/// Whether a panel covers a point of its surface, its rim included.
fn covers(panel: &Panel, tape: [f64; 2]) -> bool {
    (0..2).all(|i| (tape[i] - panel.centre_m[i]).abs() <= panel.size_m[i] / 2.0 + SAME_POINT_M)
}
