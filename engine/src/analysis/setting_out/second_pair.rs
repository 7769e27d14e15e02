//! A second pair of speakers at the seat of a first layout.

use super::first_layout::EARS_BEHIND_LINE_M;
use super::fit::{BASE_LEAST_M, CABLE_GAP_M, Clearance, Fit, SLACK_M};
use super::request::{FirstLayout, LayoutRequest};
use super::triangle;
use glam::DVec3;
use std::ops::RangeInclusive;

/// A second pair: with the apex of the first one it makes an equilateral triangle of its own, at the
/// same height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondPair {
    /// Reference point of the left speaker.
    pub left: DVec3,
    /// Reference point of the right speaker.
    pub right: DVec3,
    /// Distance between the reference points, metres.
    pub base_m: f64,
}

/// Places a second pair of the same cabinets at the seat of a layout: nearer than the first pair or
/// farther, on the same lines to the apex, the cabinets clear of each other and of the walls.
///
/// # Errors
/// The bases that fit, metres, the smaller ones first; none where there is no room.
pub fn second_pair(
    layout: &FirstLayout,
    request: &LayoutRequest,
    base_m: f64,
) -> Result<SecondPair, Vec<RangeInclusive<f64>>> {
    let bases_m = bases_m(layout, request);
    let fits = |bases: &RangeInclusive<f64>| {
        (bases.start() - SLACK_M..=bases.end() + SLACK_M).contains(&base_m)
    };
    if !bases_m.iter().any(fits) {
        return Err(bases_m);
    }
    let line_m = layout.apex.x - triangle::depth_m(base_m);
    let speaker =
        |side: f64| DVec3::new(line_m, layout.apex.y + side * 0.5 * base_m, layout.left.z);
    Ok(SecondPair { left: speaker(-1.0), right: speaker(1.0), base_m })
}

/// The bases that fit, metres.
fn bases_m(layout: &FirstLayout, request: &LayoutRequest) -> Vec<RangeInclusive<f64>> {
    let fit = Fit {
        room: layout.room,
        clearance: Clearance::of(&request.cabinet, request.spacing_m, request.reference),
        converge_m: request.converge_m,
        units: request.units,
    };
    // From a speaker to the apex it is as far as from one to the other.
    let apart_m = request.cabinet.depth_m + CABLE_GAP_M;
    let least_m = triangle::base_m(request.converge_m + EARS_BEHIND_LINE_M).max(BASE_LEAST_M);
    let most_m = fit.largest_base_m(layout.seat.x);
    let nearer = least_m..=layout.base_m - apart_m;
    let farther = (layout.base_m + apart_m).max(least_m)..=most_m;
    [nearer, farther].into_iter().filter(|bases| bases.start() <= bases.end()).collect()
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::super::{EarLevel, first_layout};
    use super::*;
    use crate::medium::directivity::{Cabinet, ReferencePoint};
    use crate::scene::{Room, Units};

    const REQUEST: LayoutRequest = LayoutRequest {
        room: Room { length_m: 5.1, width_m: 3.6, height_m: 2.5 },
        across: false,
        seated_m: None,
        standing_m: None,
        base_m: None,
        seat_m: None,
        converge_m: 0.0,
        level: EarLevel::Seated,
        cabinet: Cabinet { height_m: 0.34, width_m: 0.22, depth_m: 0.27 },
        spacing_m: 0.17,
        reference: ReferencePoint::Between,
        units: Units::Metric,
    };

    /// By hand: the ears at 38 % of 5.1 m, 1.938 m; the base of the first pair 1.5 m. A second one 32 cm
    /// nearer or farther along the lines to the ears fits, to the front wall at (1.938 − 0.3388)·2/√3.
    #[test]
    fn a_second_pair_stands_clear_of_the_first() {
        let layout = first_layout(&REQUEST).unwrap();
        let fits = second_pair(&layout, &REQUEST, 1.4).unwrap_err();
        let ends: Vec<f64> = fits.iter().flat_map(|fits| [*fits.start(), *fits.end()]).collect();
        for (found, by_hand) in ends.iter().zip([0.6, 1.18, 1.82, 1.8466]) {
            assert!((found - by_hand).abs() < 1e-3, "{ends:?}");
        }
        assert_eq!(ends.len(), 4);
        for base_m in [0.6, 1.18, 1.82] {
            let pair = second_pair(&layout, &REQUEST, base_m).unwrap();
            for at in [pair.left, pair.right] {
                assert!((at.distance(layout.seat) - base_m).abs() < 1e-12);
            }
        }
        assert!(second_pair(&layout, &REQUEST, 1.19).is_err());
    }
}
