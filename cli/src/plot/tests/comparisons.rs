//! Pictures of a comparison.

#![expect(clippy::unwrap_used, reason = "a test may stop")]

use super::{rooms, says};
use crate::canvas::{Drawing, typeface};
use crate::plot::data::input::{self, Input};
use crate::plot::sheet::path_list;
use crate::plot::{ShownState, elevations, overlay, plans};
use earline_engine::scene::Surface;

/// Every kind of picture of a comparison.
pub(super) fn compared(states: &[ShownState]) -> Vec<Drawing> {
    let flat = Surface::ALL.map(|on| elevations(states, on));
    [overlay(states), plans(states)].into_iter().chain(flat).collect()
}

/// A room without and with what hangs in it, at another seat, and more states than a sheet holds.
pub(super) fn states<'a>(input: &Input<'a>) -> Vec<ShownState<'a>> {
    let mut bare = input.clone();
    bare.panels.clear();
    bare.screens.clear();
    let mut quieter = input.clone();
    for path in &mut quieter.paths {
        path.level_db -= 6.0;
    }
    let mut standing = bare.clone();
    standing.listener.name = "standing".to_owned();
    standing.listener.at.z += 0.4;
    let states = [bare, quieter, standing, input.clone()];
    let named = |(index, input): (usize, &Input<'a>)| ShownState {
        name: format!("state {index}, with a name that does not end"),
        input: input.clone(),
    };
    states.iter().cycle().take(8).enumerate().map(named).collect()
}

/// The plans of a comparison give every first bounce its number, and its level in both states.
#[test]
fn a_comparison_says_both_levels() {
    let two = &states(&rooms::cupboard())[..2];
    let drawing = plans(two);
    for path in two[0].input.paths.iter().filter(|path| path.order() == 1) {
        assert!(says(&drawing, &path.tag));
        for level_db in [path.level_db, path.level_db - 6.0] {
            assert!(says(&drawing, &path_list::decibels(level_db)), "{level_db}");
        }
    }
    let all = states(&rooms::cupboard());
    assert!(says(&plans(&all), "and 4 more states, in comparison.csv"));
    assert!(compared(&[]).iter().all(|drawing| drawing.png().is_ok()));
}

/// Every state has its name over its wall and in the list, with the share of its zones that
/// absorbs; where the zones are is told once, for seat and speakers are the same. What hangs has the
/// same letter as on the plans.
#[test]
fn a_wall_is_seen_in_every_state() {
    let mut shown = states(&rooms::attic());
    shown.truncate(2);
    for (state, (name, share)) in shown.iter_mut().zip([("bare", 0.0), ("hung", 0.38)]) {
        name.clone_into(&mut state.name);
        for face in &mut state.input.zones.as_mut().unwrap().faces {
            let verdict = earline_engine::analysis::zones::CoverageClass::of(share);
            face.cover = input::Cover { share, verdict };
        }
    }
    let drawing = elevations(&shown, Surface::Left);
    assert_eq!(drawing.name(), "compare-elevation-left");
    let count = |what: &str| {
        let all = typeface::all(&drawing.items);
        all.iter().filter(|text| text.content.contains(what)).count()
    };
    assert_eq!([count("bare"), count("hung")], [2, 2]);
    assert_eq!([count("not covered"), count("half covered: 38 %")], [2, 1]);
    assert_eq!(count("0.66 to 1.74 m up"), 1);
    let panel = &shown[1].input.panels[0];
    assert_eq!(panel.letter, "A");
    assert!(says(&drawing, "A") && says(&plans(&shown), "A"));
}

/// A surface that is the same in several states is drawn once for them, under all their names.
#[test]
fn a_surface_that_does_not_change_is_drawn_once() {
    let mut shown = states(&rooms::attic());
    shown.truncate(2);
    for (state, name) in shown.iter_mut().zip(["bare", "hung"]) {
        name.clone_into(&mut state.name);
    }
    shown[1].input.paths = shown[0].input.paths.clone();
    let front = elevations(&shown, Surface::Front);
    assert!(says(&front, "in both states") && !says(&front, "bare"));
    let left = elevations(&shown, Surface::Left);
    assert!(says(&left, "bare") && says(&left, "hung"));
}
