//! What the room and its panels do to the bass, whatever the seat, in the document of `bass`.

use super::round;
use crate::content::wave_field::Reach;
use earline_engine::wave_field::{ModalSpacing, SPACING_LIMIT_HZ, ThirdOctave};
use serde::Serialize;

/// How modes are spaced, by published rules.
#[derive(Debug, Serialize)]
pub(super) struct SpacingOut {
    to_hz: f64,
    thirds: Vec<ThirdOut>,
    counts_never_fall: bool,
    coinciding_hz: Vec<f64>,
    axial_closer_than_5_hz: Vec<[f64; 2]>,
    axial_farther_than_20_hz: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct ThirdOut {
    hz: f64,
    modes: usize,
}

/// How far down a build on the surfaces reaches.
#[derive(Debug, Serialize)]
pub(super) struct BuildOut {
    material: String,
    next_to_nothing_below_hz: Option<f64>,
    target_hz: Option<f64>,
    thickness_for_target_m: Option<f64>,
    gap_for_target_m: Option<f64>,
}

impl SpacingOut {
    pub(super) fn new(found: ModalSpacing) -> Self {
        let both =
            |pairs: Vec<[f64; 2]>| pairs.into_iter().map(|two| two.map(round::hertz)).collect();
        let third =
            |third: &ThirdOctave| ThirdOut { hz: round::hertz(third.hz), modes: third.modes };
        let at = |place: &usize| found.thirds.get(*place).map(|third| round::hertz(third.hz));
        Self {
            to_hz: SPACING_LIMIT_HZ,
            thirds: found.thirds.iter().map(third).collect(),
            counts_never_fall: found.monotonic,
            coinciding_hz: found.coincident.iter().filter_map(at).collect(),
            axial_closer_than_5_hz: both(found.too_close),
            axial_farther_than_20_hz: both(found.too_far_apart),
        }
    }
}

impl BuildOut {
    pub(super) fn new(reach: &Reach<'_>) -> Self {
        let farther = reach.farther;
        Self {
            material: reach.name.to_owned(),
            next_to_nothing_below_hz: reach.down_to_hz.map(round::hertz),
            target_hz: farther.map(|(hz, _)| round::hertz(hz)),
            thickness_for_target_m: farther.and_then(|(_, f)| f.thickness_m).map(round::metres),
            gap_for_target_m: farther.and_then(|(_, f)| f.gap_m).map(round::metres),
        }
    }
}
