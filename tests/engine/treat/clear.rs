//! Places that are tried, and what must stay clear of them.

use super::{BOARDS, PAIR, holds, plan, room};
use crate::fixtures::cases;
use earline_engine::analysis::zones::{ZonePlan, zones};
use earline_engine::explore::treatment::{
    PlacedAbsorber, TreatmentError, TreatmentPlan, TreatmentSearch, reach_m,
};
use earline_engine::scene::{NoAttachments, Surface};
use glam::DVec3;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use std::cell::Cell;
use std::fmt::Write;

fn clear() -> impl Strategy<Value = (usize, [f64; 2], [f64; 2])> {
    let part = || prop::array::uniform2(0.05..0.6f64);
    (0..6usize, prop::array::uniform2(0.0..1.0f64), part())
}

/// No place that is tried covers what must stay clear, reaches past its surface, or is inside
/// furniture; so nothing that is chosen does.
#[test]
fn what_must_stay_clear_is_never_covered() {
    let clears = (prop::collection::vec(clear(), 1..5), any::<bool>());
    let tried = Cell::new(0);
    TestRunner::new(cases(48))
        .run(&clears, |(clears, allow_asymmetric)| {
            let size = DVec3::new(4.2, 3.6, 2.4);
            let mut more = format!("{BOARDS}{CLOUD}{RACK}");
            let mut kept = Vec::new();
            for (index, (on, at, part)) in clears.into_iter().enumerate() {
                let on = Surface::ALL[on];
                let lengths = on.tape_axes().map(|axis| size[axis]);
                let size_m: [f64; 2] = std::array::from_fn(|axis| part[axis] * lengths[axis]);
                let centre_m: [f64; 2] = std::array::from_fn(|axis| {
                    size_m[axis] / 2.0 + at[axis] * (lengths[axis] - size_m[axis])
                });
                let _ = write!(
                    more,
                    "[[keep_clear]]\nname = \"clear {index}\"\non = \"{}\"\ncentre = {centre_m:?}\nsize = {size_m:?}\n",
                    on.name()
                );
                kept.push((on, centre_m, size_m));
            }
            let scene = room(PAIR, &more);
            let plan = TreatmentPlan { allow_asymmetric, ..plan(&scene) };
            let search = match TreatmentSearch::new(&scene, None, &NoAttachments, &plan, &|_| {}) {
                Ok(search) => search,
                Err(TreatmentError::NowhereFree { .. }) => return Ok(()),
                Err(other) => panic!("{other}"),
            };
            for piece in search.candidates().iter().flat_map(|m| &m.pieces) {
                assert_is_clear(piece, &kept, size);
                tried.set(tried.get() + 1);
            }
            Ok(())
        })
        .unwrap();
    assert!(tried.get() >= 2000, "{}", tried.get());
}

const CLOUD: &str = "[[absorber]]\nname = \"cloud\"\nsize = [1.2, 0.8]\nmaterial = \"wool\"\n\
                     on = [\"ceiling\"]\nhang = 0.25\n";
/// Stands at the left wall.
const RACK: &str = "[[furniture]]\nname = \"rack\"\ncorner = [1.0, 0.0, 0.0]\n\
                    size = [0.6, 0.5, 1.3]\nmaterial = \"bare\"\n";

fn assert_is_clear(
    piece: &PlacedAbsorber,
    kept: &[(Surface, [f64; 2], [f64; 2])],
    room_size: DVec3,
) {
    let [low, high] = reach_m(piece.centre_m, piece.size_m);
    for (on, centre_m, size_m) in kept {
        let [from, to] = reach_m(*centre_m, *size_m);
        let shared = |axis: usize| high[axis].min(to[axis]) - low[axis].max(from[axis]);
        assert!(piece.on != *on || (0..2).any(|axis| shared(axis) < 2e-6));
    }
    for axis in 0..2 {
        let length = room_size[piece.on.tape_axes()[axis]];
        assert!(low[axis] > -2e-6 && high[axis] < length + 2e-6);
    }
    if piece.on == Surface::Left {
        let over_rack = low[0] < 1.6 - 2e-6 && 1.0 + 2e-6 < high[0] && low[1] < 1.3 - 2e-6;
        assert!(!over_rack, "{piece:?}");
    }
}

/// The places come from the zones: the mirror points themselves are among them.
#[test]
fn zones_lie_under_the_places_tried() {
    let scene = room(PAIR, BOARDS);
    let plan = plan(&scene);
    let search = TreatmentSearch::new(&scene, None, &NoAttachments, &plan, &|_| {}).unwrap();
    let state = scene.variant(None).unwrap();
    let zone_plan = ZonePlan {
        speakers: plan.speakers.clone(),
        listeners: plan.listeners.clone(),
        head_half_m: plan.head_half_m,
        frequency_hz: plan.frequency_hz,
    };
    let seats = zones(&scene, &state, &zone_plan).unwrap();
    for surface in seats[0].surfaces.iter().filter(|s| s.surface != Surface::Floor) {
        for zone in &surface.speakers {
            let point = surface.surface.tape(zone.point);
            let tried = search.candidates().iter().flat_map(|m| &m.pieces);
            let mut near = tried.filter(|piece| holds(piece, surface.surface, point));
            assert!(near.next().is_some(), "{:?} {point:?}", surface.surface);
        }
    }
}
