//! The search for a layout: cases whose best is known, and what no layout may do.

use crate::fixtures::{BoxRoom, FIRST_LISTENER, FIRST_PAIR, cases, open_but, parsed};
use earline_engine::analysis::setting_out::triangle_depth_m;
use earline_engine::explore::placement::{
    Bounds, Layout, LengthRange, PARAMETERS, Parameter, PlacementError, PlacementPlan,
    SearchResult, Weights, optimize_placement,
};
use earline_engine::metrics::criteria::EARLY_LIMITS;
use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::wave_field::{WaveFieldRequest, solve_wave_field};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use std::cell::Cell;

const SIZE: [f64; 3] = [5.8, 4.1, 2.6];

/// A pair of even speakers in a room of which the named surfaces reflect everything, no air
/// attenuation; more of a scene may follow.
fn scene(size: [f64; 3], hard: &[&str], more: &str) -> Scene {
    parsed(&scene_text(size, hard, more))
}

fn scene_text(size: [f64; 3], hard: &[&str], more: &str) -> String {
    let [length, width, height] = size;
    let (seat, base, middle, up) =
        (0.4 * length, (0.35 * width).min(0.3 * length), width / 2.0, 0.45 * height);
    let front = seat - triangle_depth_m(base);
    let pair = [-0.5, 0.5].map(|part| [front, middle + part * base, up]);
    let room = BoxRoom::new(size, open_but(hard)).pair(pair, "{ kind = \"omni\" }");
    room.listener("seat", [seat, middle, up]).with(more).text()
}

const NOTHING: Weights = Weights { early: 0.0, sides: 0.0, bass: 0.0, start: 0.0 };

fn plan(scene: &Scene, weights: Weights) -> PlacementPlan<'static> {
    let layout = Layout::of(scene, FIRST_PAIR, FIRST_LISTENER).unwrap();
    PlacementPlan {
        variant: None,
        pair: FIRST_PAIR,
        listeners: vec![FIRST_LISTENER],
        moving_furniture: Vec::new(),
        bounds: Bounds::around(scene, &layout, &[FIRST_LISTENER]),
        equilateral: true,
        weights,
        limit: &EARLY_LIMITS[0],
        layouts: 300,
        seed: 7,
    }
}

fn search(scene: &Scene, plan: &PlacementPlan<'_>) -> Result<SearchResult, PlacementError> {
    optimize_placement(scene, &NoAttachments, plan, &|| true, &|_| {})
}

/// A layout taken from a scene and put back leaves it as it was.
#[test]
fn a_layout_goes_in_and_out_of_a_scene() {
    let scene = scene(SIZE, &["left"], "");
    let plan = plan(&scene, NOTHING);
    let layout = Layout::of(&scene, FIRST_PAIR, FIRST_LISTENER).unwrap();
    assert!(layout.triangle_error_m().abs() < 1e-9 && layout.converge_m.abs() < 1e-9);
    let again = layout.in_scene(&scene, &NoAttachments, &plan).unwrap();
    for (before, after) in scene.speakers().iter().zip(again.speakers()) {
        // Files hold a thousandth of a millimetre.
        assert!(before.at.distance(after.at) < 2e-6 && before.axis.distance(after.axis) < 2e-6);
    }
    let read = Layout::of(&again, FIRST_PAIR, FIRST_LISTENER).unwrap();
    for parameter in PARAMETERS {
        assert!((read.get(parameter) - layout.get(parameter)).abs() < 2e-6);
    }
}

/// In the open nothing is uneven, and only the way from where the trade begins counts.
#[test]
fn in_the_open_only_the_start_counts() {
    let scene = scene(SIZE, &[], "");
    let found = search(&scene, &plan(&scene, Weights { start: 1.0, ..NOTHING })).unwrap();
    let best = &found.best[0];
    // 38 % of the length (common practice, no source).
    assert!((best.layout.seat_m - 0.38 * SIZE[0]).abs() < 0.005, "{:?}", best.layout);
    assert!(best.objective.cost_db < 0.02);
    for seat in &best.objective.seats {
        assert!(seat.early_db < 1e-9 && seat.asymmetry_db < 1e-9);
        // Walls that take all at random incidence give −13 dB back straight on: (1.567 − 1)/(1.567 + 1).
        assert!(seat.bass_db < 2.5, "{seat:?}");
    }
}

