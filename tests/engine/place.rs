//! The search for a layout: cases whose best is known, and what no layout may do.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by failing")]

use earline_engine::criteria::EARLY_LIMITS;
use earline_engine::place::{
    Bounds, Found, Impossible, Layout, PARAMETERS, Parameter, PlacePlan, Range, Weights, place,
};
use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::setting_out::triangle_depth_m;
use proptest::prelude::*;

const SIZE: [f64; 3] = [5.8, 4.1, 2.6];

/// A pair of even speakers in a room of which the named surfaces reflect everything, no air
/// attenuation; more of a scene may follow.
fn scene(size: [f64; 3], hard: &[&str], more: &str) -> Scene {
    let surfaces = ["front", "back", "left", "right", "floor", "ceiling"].map(|surface| {
        format!("{surface} = \"{}\"\n", if hard.contains(&surface) { "hard" } else { "open" })
    });
    let [length, width, height] = size;
    let (seat, base, middle, up) =
        (0.4 * length, (0.35 * width).min(0.3 * length), width / 2.0, 0.45 * height);
    let front = seat - triangle_depth_m(base);
    let speakers = [("left", -0.5), ("right", 0.5)].map(|(side, part)| {
        format!(
            "[[speaker]]\nname = \"{side}\"\npair = \"mains\"\nside = \"{side}\"\n\
             at = [{front:?}, {:?}, {up:?}]\naim = \"seat\"\ndirectivity = {{ kind = \"omni\" }}\n",
            middle + part * base
        )
    });
    let text = format!(
        "[room]\nlength = {length:?}\nwidth = {width:?}\nheight = {height:?}\n[air]\nabsorption = false\n\
         [surfaces]\n{}[[material]]\nname = \"hard\"\nabsorption = 0.0\n\
         [[material]]\nname = \"open\"\nabsorption = 1.0\n{}\
         [[listener]]\nname = \"seat\"\nat = [{seat:?}, {middle:?}, {up:?}]\n{more}\n\
         [model]\nreflection = \"constant\"\n",
        surfaces.concat(),
        speakers.concat(),
    );
    Scene::parse(&text, &NoAttachments).unwrap_or_else(|p| panic!("{p:#?}\n{text}")).scene
}

const NOTHING: Weights = Weights { early: 0.0, sides: 0.0, bass: 0.0, start: 0.0 };

fn plan(scene: &Scene, weights: Weights) -> PlacePlan<'static> {
    let layout = Layout::of(scene, [0, 1], 0).unwrap();
    PlacePlan {
        variant: None,
        pair: [0, 1],
        listeners: vec![0],
        along: Vec::new(),
        bounds: Bounds::around(scene, &layout, &[0]),
        equilateral: true,
        weights,
        limit: &EARLY_LIMITS[0],
        layouts: 300,
        seed: 7,
    }
}

fn search(scene: &Scene, plan: &PlacePlan<'_>) -> Result<Found, Impossible> {
    place(scene, &NoAttachments, plan, &|| true, &|_| {})
}

