//! Spacing of modes and reach of porous builds, whatever the seat, in the document of `bass`.

use super::round::{Hertz, Metres, hertz, metres};
use crate::content::wave_field::Reach;
use earline_engine::wave_field::{ModalSpacing, SPACING_LIMIT_HZ, ThirdOctave};
use schemars::JsonSchema;
use serde::Serialize;

/// Spacing of the modes, by published rules.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct ModeSpacing {
    /// Highest frequency of the modes that are counted.
    to_hz: f64,
    /// Modes in each third of an octave.
    thirds: Vec<ModeCount>,
    /// Whether no third of an octave has fewer modes than the one below.
    counts_never_fall: bool,
    /// Thirds of an octave in which modes coincide without enough others about them.
    coinciding_hz: Vec<Hertz>,
    axial_closer_than_5_hz: Vec<[Hertz; 2]>,
    axial_farther_than_20_hz: Vec<[Hertz; 2]>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ModeCount {
    hz: Hertz,
    modes: usize,
}

/// Reach of a porous build toward low frequencies.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct BuildReach {
    material: String,
    /// Frequency below which it takes next to nothing; null where it takes something all the way
    /// down.
    next_to_nothing_below_hz: Option<Hertz>,
    /// Largest peak or dip below that; null where there is none.
    target_hz: Option<Hertz>,
    /// Thickness that would reach it; null where none does, or without a target.
    thickness_for_target_m: Option<Metres>,
    /// Gap that would reach it; null where none does, or without a target.
    gap_for_target_m: Option<Metres>,
}

impl ModeSpacing {
    pub(super) fn new(found: ModalSpacing) -> Self {
        let pairs = |pairs: Vec<[f64; 2]>| pairs.into_iter().map(|two| two.map(hertz)).collect();
        let count = |third: &ThirdOctave| ModeCount { hz: hertz(third.hz), modes: third.modes };
        let third_hz = |index: &usize| found.thirds.get(*index).map(|third| hertz(third.hz));
        Self {
            to_hz: SPACING_LIMIT_HZ,
            thirds: found.thirds.iter().map(count).collect(),
            counts_never_fall: found.monotonic,
            coinciding_hz: found.coincident.iter().filter_map(third_hz).collect(),
            axial_closer_than_5_hz: pairs(found.too_close),
            axial_farther_than_20_hz: pairs(found.too_far_apart),
        }
    }
}

impl BuildReach {
    pub(super) fn new(reach: &Reach<'_>) -> Self {
        let farther = reach.farther;
        Self {
            material: reach.name.to_owned(),
            next_to_nothing_below_hz: reach.down_to_hz.map(hertz),
            target_hz: farther.map(|(hz, _)| hertz(hz)),
            thickness_for_target_m: farther.and_then(|(_, f)| f.thickness_m).map(metres),
            gap_for_target_m: farther.and_then(|(_, f)| f.gap_m).map(metres),
        }
    }
}