/// A triangle that may open closes again when only that counts: its depth is base · √3/2.
#[test]
fn an_open_triangle_closes() {
    let scene = scene(SIZE, &[], "");
    let weights = Weights { start: 1.0, ..NOTHING };
    let open = PlacementPlan { equilateral: false, layouts: 900, ..plan(&scene, weights) };
    let best = search(&scene, &open).unwrap().best[0].clone();
    let depth = best.layout.seat_m + best.layout.converge_m - best.layout.speaker_distance_m;
    assert!((depth - triangle_depth_m(best.layout.base_m)).abs() < 0.03, "{:?}", best.layout);
}

/// Between two like walls left and right are alike on the centre line and nowhere else.
#[test]
fn like_walls_put_the_pair_in_the_middle() {
    let scene = scene(SIZE, &["left", "right"], "");
    let mut plan = plan(&scene, Weights { sides: 1.0, ..NOTHING });
    plan.bounds.set(Parameter::Axis, LengthRange { low_m: 1.6, high_m: 2.7 });
    for held in [Parameter::Seat, Parameter::Base, Parameter::Converge] {
        let metres = Layout::of(&scene, FIRST_PAIR, FIRST_LISTENER).unwrap().get(held);
        plan.bounds.set(held, LengthRange::held(metres));
    }
    let best = search(&scene, &plan).unwrap().best[0].clone();
    assert!((best.layout.axis_m - SIZE[1] / 2.0).abs() < 0.01, "{:?}", best.layout);
}

/// One hard wall on the left, everything else open: the pair goes away from it. With the triangle held
/// the reflections are 20·lg(d/d′), by mirror images (Allen and Berkley 1979).
#[test]
fn a_hard_wall_pushes_the_pair_away() {
    let scene = scene(SIZE, &["left"], "");
    let mut plan = plan(&scene, Weights { early: 1.0, ..NOTHING });
    let start = Layout::of(&scene, FIRST_PAIR, FIRST_LISTENER).unwrap();
    for held in [Parameter::Seat, Parameter::Base, Parameter::Converge] {
        plan.bounds.set(held, LengthRange::held(start.get(held)));
    }
    plan.bounds.set(Parameter::Axis, LengthRange { low_m: 1.6, high_m: 2.3 });
    let over = |axis_m: f64| {
        let deep = start.seat_m - start.speaker_distance_m;
        let side = |part: f64| {
            let y = axis_m + part * start.base_m;
            let (direct, mirrored) = (deep.hypot(y - axis_m), deep.hypot(y + axis_m));
            let is_early = (mirrored - direct) / 343.2 <= 0.015;
            let level = 20.0 * (direct / mirrored).log10();
            if is_early { (level + 10.0).max(0.0) } else { 0.0 }
        };
        f64::midpoint(side(-0.5), side(0.5))
    };
    let found = search(&scene, &plan).unwrap();
    let best = &found.best[0];
    assert!((best.layout.axis_m - 2.3).abs() < 0.01, "{:?}", best.layout);
    assert!((best.objective.early_db() - over(best.layout.axis_m)).abs() < 0.02);
    let begun = found.start.unwrap();
    assert!((begun.objective.early_db() - over(SIZE[1] / 2.0)).abs() < 0.02);
}