/// A layout taken from a scene and put back leaves it as it was.
#[test]
fn a_layout_goes_in_and_out_of_a_scene() {
    let scene = scene(SIZE, &["left"], "");
    let plan = plan(&scene, NOTHING);
    let layout = Layout::of(&scene, [0, 1], 0).unwrap();
    assert!(layout.triangle_error_m().abs() < 1e-9 && layout.converge_m.abs() < 1e-9);
    let again = layout.in_scene(&scene, &NoAttachments, &plan).unwrap();
    for (before, after) in scene.speakers().iter().zip(again.speakers()) {
        assert!(before.at.distance(after.at) < 1e-9 && before.axis.distance(after.axis) < 1e-9);
    }
    let read = Layout::of(&again, [0, 1], 0).unwrap();
    for parameter in PARAMETERS {
        assert!((read.get(parameter) - layout.get(parameter)).abs() < 1e-9);
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
    assert!(best.objective.sum_db < 0.02);
    for seat in &best.objective.seats {
        assert!(seat.early_db < 1e-9 && seat.sides_db < 1e-9 && seat.bass_db < 1e-6);
    }
}

/// A triangle that may open closes again when only that counts: its depth is base · √3/2.
#[test]
fn an_open_triangle_closes() {
    let scene = scene(SIZE, &[], "");
    let weights = Weights { start: 1.0, ..NOTHING };
    let open = PlacePlan { equilateral: false, layouts: 900, ..plan(&scene, weights) };
    let best = search(&scene, &open).unwrap().best[0].clone();
    let depth = best.layout.seat_m + best.layout.converge_m - best.layout.front_m;
    assert!((depth - triangle_depth_m(best.layout.base_m)).abs() < 0.03, "{:?}", best.layout);
}

/// Between two like walls left and right are alike on the centre line and nowhere else.
#[test]
fn like_walls_put_the_pair_in_the_middle() {
    let scene = scene(SIZE, &["left", "right"], "");
    let mut plan = plan(&scene, Weights { sides: 1.0, ..NOTHING });
    plan.bounds.set(Parameter::Axis, Range { low_m: 1.6, high_m: 2.7 });
    for held in [Parameter::Seat, Parameter::Base, Parameter::Converge] {
        let metres = Layout::of(&scene, [0, 1], 0).unwrap().get(held);
        plan.bounds.set(held, Range::held(metres));
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
    let start = Layout::of(&scene, [0, 1], 0).unwrap();
    for held in [Parameter::Seat, Parameter::Base, Parameter::Converge] {
        plan.bounds.set(held, Range::held(start.get(held)));
    }
    plan.bounds.set(Parameter::Axis, Range { low_m: 1.6, high_m: 2.3 });
    let over = |axis_m: f64| {
        let deep = start.seat_m - start.front_m;
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

/// A hard wall behind the speakers: direct sound and one mirror image make a comb, the standard
/// deviation of which is worked out here on its own.
#[test]
fn a_comb_is_as_uneven_as_its_formula() {
    let scene = scene(SIZE, &["front"], "");
    let found = search(&scene, &plan(&scene, Weights { bass: 1.0, ..NOTHING })).unwrap();
    let start = found.start.unwrap();
    let layout = start.layout;
    let half = layout.base_m / 2.0;
    let direct = (layout.seat_m - layout.front_m).hypot(half);
    let mirrored = (layout.seat_m + layout.front_m).hypot(half);
    let c = scene.air().speed_of_sound_m_s();
    // Even steps of log frequency, many of them, over the bands 63, 125 and 250 Hz.
    let level = |hz: f64| {
        let phase = std::f64::consts::TAU * hz * (mirrored - direct) / c;
        let g = direct / mirrored;
        10.0 * (1.0 + g * g + 2.0 * g * phase.cos()).log10()
    };
    let (low, high) = (45.0f64.ln(), 350.0f64.ln());
    let points: Vec<[f64; 2]> = (0..4000)
        .map(|i| low + (high - low) * (f64::from(i) + 0.5) / 4000.0)
        .map(|x| [x, level(x.exp())])
        .collect();
    let n = points.len() as f64;
    let mean = |of: &dyn Fn(&[f64; 2]) -> f64| points.iter().map(of).sum::<f64>() / n;
    let (x, y) = (mean(&|p| p[0]), mean(&|p| p[1]));
    let slope = mean(&|p| (p[0] - x) * (p[1] - y)) / mean(&|p| (p[0] - x).powi(2));
    let exact = mean(&|p| (p[1] - y - slope * (p[0] - x)).powi(2)).sqrt();
    let bass = start.objective.bass_db();
    assert!((bass / exact - 1.0).abs() < 0.1, "{bass} {exact}");
    assert!(found.best[0].objective.bass_db() <= bass, "the start is among those tried");
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
    assert!(one.traced + one.turned_away <= 301);
}

#[test]
fn what_is_stopped_keeps_its_best() {
    let scene = scene(SIZE, &["left"], "");
    let asked = std::sync::atomic::AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, std::sync::atomic::Ordering::Relaxed) < 2;
    let plan = plan(&scene, Weights::default());
    let found = place(&scene, &NoAttachments, &plan, &go_on, &|_| {}).unwrap();
    assert!(found.is_cut_short && !found.best.is_empty());
    assert!(found.traced < 100, "{}", found.traced);
}

#[test]
fn impossible_wishes_say_so() {
    let everywhere = "[[keep_out]]\nname = \"hole\"\ncorner = [0, 0]\nsize = [5.8, 4.1]\n";
    let barred = scene(SIZE, &[], everywhere);
    let wrong = search(&barred, &plan(&barred, Weights::default())).unwrap_err();
    assert!(
        matches!(&wrong, Impossible::NothingFits { why, .. } if why.contains("hole")),
        "{wrong}"
    );
    let open = scene(SIZE, &[], "");
    let mut held = plan(&open, Weights::default());
    for parameter in PARAMETERS {
        held.bounds.set(parameter, Range::held(1.0));
    }
    assert_eq!(search(&open, &held).unwrap_err(), Impossible::NothingFree);
    let mut wide = plan(&open, Weights::default());
    wide.bounds.set(Parameter::Base, Range { low_m: 4.2, high_m: 6.0 });
    let wrong = search(&open, &wide).unwrap_err();
    assert!(
        matches!(&wrong, Impossible::NothingFits { why, .. } if why.contains("triangle")),
        "{wrong}"
    );
}

/// A desk that moves along keeps its place before the seat.
#[test]
fn a_desk_moves_with_the_seat() {
    let desk = "[[furniture]]\nname = \"desk\"\ncorner = [1.3, 1.3, 0.7]\nsize = [0.6, 1.5, 0.04]\nmaterial = \"hard\"\n";
    let scene = scene(SIZE, &[], desk);
    let plan = PlacePlan { along: vec![0], ..plan(&scene, Weights::default()) };
    let mut layout = Layout::of(&scene, [0, 1], 0).unwrap();
    layout.seat_m += 0.2;
    layout.close_triangle();
    let moved = layout.in_scene(&scene, &NoAttachments, &plan).unwrap();
    let ahead = |scene: &Scene| scene.listeners()[0].at.x - scene.furniture()[0].corner.x;
    assert!((ahead(&moved) - ahead(&scene)).abs() < 1e-9);
    // Sitting in the middle of a desk is refused, on a sofa it is not.
    layout.seat_m = 1.6;
    layout.front_m = 0.5;
    let still = PlacePlan { along: Vec::new(), ..plan };
    let wrong = layout.in_scene(&scene, &NoAttachments, &still).unwrap_err();
    assert!(wrong.contains("desk"), "{wrong}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// No layout given leaves the room, its bounds, or enters a keep-out.
    #[test]
    fn no_layout_breaks_a_rule(
        size in prop::array::uniform3(0.0f64..1.0),
        corner in prop::array::uniform2(0.0f64..0.6),
        side in prop::array::uniform2(0.1f64..0.4),
        seed in any::<u32>(),
    ) {
        let size = [3.2 + 4.0 * size[0], 2.6 + 2.0 * size[1], 2.3 + size[2]];
        let keep_out = format!(
            "[[keep_out]]\nname = \"door\"\ncorner = [{:?}, {:?}]\nsize = [{:?}, {:?}]\n",
            corner[0] * size[0], corner[1] * size[1], side[0] * size[0], side[1] * size[1],
        );
        let scene = scene(size, &["left", "right", "front"], &keep_out);
        let plan = PlacePlan { layouts: 60, seed, ..plan(&scene, Weights::default()) };
        let Ok(found) = search(&scene, &plan) else { return Ok(()) };
        prop_assert!(!found.best.is_empty());
        let sums: Vec<f64> = found.best.iter().map(|one| one.objective.sum_db).collect();
        prop_assert!(sums.windows(2).all(|pair| pair[0] <= pair[1]));
        for one in &found.best {
            let moved = one.layout.in_scene(&scene, &NoAttachments, &plan).unwrap();
            for at in moved.speakers().iter().map(|s| s.at).chain([moved.listeners()[0].at]) {
                prop_assert!(!moved.keep_outs()[0].holds([at.x, at.y]));
                prop_assert!(0.0 < at.min_element() && (moved.room().size() - at).min_element() > 0.0);
            }
            for parameter in PARAMETERS.into_iter().filter(|&p| p != Parameter::Front) {
                let range = plan.bounds.get(parameter);
                prop_assert!(range.holds(one.layout.get(parameter)));
            }
            prop_assert!(one.layout.triangle_error_m().abs() < 1e-9);
        }
    }
}
