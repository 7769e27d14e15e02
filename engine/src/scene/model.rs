//! The validated scene. Only validation makes one; nothing downstream checks it again.

use super::constraints::{Absorber, KeepClear, KeepOut};
use crate::medium::air::Air;
use crate::medium::directivity::Directivity;
use crate::medium::materials::{Material, ReflectionLaw};
use glam::DVec3;

/// A valid scene.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    pub(super) title: String,
    pub(super) units: Units,
    pub(super) room: Room,
    pub(super) air: Air,
    pub(super) surfaces: [usize; 6],
    pub(super) materials: Vec<Material>,
    /// How many of the materials, from the first, the scene itself describes.
    pub(super) own_materials: usize,
    pub(super) speakers: Vec<Speaker>,
    pub(super) listeners: Vec<Listener>,
    pub(super) panels: Vec<Panel>,
    pub(super) screens: Vec<Screen>,
    pub(super) furniture: Vec<Furniture>,
    pub(super) variants: Vec<VariantDefinition>,
    pub(super) keep_outs: Vec<KeepOut>,
    pub(super) keep_clears: Vec<KeepClear>,
    pub(super) absorbers: Vec<Absorber>,
    pub(super) model: Model,
}

/// How lengths are written for people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Metres and millimetres.
    #[default]
    Metric,
    /// Feet, inches and eighths.
    Imperial,
}

/// Inside dimensions of the room in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Front wall to back wall, along x.
    pub length_m: f64,
    /// Left wall to right wall, along y.
    pub width_m: f64,
    /// Floor to ceiling, along z.
    pub height_m: f64,
}

/// One of the six surfaces of the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// x = 0, behind the speakers.
    Front,
    /// x = length.
    Back,
    /// y = 0.
    Left,
    /// y = width.
    Right,
    /// z = 0.
    Floor,
    /// z = height.
    Ceiling,
}

/// The side of a speaker within its pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The pair's left speaker.
    Left,
    /// The pair's right speaker.
    Right,
}

/// A speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Speaker {
    /// Its name.
    pub name: String,
    /// The pair it belongs to and its side in it.
    pub pair: Option<(String, Side)>,
    /// Its acoustic reference point.
    pub at: DVec3,
    /// Unit vector along its axis.
    pub axis: DVec3,
    /// Where the axis was told to point.
    pub aim: Aim,
    /// How its sound depends on direction.
    pub directivity: Directivity,
    /// Index of the material of its cabinet, where that stands in the room as a solid body
    /// ([`Speaker::solid_box`]).
    pub solid: Option<usize>,
}

/// What a speaker's axis points at.
#[derive(Debug, Clone, PartialEq)]
pub enum Aim {
    /// A listener, by index.
    Listener(usize),
    /// A point.
    Point(DVec3),
    /// Straight at the back wall; nothing was said.
    Straight,
}

/// A listener's head.
#[derive(Debug, Clone, PartialEq)]
pub struct Listener {
    /// Its name.
    pub name: String,
    /// Middle of the head at ear height.
    pub at: DVec3,
    /// The point faced; `None` is straight at the front wall.
    pub faces: Option<DVec3>,
}

/// A rectangle of another material in the plane of a surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Its name.
    pub name: String,
    /// The set it is bought or put up with.
    pub set: Option<String>,
    /// The surface it is on.
    pub on: Surface,
    /// Centre, in the surface's two tape coordinates, metres.
    pub centre_m: [f64; 2],
    /// Size along the surface's two tape coordinates, metres.
    pub size_m: [f64; 2],
    /// Index of its material.
    pub material: usize,
    /// Cost in the scene's currency.
    pub cost: Option<f64>,
}

/// A flat piece that stands or hangs clear of the surfaces: a cloud, a gobo.
#[derive(Debug, Clone, PartialEq)]
pub struct Screen {
    /// Its name.
    pub name: String,
    /// The set it is bought or put up with.
    pub set: Option<String>,
    /// Its centre.
    pub centre: DVec3,
    /// Unit vector out of its facing side.
    pub facing: DVec3,
    /// Unit vector along its first side; `size_m[0]` is measured along it.
    pub along: DVec3,
    /// Its two sides in metres; the second runs along `facing × along`.
    pub size_m: [f64; 2],
    /// Index of its material, the same on both faces.
    pub material: usize,
    /// Cost in the scene's currency.
    pub cost: Option<f64>,
}

/// A solid box that reflects and shadows.
#[derive(Debug, Clone, PartialEq)]
pub struct Furniture {
    /// Its name.
    pub name: String,
    /// The set it comes and goes with; `None` stands in every state of the room.
    pub set: Option<String>,
    /// Its corner nearest front wall, left wall and floor, before turning.
    pub corner: DVec3,
    /// Its size along x, y and z in metres, before turning.
    pub size: DVec3,
    /// Turn about the upright axis through its middle, degrees, counter-clockwise from above
    /// when x points down the page and y to the right; that is, from x toward y.
    pub turn_deg: f64,
    /// Index of its material.
    pub material: usize,
}