/// A hard wall behind the speakers: the bass term is the standard deviation of what the wave field gives,
/// worked out here on its own, and the deepest dip is that of the one mirror image.
#[test]
fn bass_is_as_uneven_as_the_wave_field() {
    let scene = scene(SIZE, &["front"], "");
    let found = search(&scene, &plan(&scene, Weights { bass: 1.0, ..NOTHING })).unwrap();
    let start = found.start.unwrap();
    let layout = start.layout;
    let half = layout.base_m / 2.0;
    let direct = (layout.seat_m - layout.speaker_distance_m).hypot(half);
    let mirrored = (layout.seat_m + layout.speaker_distance_m).hypot(half);
    let c = scene.air().speed_of_sound_m_s();
    // What the bass solution says of both together, every twelfth of an octave, its straight line over
    // log frequency taken off by the textbook's normal equations.
    let state = scene.variant(None).unwrap();
    let hz: Vec<f64> =
        (0..33).map(|i| 30.0 * (f64::from(i) / 12.0).exp2()).filter(|hz| *hz <= 200.0).collect();
    let plan_of_bass = WaveFieldRequest {
        speakers: FIRST_PAIR.to_vec(),
        listeners: vec![FIRST_LISTENER],
        hz: hz.clone(),
        head_half_m: 0.0,
        curves_to_hz: None,
    };
    let level = solve_wave_field(&scene, &state, &plan_of_bass, &()).unwrap().coherent_sums[0]
        .level_db
        .clone();
    let points: Vec<[f64; 2]> = hz.iter().zip(&level).map(|(hz, db)| [hz.ln(), *db]).collect();
    let n = points.len() as f64;
    let mean = |of: &dyn Fn(&[f64; 2]) -> f64| points.iter().map(of).sum::<f64>() / n;
    let (x, y) = (mean(&|p| p[0]), mean(&|p| p[1]));
    let slope = mean(&|p| (p[0] - x) * (p[1] - y)) / mean(&|p| (p[0] - x).powi(2));
    let exact = mean(&|p| (p[1] - y - slope * (p[0] - x)).powi(2)).sqrt();
    let bass = start.objective.bass_db();
    assert!((bass - exact).abs() < 1e-6, "{bass} {exact}");
    // The start is among those tried; to whole millimetres it differs by next to nothing.
    assert!(found.best[0].objective.bass_db() <= bass + 0.02);
    // Its deepest dip is where the mirror image is half a wave late: c/(2Δ), odd multiples of it
    // farther up, and 1 − d/d′ of the direct sound is left.
    let dip = start.objective.seats[0].dip.unwrap();
    let nulls = (0..).map(|n| f64::from(2 * n + 1) * c / (2.0 * (mirrored - direct)));
    let null = nulls.take_while(|hz| *hz < 300.0).find(|hz| (hz / dip.hz - 1.0).abs() < 0.01);
    assert!(null.is_some(), "{dip:?}");
    assert!((dip.level_db - 20.0 * (1.0 - direct / mirrored).log10()).abs() < 0.1, "{dip:?}");
}

#[test]
fn equal_at_any_number_of_threads() {
    let scene = scene(SIZE, &["left", "floor"], "");
    let plan = plan(&scene, Weights::default());
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| search(&scene, &plan).unwrap())
    };
    let one = on(1);
    assert_eq!(one, on(2));
    assert_eq!(one, on(3));
    assert!(one.traced + one.rejected <= 301);
}

#[test]
fn what_is_stopped_keeps_its_best() {
    let scene = scene(SIZE, &["left"], "");
    let asked = std::sync::atomic::AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, std::sync::atomic::Ordering::Relaxed) < 2;
    let plan = plan(&scene, Weights::default());
    let found = optimize_placement(&scene, &NoAttachments, &plan, &go_on, &|_| {}).unwrap();
    assert!(found.interrupted && !found.best.is_empty());
    assert!(found.traced < 100, "{}", found.traced);
}

/// Stopped before the first layout: there is nothing to give, and no bound is to blame.
#[test]
fn what_is_stopped_at_once_has_nothing() {
    let scene = scene(SIZE, &["left"], "");
    let mut plan = plan(&scene, Weights::default());
    // The layout the scene has is not one of those searched.
    plan.bounds.set(Parameter::Seat, LengthRange { low_m: 2.6, high_m: 2.8 });
    let wrong = optimize_placement(&scene, &NoAttachments, &plan, &|| false, &|_| {}).unwrap_err();
    assert_eq!(wrong, PlacementError::Stopped);
}

