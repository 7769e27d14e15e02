//! What a search may use and where it may not go: none of it makes a sound.

use super::model::{Scene, Surface};

/// A rectangle of the floor where nobody sits and nothing stands: a door's swing, a way through.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOut {
    /// Its name.
    pub name: String,
    /// Its corner nearest front and left wall, metres.
    pub corner_m: [f64; 2],
    /// Its size along x and y, metres.
    pub size_m: [f64; 2],
}

/// A rectangle of a surface where nothing may hang: a window, a door, a radiator.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepClear {
    /// Its name.
    pub name: String,
    /// The surface.
    pub on: Surface,
    /// Centre, in the surface's two tape coordinates, metres.
    pub centre_m: [f64; 2],
    /// Size along the surface's two tape coordinates, metres.
    pub size_m: [f64; 2],
}

/// A piece that could be bought and put up.
#[derive(Debug, Clone, PartialEq)]
pub struct Absorber {
    /// Its name.
    pub name: String,
    /// Its two sides, metres: along and up on a wall, front to back and left to right on the ceiling.
    pub size_m: [f64; 2],
    /// Index of its material.
    pub material: usize,
    /// Cost of one in the scene's currency.
    pub cost: Option<f64>,
    /// How many there are to be had.
    pub count: usize,
    /// Weight of one, kilograms.
    pub weight_kg: Option<f64>,
    /// Where it may be put, in the order of [`Surface::ALL`].
    pub on: Vec<Surface>,
    /// Whether its sides may change places.
    pub may_turn: bool,
    /// On the ceiling it hangs with its middle so far below, metres; `None`: flat against it.
    pub hang_m: Option<f64>,
}

impl Scene {
    /// Where nobody sits and nothing stands.
    pub fn keep_outs(&self) -> &[KeepOut] {
        &self.keep_outs
    }

    /// Where nothing may hang.
    pub fn keep_clears(&self) -> &[KeepClear] {
        &self.keep_clears
    }

    /// What could be bought.
    pub fn absorbers(&self) -> &[Absorber] {
        &self.absorbers
    }
}

impl KeepOut {
    /// Whether a place on the floor lies in it, metres from front and left wall.
    pub fn holds(&self, place_m: [f64; 2]) -> bool {
        (0..2).all(|axis| {
            let along = place_m[axis] - self.corner_m[axis];
            (0.0..=self.size_m[axis]).contains(&along)
        })
    }
}
