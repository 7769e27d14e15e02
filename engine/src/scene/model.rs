//! The validated scene. Only validation makes one; nothing downstream checks it again.

use super::constraints::{Absorber, KeepClear, KeepOut};
use super::ids::ListenerId;
use super::listener::Listener;
use super::room::{Room, Surface};
use crate::medium::air::Air;
use crate::medium::directivity::Directivity;
use crate::medium::materials::{Material, ReflectionLaw};
use crate::medium::signal_chain::SignalChain;
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
    /// Number of the materials, from the first, that the scene itself describes.
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

/// System of units in which lengths are written for people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Metres and millimetres.
    #[default]
    Metric,
    /// Feet, inches and eighths.
    Imperial,
}

/// The side of a speaker within its pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The pair's left speaker.
    Left,
    /// The pair's right speaker.
    Right,
}

/// What a speaker is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpeakerKind {
    /// It plays alone or in a pair, down to its own lower limit.
    #[default]
    FullRange,
    /// It plays the lowest frequencies of all speakers, the same whichever of them has the signal.
    Subwoofer,
}

/// A speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Speaker {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub kind: SpeakerKind,
    /// The pair it belongs to and its side in it.
    pub pair: Option<(String, Side)>,
    /// Its acoustic reference point.
    pub at: DVec3,
    /// Unit vector along its axis.
    pub axis: DVec3,
    /// The target of its axis.
    pub aim: Aim,
    /// Its directivity.
    pub directivity: Directivity,
    /// Its filters, level, delay, polarity and lower limit.
    pub chain: SignalChain,
    /// Index of the material of its cabinet, where that stands in the room as a solid body
    /// ([`Speaker::solid_box`]).
    pub solid: Option<usize>,
}

/// Target of a speaker's axis.
#[derive(Debug, Clone, PartialEq)]
pub enum Aim {
    /// A listener.
    Listener(ListenerId),
    /// A point.
    Point(DVec3),
    /// Straight at the back wall, the default.
    Straight,
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
    /// The set it belongs to; `None` is in every variant of the room.
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

/// Definition of a variant: a named state of the room.
#[derive(Debug, Clone, PartialEq)]
pub struct VariantDefinition {
    /// Its name.
    pub name: String,
    /// The sets that are in.
    pub with: Vec<String>,
    /// Whether the room stands like this now.
    pub now: bool,
}

/// Model of reflection.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Model {
    /// Law of reflection at oblique incidence.
    pub reflection: ReflectionLaw,
    /// Whether finite panels and screens reflect as finite.
    pub edges: bool,
}

/// A variant of the room: the items in it, which are everything or one definition's sets.
#[derive(Debug, Clone, PartialEq)]
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

impl Scene {
    /// Title.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// System of units in which lengths are written for people.
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

    /// All panels of all variants.
    pub fn panels(&self) -> &[Panel] {
        &self.panels
    }

    /// All screens of all variants.
    pub fn screens(&self) -> &[Screen] {
        &self.screens
    }

    /// All furniture of all variants.
    pub fn furniture(&self) -> &[Furniture] {
        &self.furniture
    }

    /// Definitions of the variants.
    pub fn variants(&self) -> &[VariantDefinition] {
        &self.variants
    }

    /// Areas of the floor that a search keeps free.
    pub fn keep_outs(&self) -> &[KeepOut] {
        &self.keep_outs
    }

    /// Areas of surfaces on which a search mounts nothing.
    pub fn keep_clears(&self) -> &[KeepClear] {
        &self.keep_clears
    }

    /// Absorbers that a treatment may use.
    pub fn absorbers(&self) -> &[Absorber] {
        &self.absorbers
    }

    /// Model of reflection.
    pub fn model(&self) -> &Model {
        &self.model
    }
}