/// What is given can be marked with a tape, and says where a bound held it.
#[test]
fn layouts_have_whole_millimetres() {
    let scene = scene(SIZE, &["left", "right", "floor"], "");
    let plan = plan(&scene, Weights::default());
    let found = search(&scene, &plan).unwrap();
    assert_eq!(found.sensitivities_db.len(), found.best.len());
    assert!(found.sensitivities_db.iter().all(|slip_db| (0.0..20.0).contains(slip_db)));
    for one in &found.best {
        let Layout { seat_m, base_m, speaker_distance_m, converge_m, .. } = one.layout;
        for metres in [seat_m, base_m / 2.0, speaker_distance_m, converge_m] {
            assert!((metres * 1e3 - (metres * 1e3).round()).abs() < 1e-6, "{:?}", one.layout);
        }
        for at_end in plan.bounds.at_ends(&one.layout, true) {
            let LengthRange { low_m, high_m } = plan.bounds.get(at_end);
            let metres = one.layout.get(at_end);
            assert!((metres - low_m).min(high_m - metres) < 0.002);
        }
    }
    // Nothing but the tie-break: free of every bound.
    let weights = Weights { start: 1.0, ..NOTHING };
    let best = search(&scene, &PlacementPlan { weights, ..plan.clone() }).unwrap().best[0].clone();
    assert!(!plan.bounds.at_ends(&best.layout, true).contains(&Parameter::Seat));
}

/// What there is now is judged as it stands, also where it is not symmetric.
#[test]
fn the_start_is_judged_as_it_stands() {
    let skew = scene_text(SIZE, &["left"], "").replace(
        "[[listener]]\nname = \"seat\"\nat = [2.32, 2.05,",
        "[[listener]]\nname = \"seat\"\nat = [2.32, 2.15,",
    );
    let skew = parsed(&skew);
    let layout = Layout::of(&skew, FIRST_PAIR, FIRST_LISTENER).unwrap();
    assert!((layout.off_m(&skew, FIRST_PAIR, FIRST_LISTENER).unwrap() - 0.1).abs() < 1e-9);
    let start = search(&skew, &plan(&skew, Weights::default())).unwrap().start.unwrap();
    // The way from left and from right differ, by Pythagoras: 1 dB for 50 µs.
    let [left, right] = [0, 1].map(|i| skew.speakers()[i].at.distance(skew.listeners()[0].at));
    let delay_db = (left - right).abs() / skew.air().speed_of_sound_m_s() / 50e-6;
    assert!(delay_db < start.objective.asymmetry_db(), "{delay_db} {:?}", start.objective);
}

/// A cabinet stays clear of a keep-out however narrow, of other cabinets and of walls.
#[test]
fn cabinets_need_their_room() {
    let cabinets = |more: &str| {
        let two_way = "directivity = { kind = \"two-way\", woofer = 0.165, tweeter = 0.025, spacing = 0.17, \
                       crossover_hz = 2200, cabinet = [0.34, 0.22, 0.27] }";
        parsed(&scene_text(SIZE, &[], more).replace("directivity = { kind = \"omni\" }", two_way))
    };
    let free = cabinets("");
    let layout = Layout::of(&free, FIRST_PAIR, FIRST_LISTENER).unwrap();
    let refusal = |scene: &Scene, layout: &Layout| {
        layout.in_scene(scene, &NoAttachments, &plan(scene, NOTHING)).err().unwrap_or_default()
    };
    assert_eq!(refusal(&free, &layout), "");
    // A centimetre wide, behind the left reference point and off every corner of the cabinet.
    let left = free.speakers()[0].at;
    let slot = cabinets(&format!(
        "[[keep_out]]\nname = \"slot\"\ncorner = [{:?}, {:?}]\nsize = [0.01, 0.01]\n",
        left.x - 0.1,
        left.y - 0.03
    ));
    assert!(refusal(&slot, &layout).contains("stand in `slot`"));
    // Two cabinets of 22 cm do not go in a base of 15 cm.
    let narrow = Layout { base_m: 0.15, ..layout };
    assert!(refusal(&free, &narrow).contains("would stand in"), "{}", refusal(&free, &narrow));
    // 27 cm deep: not 10 cm from the wall.
    let near = Layout { speaker_distance_m: 0.1, ..layout };
    assert!(refusal(&free, &near).contains("wall"), "{}", refusal(&free, &near));
}

