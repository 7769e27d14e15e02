//! What a bounce leaves of a ray, by material and angle, ready to look up.

use crate::bands::{BAND_COUNT, PerBand};
use crate::enclosure::Enclosure;
use crate::material::ReflectionLaw;
use crate::scene::Scene;

/// A row of eight bands, as wide as a vector register.
pub(super) type Row = [f32; BAND_COUNT];

/// All materials of a scene.
#[derive(Debug)]
pub(super) struct Skins {
    /// Reflected share of the energy, for each material at each step of √cos θ.
    rows: Vec<Row>,
    scatter: Vec<Scatter>,
    steps: f32,
}

/// A place in the table of a material: a whole step, and the part of the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    whole: u32,
    part: f32,
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
                (0..=steps).map(move |step| {
                    let root = step as f64 / steps as f64;
                    row(reflector.reflected_energy(root * root))
                })
            })
            .collect();
        let scatter = scene.materials().iter().map(|m| Scatter::new(&m.scattering)).collect();
        Self { rows, scatter, steps: steps as f32 }
    }

    /// Whether any material scatters.
    pub(super) fn scatter_at_all(&self) -> bool {
        self.scatter.iter().any(|scatter| scatter.chance > 0.0)
    }

    /// Reflected share of the energy of a material at a step of √cos θ, per band.
    #[inline(always)]
    pub(super) fn reflected(&self, material: u32, step: Step) -> Row {
        let first = material as usize * (self.steps as usize + 1) + step.whole as usize;
        let (low, high) = (&self.rows[first], &self.rows[first + 1]);
        std::array::from_fn(|band| low[band] + step.part * (high[band] - low[band]))
    }

    /// Where in its table a cosine of incidence stands.
    #[inline(always)]
    #[expect(clippy::cast_sign_loss, reason = "0 to 256")]
    pub(super) fn step(&self, cos_incidence: f32) -> Step {
        let at = cos_incidence.sqrt() * self.steps;
        let whole = if at < self.steps - 1.0 { at as u32 } else { self.steps as u32 - 1 };
        Step { whole, part: at - whole as f32 }
    }

    #[inline(always)]
    pub(super) fn scatter(&self, material: u32) -> &Scatter {
        &self.scatter[material as usize]
    }
}

impl Scatter {
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