/// A named state of the room.
#[derive(Debug, Clone, PartialEq)]
pub struct VariantDefinition {
    /// Its name.
    pub name: String,
    /// The sets that are in.
    pub with: Vec<String>,
}

/// Which model computes the reflections.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Model {
    /// How surfaces answer at an angle.
    pub reflection: ReflectionLaw,
    /// Whether finite panels and screens reflect as finite.
    pub edges: bool,
}

/// What is in the room in one of its states: everything, or one variant's sets.
#[derive(Debug, Clone)]
pub struct Variant<'a> {
    /// The variant's name; `None` when everything is in and no variant says just that.
    pub name: Option<&'a str>,
    /// Panels that are up.
    pub panels: Vec<&'a Panel>,
    /// Screens that are in.
    pub screens: Vec<&'a Screen>,
    /// Furniture that is in.
    pub furniture: Vec<&'a Furniture>,
}

impl Surface {
    /// All six, in their fixed order.
    pub const ALL: [Self; 6] =
        [Self::Front, Self::Back, Self::Left, Self::Right, Self::Floor, Self::Ceiling];

    /// Its name in scene files and machine output.
    pub fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
            Self::Floor => "floor",
            Self::Ceiling => "ceiling",
        }
    }

    /// The axis it is perpendicular to: 0 for x, 1 for y, 2 for z.
    pub fn axis(self) -> usize {
        self as usize / 2
    }

    /// Whether it lies at the far end of its axis (back, right, ceiling).
    pub fn is_far(self) -> bool {
        self as usize % 2 == 1
    }

    /// The axes of its two tape coordinates: left/right walls (from front wall, above floor);
    /// front/back walls (from left wall, above floor); floor/ceiling (from front, from left).
    pub fn tape_axes(self) -> [usize; 2] {
        match self.axis() {
            0 => [1, 2],
            1 => [0, 2],
            _ => [0, 1],
        }
    }

    /// A point on the surface in its two tape coordinates, metres.
    pub fn tape(self, point: DVec3) -> [f64; 2] {
        let [a, b] = self.tape_axes();
        [point[a], point[b]]
    }
}

impl Room {
    /// Its three dimensions as a vector.
    pub fn size(&self) -> DVec3 {
        DVec3::new(self.length_m, self.width_m, self.height_m)
    }

    /// Volume in cubic metres.
    pub fn volume_m3(&self) -> f64 {
        self.length_m * self.width_m * self.height_m
    }

    /// Area of one surface in square metres.
    pub fn area_m2(&self, surface: Surface) -> f64 {
        let [a, b] = surface.tape_axes();
        self.size()[a] * self.size()[b]
    }

    /// Area of all six surfaces in square metres.
    pub fn surface_m2(&self) -> f64 {
        Surface::ALL.iter().map(|&s| self.area_m2(s)).sum()
    }
}

impl Listener {
    /// Unit vectors straight ahead, to the listener's left, and upward through the head.
    pub fn frame(&self) -> [DVec3; 3] {
        let ahead =
            self.faces.map_or(DVec3::NEG_X, |point| (point - self.at).normalize_or(DVec3::NEG_X));
        let left = DVec3::Z.cross(ahead).normalize_or(DVec3::NEG_Y);
        [ahead, left, ahead.cross(left)]
    }
}

impl Scene {
    /// Title.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// How lengths are written for people.
    pub fn units(&self) -> Units {
        self.units
    }

    /// The room.
    pub fn room(&self) -> &Room {
        &self.room
    }

    /// The air.
    pub fn air(&self) -> &Air {
        &self.air
    }

    /// The scene's own materials in its order, then those in use from the catalogue; panels and
    /// the rest refer to them by index.
    pub fn materials(&self) -> &[Material] {
        &self.materials
    }

    /// The materials the scene itself describes, whether in use or not.
    pub fn own_materials(&self) -> &[Material] {
        &self.materials[..self.own_materials]
    }

    /// The bare surface's material.
    pub fn surface_material(&self, surface: Surface) -> &Material {
        &self.materials[self.surfaces[surface as usize]]
    }

    /// Index of the bare surface's material in [`Scene::materials`].
    pub fn surface_material_index(&self, surface: Surface) -> usize {
        self.surfaces[surface as usize]
    }

    /// Speakers in the scene's order.
    pub fn speakers(&self) -> &[Speaker] {
        &self.speakers
    }

    /// Listeners in the scene's order.
    pub fn listeners(&self) -> &[Listener] {
        &self.listeners
    }

    /// All panels, whatever the state.
    pub fn panels(&self) -> &[Panel] {
        &self.panels
    }

    /// All screens, whatever the state.
    pub fn screens(&self) -> &[Screen] {
        &self.screens
    }

    /// All furniture, whatever the state.
    pub fn furniture(&self) -> &[Furniture] {
        &self.furniture
    }

    /// Named states of the room.
    pub fn variants(&self) -> &[VariantDefinition] {
        &self.variants
    }

    /// Which model computes the reflections.
    pub fn model(&self) -> &Model {
        &self.model
    }
}
