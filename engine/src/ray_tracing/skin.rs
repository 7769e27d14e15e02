//! What a bounce leaves of a ray, by material and angle, ready to look up.

use super::packet::{Column, WIDTH};
use super::steps::split;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::medium::materials::ReflectionLaw;
use crate::scene::Scene;

/// A row of eight bands, as wide as a vector register.
pub(super) type Row = [f32; BAND_COUNT];

/// All materials of a scene.
#[derive(Debug)]
pub(super) struct Skins {
    /// Reflected share of the energy, for each material at each step of √cos θ.
    rows: Vec<Row>,
    scatter: Vec<Scatter>,
    /// Whether any ray's energy is changed by a draw: not where all bands scatter alike.
    weighs: bool,
    steps: f32,
    /// Rows of one material.
    stride: u32,
}

/// How a material scatters, per band, and how one draw decides for all bands at once.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scatter {
    /// Scattered share of what is reflected.
    pub(super) share: Row,
    /// Probability that a ray goes on scattered; 0 for a mirror.
    pub(super) chance: f32,
    /// What the energy is multiplied with when it does: share / chance.
    pub(super) scattered: Row,
    /// And when it does not: (1 − share) / (1 − chance).
    pub(super) mirrored: Row,
}

/// Steps of √cos θ: close together at grazing incidence, where hard materials change fastest.
const STEPS: usize = 256;

impl Skins {
    pub(super) fn new(scene: &Scene, enclosure: &Enclosure) -> Self {
        let steps = match scene.model().reflection {
            ReflectionLaw::Constant => 1,
            ReflectionLaw::Angle => STEPS,
        };
        let rows = (0..scene.materials().len())
            .flat_map(|material| {
                let reflector = enclosure.reflector(material);
                (0..steps + 2).map(move |step| {
                    // One more than full incidence, so that a place at the end has a next.
                    let root = (step as f64 / steps as f64).min(1.0);
                    row(reflector.reflected_energy(root * root))
                })
            })
            .collect();
        let scatter: Vec<Scatter> =
            scene.materials().iter().map(|m| Scatter::new(&m.scattering)).collect();
        let weighs = scatter.iter().any(Scatter::weighs);
        Self { rows, scatter, weighs, steps: steps as f32, stride: steps as u32 + 2 }
    }

    /// Whether any material scatters.
    pub(super) fn scatter_at_all(&self) -> bool {
        self.scatter.iter().any(|scatter| scatter.chance > 0.0)
    }

    /// Reflected share at every place in the table.
    pub(super) fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The place in the table for a material and a cosine of incidence.
    #[inline(always)]
    pub(super) fn step(&self, material: u32, cos: f32) -> (u32, f32) {
        let (step, part) = split(cos.min(1.0).sqrt() * self.steps);
        (material * self.stride + step, part)
    }

    /// Places in the table for the materials and cosines of incidence of many rays.
    #[inline(always)]
    pub(super) fn steps(
        &self,
        materials: &Column<u32>,
        cos: &Column<f32>,
    ) -> (Column<u32>, Column<f32>) {
        let (mut whole, mut part) = ([0; WIDTH], [0.0; WIDTH]);
        let (steps, stride) = (self.steps, self.stride);
        for i in 0..WIDTH {
            let (step, rest) = split(cos[i].sqrt() * steps);
            whole[i] = materials[i] * stride + step;
            part[i] = rest;
        }
        (whole, part)
    }

    /// Reflected share of the energy at a place in the table, per band.
    #[inline(always)]
    pub(super) fn reflected(&self, step: u32, part: f32) -> Row {
        let (low, high) = (&self.rows[step as usize], &self.rows[step as usize + 1]);
        std::array::from_fn(|band| low[band] + part * (high[band] - low[band]))
    }

    /// Whether any ray's energy is changed by a draw.
    #[inline(always)]
    pub(super) fn weighs(&self) -> bool {
        self.weighs
    }

    #[inline(always)]
    pub(super) fn scatter(&self, material: u32) -> &Scatter {
        &self.scatter[material as usize]
    }
}

impl Scatter {
    fn weighs(&self) -> bool {
        let Self { chance, scattered, mirrored, .. } = self;
        let other_than_one =
            |weights: &Row| weights.iter().any(|&weight| (weight - 1.0).abs() > 0.0);
        *chance > 0.0 && (other_than_one(scattered) || *chance < 1.0 && other_than_one(mirrored))
    }

    /// One draw serves all bands, and weights keep each band unbiased: the mean weight is s where the ray
    /// goes on scattered and 1 − s where it is mirrored, for any chance strictly between. The chance
    /// taken is the one whose greatest weight is least: max s/(max s + 1 − min s). Where all bands
    /// scatter alike it is s itself and every weight is 1.
    fn new(share: &PerBand<f64>) -> Self {
        let most = share.iter().copied().fold(0.0, f64::max);
        let least = share.iter().copied().fold(1.0, f64::min);
        let chance = most / (most + 1.0 - least);
        let over = |part: f64, chance: f64| if chance > 0.0 { part / chance } else { 0.0 };
        Self {
            share: row(*share),
            chance: single(chance),
            scattered: row(share.map(|s| over(s, chance))),
            mirrored: row(share.map(|s| over(1.0 - s, 1.0 - chance))),
        }
    }
}

pub(super) fn row(values: PerBand<f64>) -> Row {
    values.map(single)
}

pub(super) fn single(value: f64) -> f32 {
    value as f32
}