#[test]
fn impossible_wishes_say_so() {
    let everywhere = "[[keep_out]]\nname = \"hole\"\ncorner = [0, 0]\nsize = [5.8, 4.1]\n";
    let barred = scene(SIZE, &[], everywhere);
    let wrong = search(&barred, &plan(&barred, Weights::default())).unwrap_err();
    assert!(
        matches!(&wrong, PlacementError::NothingFits { why, .. } if why.contains("hole")),
        "{wrong}"
    );
    let open = scene(SIZE, &[], "");
    let mut held = plan(&open, Weights::default());
    for parameter in PARAMETERS {
        held.bounds.set(parameter, LengthRange::held(1.0));
    }
    assert_eq!(search(&open, &held).unwrap_err(), PlacementError::NothingFree);
    let mut wide = plan(&open, Weights::default());
    wide.bounds.set(Parameter::Base, LengthRange { low_m: 4.2, high_m: 6.0 });
    let wrong = search(&open, &wide).unwrap_err();
    assert!(
        matches!(&wrong, PlacementError::NothingFits { why, .. } if why.contains("triangle")),
        "{wrong}"
    );
}

/// A desk that moves along keeps its place before the seat.
#[test]
fn a_desk_moves_with_the_seat() {
    let desk = "[[furniture]]\nname = \"desk\"\ncorner = [1.3, 1.3, 0.7]\nsize = [0.6, 1.5, 0.04]\nmaterial = \"floor skin\"\n";
    let scene = scene(SIZE, &[], desk);
    let plan = PlacementPlan { moving_furniture: vec![0], ..plan(&scene, Weights::default()) };
    let mut layout = Layout::of(&scene, FIRST_PAIR, FIRST_LISTENER).unwrap();
    layout.seat_m += 0.2;
    layout.close_triangle();
    let moved = layout.in_scene(&scene, &NoAttachments, &plan).unwrap();
    let ahead = |scene: &Scene| scene.listeners()[0].at.x - scene.furniture()[0].corner.x;
    assert!((ahead(&moved) - ahead(&scene)).abs() < 1e-9);
    // Sitting in the middle of a desk is refused, on a sofa it is not.
    layout.seat_m = 1.6;
    layout.speaker_distance_m = 0.5;
    let still = PlacementPlan { moving_furniture: Vec::new(), ..plan };
    let wrong = layout.in_scene(&scene, &NoAttachments, &still).unwrap_err();
    assert!(wrong.contains("desk"), "{wrong}");
}

/// No layout given leaves the room, its bounds, or enters a keep-out.
#[test]
fn no_layout_breaks_a_rule() {
    let rooms = (
        prop::array::uniform3(0.0f64..1.0),
        prop::array::uniform2(0.0f64..0.6),
        prop::array::uniform2(0.1f64..0.4),
        any::<u32>(),
    );
    let given = Cell::new(0);
    TestRunner::new(cases(12))
        .run(&rooms, |(size, corner, side, seed)| {
            let size = [3.2 + 4.0 * size[0], 2.6 + 2.0 * size[1], 2.3 + size[2]];
            let [corner, side] =
                [corner, side].map(|share| [share[0] * size[0], share[1] * size[1]]);
            let keep_out =
                format!("[[keep_out]]\nname = \"door\"\ncorner = {corner:?}\nsize = {side:?}\n");
            let scene = scene(size, &["left", "right", "front"], &keep_out);
            let plan = PlacementPlan { layouts: 60, seed, ..plan(&scene, Weights::default()) };
            // A keep-out may leave no place at all.
            let Ok(found) = search(&scene, &plan) else { return Ok(()) };
            prop_assert!(!found.best.is_empty());
            let sums: Vec<f64> = found.best.iter().map(|one| one.objective.cost_db).collect();
            prop_assert!(sums.windows(2).all(|pair| pair[0] <= pair[1]));
            for one in &found.best {
                assert_rules(&scene, &plan, &one.layout);
            }
            given.set(given.get() + found.best.len());
            Ok(())
        })
        .unwrap();
    assert!(given.get() >= 30, "{}", given.get());
}

fn assert_rules(scene: &Scene, plan: &PlacementPlan<'_>, layout: &Layout) {
    let moved = layout.in_scene(scene, &NoAttachments, plan).unwrap();
    for at in moved.speakers().iter().map(|s| s.at).chain([moved.listeners()[0].at]) {
        assert!(!moved.keep_outs()[0].holds([at.x, at.y]));
        assert!(0.0 < at.min_element() && (moved.room().size() - at).min_element() > 0.0);
    }
    for parameter in PARAMETERS.into_iter().filter(|&p| p != Parameter::Front) {
        assert!(plan.bounds.get(parameter).holds(layout.get(parameter)));
    }
    assert!(layout.triangle_error_m().abs() < 1e-3);
}
