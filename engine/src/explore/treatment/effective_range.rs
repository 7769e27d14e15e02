//! Where a build acts and where it barely does, from its own physics.

use super::Product;
use crate::medium::air::Air;
use crate::medium::bands::{BAND_COUNT, PerBand};
use crate::medium::materials::{AbsorberLayer, Material, PorousAbsorber, SurfaceModel};

/// A build acts in a band from this random-incidence absorption on: our choice.
pub const EFFECTIVE_FROM: f64 = 0.5;
/// Below this random-incidence absorption it barely acts: our choice.
pub const INEFFECTIVE_BELOW: f64 = 0.2;

/// What a build does, octave band by octave band.
#[derive(Debug, Clone, PartialEq)]
pub struct EffectiveRange {
    /// Random-incidence absorption coefficient.
    pub absorption: PerBand<f64>,
    /// The lowest band from which on it absorbs [`EFFECTIVE_FROM`] in every band; `None` if it never does.
    pub acts_from: Option<usize>,
    /// The highest band up to which it absorbs less than [`INEFFECTIVE_BELOW`] in every band; `None` if it
    /// acts in all.
    pub barely_up_to: Option<usize>,
    /// What would act one octave lower; nothing for builds that are not one porous layer.
    pub suggestions: Vec<Suggestion>,
}

/// A change to a build that makes it act in a lower band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Suggestion {
    /// Another thickness of the same stuff, with the same gap.
    Thicker {
        /// Of the stuff, metres.
        thickness_m: f64,
        /// The band from which on it then acts.
        acts_from: usize,
    },
    /// The same thickness before another gap.
    Gap {
        /// Of air behind it, metres.
        gap_m: f64,
        /// The band from which on it then acts.
        acts_from: usize,
    },
}

/// Thicknesses and gaps to try, metres: what can be bought and built.
const STEPS_M: [f64; 9] = [0.025, 0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4];

/// What the build of an offer does.
pub fn effective_range(product: &Product, air: &Air) -> EffectiveRange {
    let absorption = product.material.random_incidence(air);
    let acts_from = acts_from(&absorption);
    let barely = absorption.iter().take_while(|&&alpha| alpha < INEFFECTIVE_BELOW).count();
    EffectiveRange {
        absorption,
        acts_from,
        barely_up_to: barely.checked_sub(1),
        suggestions: suggestions(&product.material, acts_from, air),
    }
}

fn acts_from(absorption: &PerBand<f64>) -> Option<usize> {
    let from =
        absorption.iter().rposition(|&alpha| alpha < EFFECTIVE_FROM).map_or(0, |below| below + 1);
    (from < BAND_COUNT).then_some(from)
}

/// The least thickness and the least gap with which one porous layer acts an octave lower.
fn suggestions(material: &Material, now: Option<usize>, air: &Air) -> Vec<Suggestion> {
    let SurfaceModel::Porous(build) = &material.surface_model else { return Vec::new() };
    let (thickness, resistivity, gap) = match *build.layers() {
        [AbsorberLayer::Porous { thickness_m, flow_resistivity }] => {
            (thickness_m, flow_resistivity, 0.0)
        }
        [
            AbsorberLayer::Porous { thickness_m, flow_resistivity },
            AbsorberLayer::Air { thickness_m: gap_m },
        ] => (thickness_m, flow_resistivity, gap_m),
        _ => return Vec::new(),
    };
    let Some(target) = now.unwrap_or(BAND_COUNT).checked_sub(1) else { return Vec::new() };
    let reaches = |thickness_m: f64, gap_m: f64| {
        let build = SurfaceModel::Porous(PorousAbsorber::single(thickness_m, resistivity, gap_m));
        let other = Material { surface_model: build, ..material.clone() };
        acts_from(&other.random_incidence(air)).filter(|&from| from <= target)
    };
    let thicker = STEPS_M.into_iter().filter(|&step| step > thickness).find_map(|thickness_m| {
        Some(Suggestion::Thicker { thickness_m, acts_from: reaches(thickness_m, gap)? })
    });
    let wider = STEPS_M
        .into_iter()
        .filter(|&step| step > gap)
        .find_map(|gap_m| Some(Suggestion::Gap { gap_m, acts_from: reaches(thickness, gap_m)? }));
    thicker.into_iter().chain(wider).collect()
}
