//! Effective frequency range of a porous build, and the build that would extend it downwards.

use crate::medium::air::Air;
use crate::medium::materials::{AbsorberLayer, PorousAbsorber};

/// Absorption coefficient at normal incidence below which a build is said to do next to nothing. Our
/// own measure.
pub const MIN_ABSORPTION: f64 = 0.2;
/// Range of the search for the lower limit, hertz.
const SEARCH_FROM_HZ: f64 = 16.0;
const SEARCH_TO_HZ: f64 = 4000.0;
/// Steps of that search in an octave.
const STEPS_PER_OCTAVE: i32 = 24;
/// Greatest thickness or air gap worth naming, metres.
const MAX_DEPTH_M: f64 = 1.5;
/// Steps of thickness and air gap, metres.
const STEP_M: f64 = 0.01;

/// Frequency in hertz below which a build has less than [`MIN_ABSORPTION`] at normal incidence; `None`
/// where it has more down to the lowest frequency searched.
pub fn lower_limit_hz(build: &PorousAbsorber, air: &Air) -> Option<f64> {
    let absorbs = |hz: f64| MIN_ABSORPTION <= build.normal_incidence_at(hz, air);
    let step = |i: i32| SEARCH_FROM_HZ * (f64::from(i) / f64::from(STEPS_PER_OCTAVE)).exp2();
    let first = (0..8 * STEPS_PER_OCTAVE).map(step).find(|&hz| absorbs(hz));
    first.map_or(Some(SEARCH_TO_HZ), |hz| (SEARCH_FROM_HZ < hz).then_some(hz))
}

/// Builds of the outermost material of another that have [`MIN_ABSORPTION`] at a frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeeperBuild {
    /// Least thickness right on the surface, metres; `None` where none up to 1.5 m does.
    pub thickness_m: Option<f64>,
    /// Least air gap behind the thickness of the build, metres; `None` where none up to 1.5 m does.
    pub gap_m: Option<f64>,
}

/// Deeper build that has [`MIN_ABSORPTION`] at a frequency in hertz; `None` for a build without a porous
/// layer.
pub fn deeper_build_for(build: &PorousAbsorber, hz: f64, air: &Air) -> Option<DeeperBuild> {
    let resistivity = build.layers().iter().find_map(|layer| match layer {
        AbsorberLayer::Porous { flow_resistivity, .. } => Some(*flow_resistivity),
        AbsorberLayer::Air { .. } => None,
    })?;
    let porous_m: f64 = build
        .layers()
        .iter()
        .map(|layer| match layer {
            AbsorberLayer::Porous { thickness_m, .. } => *thickness_m,
            AbsorberLayer::Air { .. } => 0.0,
        })
        .sum();
    let absorbs = |thickness_m: f64, gap_m: f64| {
        let candidate = PorousAbsorber::single(thickness_m, resistivity, gap_m);
        MIN_ABSORPTION <= candidate.normal_incidence_at(hz, air)
    };
    let depths_m =
        || (1..).map(|i| f64::from(i) * STEP_M).take_while(|&metres| metres <= MAX_DEPTH_M + 1e-9);
    Some(DeeperBuild {
        thickness_m: depths_m().find(|&thickness_m| absorbs(thickness_m, 0.0)),
        gap_m: depths_m().find(|&gap_m| absorbs(porous_m, gap_m)),
    })
}
