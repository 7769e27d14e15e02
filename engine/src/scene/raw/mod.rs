//! The scene as it is written: every value with its place in the text, nothing yet believed.
//!
//! This layer knows keys, types, units and words; whether the numbers make sense in a room is for
//! `validate`. A value that could not be read has been reported and is `None`, and so is one that
//! was left out; required values that were left out have been reported as well.

mod constraints;
mod items;
mod material;
mod porous;
mod read;
mod sections;
mod signal_chain;
mod spanned;
mod speaker;
mod table_reader;
mod value_reader;

pub(super) use material::{RawImpedance, RawMaterial, RawPerBand, RawSurfaceModel};
pub(super) use porous::{RawLayer, RawLayerKind, RawPorous};
pub(super) use read::read;
pub(super) use signal_chain::RawFilter;
pub(super) use spanned::{RawPoint, Span, Spanned};
pub(super) use speaker::{RawAim, RawDirectivity, RawSpeaker};

use super::model::{Side, Units};
use super::room::Surface;
use crate::medium::materials::ReflectionLaw;

/// A scene as written.
#[derive(Debug, Default)]
pub(super) struct RawScene {
    pub(super) title: Option<Spanned<String>>,
    pub(super) units: Option<Spanned<Units>>,
    pub(super) room: Option<RawRoom>,
    pub(super) air: RawAir,
    /// In the order of [`Surface::ALL`].
    pub(super) surfaces: [Option<Spanned<String>>; 6],
    pub(super) materials: Vec<RawMaterial>,
    pub(super) speakers: Vec<RawSpeaker>,
    pub(super) listeners: Vec<RawListener>,
    pub(super) panels: Vec<RawPanel>,
    pub(super) screens: Vec<RawScreen>,
    pub(super) furniture: Vec<RawFurniture>,
    pub(super) variants: Vec<RawVariant>,
    pub(super) keep_outs: Vec<RawKeepOut>,
    pub(super) keep_clears: Vec<RawKeepClear>,
    pub(super) absorbers: Vec<RawAbsorber>,
    pub(super) model: RawModel,
}

/// `[room]`.
#[derive(Debug)]
pub(super) struct RawRoom {
    /// Length, width and height.
    pub(super) size: [Option<Spanned<f64>>; 3],
}

/// `[air]`.
#[derive(Debug, Default)]
pub(super) struct RawAir {
    pub(super) temperature_c: Option<Spanned<f64>>,
    pub(super) humidity_percent: Option<Spanned<f64>>,
    pub(super) pressure_kpa: Option<Spanned<f64>>,
    pub(super) absorption: Option<Spanned<bool>>,
}

/// `[[listener]]`.
#[derive(Debug)]
pub(super) struct RawListener {
    pub(super) name: Option<Spanned<String>>,
    pub(super) at: Option<RawPoint>,
    pub(super) faces: Option<RawPoint>,
}

/// `[[panel]]`.
#[derive(Debug)]
pub(super) struct RawPanel {
    pub(super) name: Option<Spanned<String>>,
    pub(super) set: Option<Spanned<String>>,
    pub(super) on: Option<Spanned<Surface>>,
    pub(super) centre: Option<Spanned<[Spanned<f64>; 2]>>,
    pub(super) size: Option<Spanned<[Spanned<f64>; 2]>>,
    pub(super) material: Option<Spanned<String>>,
    pub(super) cost: Option<Spanned<f64>>,
}

/// `[[screen]]`.
#[derive(Debug)]
pub(super) struct RawScreen {
    pub(super) name: Option<Spanned<String>>,
    pub(super) set: Option<Spanned<String>>,
    pub(super) centre: Option<RawPoint>,
    pub(super) size: Option<Spanned<[Spanned<f64>; 2]>>,
    /// A direction, not yet of unit length.
    pub(super) facing: Option<Spanned<[f64; 3]>>,
    pub(super) material: Option<Spanned<String>>,
    pub(super) cost: Option<Spanned<f64>>,
}

/// `[[furniture]]`.
#[derive(Debug)]
pub(super) struct RawFurniture {
    pub(super) name: Option<Spanned<String>>,
    pub(super) set: Option<Spanned<String>>,
    pub(super) corner: Option<RawPoint>,
    pub(super) size: Option<RawPoint>,
    pub(super) turn_deg: Option<Spanned<f64>>,
    pub(super) material: Option<Spanned<String>>,
}

/// `[[variant]]`.
#[derive(Debug)]
pub(super) struct RawVariant {
    pub(super) name: Option<Spanned<String>>,
    pub(super) with: Option<Vec<Spanned<String>>>,
    pub(super) now: Option<Spanned<bool>>,
}

/// `[[keep_out]]`.
#[derive(Debug)]
pub(super) struct RawKeepOut {
    pub(super) name: Option<Spanned<String>>,
    pub(super) corner: Option<Spanned<[Spanned<f64>; 2]>>,
    pub(super) size: Option<Spanned<[Spanned<f64>; 2]>>,
}

/// `[[keep_clear]]`.
#[derive(Debug)]
pub(super) struct RawKeepClear {
    pub(super) name: Option<Spanned<String>>,
    pub(super) on: Option<Spanned<Surface>>,
    pub(super) centre: Option<Spanned<[Spanned<f64>; 2]>>,
    pub(super) size: Option<Spanned<[Spanned<f64>; 2]>>,
}

/// `[[absorber]]`.
#[derive(Debug)]
pub(super) struct RawAbsorber {
    pub(super) name: Option<Spanned<String>>,
    pub(super) size: Option<Spanned<[Spanned<f64>; 2]>>,
    pub(super) material: Option<Spanned<String>>,
    pub(super) cost: Option<Spanned<f64>>,
    pub(super) count: Option<Spanned<f64>>,
    pub(super) weight_kg: Option<Spanned<f64>>,
    pub(super) on: Option<Spanned<Vec<Surface>>>,
    pub(super) may_turn: Option<Spanned<bool>>,
    pub(super) hang: Option<Spanned<f64>>,
}

/// `[model]`.
#[derive(Debug, Default)]
pub(super) struct RawModel {
    pub(super) reflection: Option<Spanned<ReflectionLaw>>,
    pub(super) edges: Option<Spanned<bool>>,
}

/// Words of `side`.
const SIDES: &[(&str, Side)] = &[("left", Side::Left), ("right", Side::Right)];
