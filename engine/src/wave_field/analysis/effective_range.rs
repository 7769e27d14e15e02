//! How far down a porous build reaches, and what would reach farther.

use crate::medium::air::Air;
use crate::medium::materials::{AbsorberLayer, PorousAbsorber};

/// A build that takes less than this share of the energy at normal incidence is said to do next to
/// nothing. Our own measure.
pub const MIN_ABSORPTION: f64 = 0.2;
/// Nothing is looked for below this, hertz, nor above [`TO_HZ`].
const FROM_HZ: f64 = 16.0;
const TO_HZ: f64 = 4000.0;
/// Steps in an octave.
const STEPS: i32 = 24;
/// Deepest build worth telling of, metres.
const DEEPEST_M: f64 = 1.5;
/// Steps of thickness and gap, metres.
const STEP_M: f64 = 0.01;

/// Below this frequency a build takes less than [`MIN_ABSORPTION`] of what falls straight on it, hertz;
/// `None` where it takes more down to the lowest looked at.
pub fn lower_limit_hz(build: &PorousAbsorber, air: &Air) -> Option<f64> {
    let takes = |hz: f64| MIN_ABSORPTION <= build.normal_incidence_at(hz, air);
    let step = |i: i32| FROM_HZ * (f64::from(i) / f64::from(STEPS)).exp2();
    let first = (0..8 * STEPS).map(step).find(|&hz| takes(hz));
    first.map_or(Some(TO_HZ), |hz| (FROM_HZ < hz).then_some(hz))
}

/// What would take [`MIN_ABSORPTION`] at a frequency, made of the outermost material of a build.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeeperBuild {
    /// So thick, right on the surface, metres; `None` where no thickness to 1.5 m does.
    pub thickness_m: Option<f64>,
    /// Or as thick as the build, before a gap of so much, metres; `None` where no gap to 1.5 m does.
    pub gap_m: Option<f64>,
}

/// What would reach down to a frequency; `None` for a build without a porous layer.
pub fn deeper_build_for(build: &PorousAbsorber, hz: f64, air: &Air) -> Option<DeeperBuild> {
    let resistivity = build.layers().iter().find_map(|layer| match layer {
        AbsorberLayer::Porous { flow_resistivity, .. } => Some(*flow_resistivity),
        AbsorberLayer::Air { .. } => None,
    })?;
    let solid_m: f64 = build
        .layers()
        .iter()
        .map(|layer| match layer {
            AbsorberLayer::Porous { thickness_m, .. } => *thickness_m,
            AbsorberLayer::Air { .. } => 0.0,
        })
        .sum();
    let takes = |thickness_m: f64, gap_m: f64| {
        let tried = PorousAbsorber::single(thickness_m, resistivity, gap_m);
        MIN_ABSORPTION <= tried.normal_incidence_at(hz, air)
    };
    let steps =
        || (1..).map(|i| f64::from(i) * STEP_M).take_while(|&metres| metres <= DEEPEST_M + 1e-9);
    Some(DeeperBuild {
        thickness_m: steps().find(|&thickness_m| takes(thickness_m, 0.0)),
        gap_m: steps().find(|&gap_m| takes(solid_m, gap_m)),
    })
}
