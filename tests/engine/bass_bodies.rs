//! Bodies in the bass against finite elements and against rooms that they make of a room.

use crate::fixtures::impedance_room::{Case, RIGID, speed};
use earline_engine::medium::materials::porous::miki;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Levels at the three places of `finite_elements/bodies.csv` by frequency: exact and on the coarser grid.
struct Elements {
    hz: Vec<f64>,
    fine_db: [Vec<f64>; 3],
    coarse_db: [Vec<f64>; 3],
}

fn elements(body: &str) -> Elements {
    let table = include_str!("finite_elements/bodies.csv");
    let rows: Vec<Vec<f64>> = table
        .lines()
        .filter_map(|line| line.strip_prefix(body)?.strip_prefix(','))
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    let level =
        |row: &Vec<f64>, place: usize| 20.0 * row[1 + 3 * place].hypot(row[2 + 3 * place]).log10();
    Elements {
        hz: rows.iter().map(|row| row[0]).collect(),
        fine_db: [0, 1, 2].map(|place| rows.iter().map(|row| level(row, place)).collect()),
        coarse_db: [0, 1, 2].map(|place| rows.iter().map(|row| row[3 + 3 * place]).collect()),
    }
}

fn material(name: &str, zeta: [f64; 2]) -> String {
    let all = vec![format!("{zeta:?}"); 8].join(", ");
    format!("[[material]]\nname = \"{name}\"\nimpedance = [{all}]\n")
}

fn furniture(corner: [f64; 3], size: [f64; 3]) -> String {
    format!(
        "[[furniture]]\nname = \"body\"\ncorner = {corner:?}\nsize = {size:?}\nmaterial = \"body\"\n"
    )
}

fn screen(centre: [f64; 3], size: [f64; 2], facing: &str) -> String {
    format!(
        "[[screen]]\nname = \"body\"\ncentre = {centre:?}\nsize = {size:?}\nfacing = \"{facing}\"\n\
         material = \"body\"\n"
    )
}

/// The room of `finite_elements/bodies.py`.
fn room(more: &str) -> Case<'_> {
    Case {
        size: [4.2, 3.0, 2.4],
        zeta: [[30.0, 0.0], [18.0, -6.0], [40.0, 0.0], [40.0, 0.0], [60.0, 0.0], [25.0, -10.0]],
        speaker: [0.6, 0.8, 1.1],
        listeners: &[[2.3, 1.5, 1.2], [1.6, 2.1, 1.7], [3.7, 2.6, 0.9]],
        more,
    }
}

/// Mean and greatest of what two levels differ by.
fn off(found: &[f64], exact: &[f64]) -> (f64, f64) {
    let off: Vec<f64> = found.iter().zip(exact).map(|(a, b)| (a - b).abs()).collect();
    (off.iter().sum::<f64>() / off.len() as f64, off.iter().copied().fold(0.0, f64::max))
}

/// A sofa, a block in a corner, a cloud and a screen on the floor and a wall, solved with the general
/// finite-element library scikit-fem by `finite_elements/bodies.py`, 30 to 202 Hz.
#[test]
fn bodies_agree_with_finite_elements() {
    let bodies = [
        ("sofa", [3.0, -3.0], furniture([2.6, 0.8, 0.0], [0.8, 1.6, 0.6])),
        ("block in a corner", [50.0, 0.0], furniture([3.2, 0.0, 0.0], [1.0, 1.0, 2.4])),
        ("cloud", [2.0, -3.0], screen([1.6, 1.5, 1.95], [1.4, 1.6], "down")),
        ("screen", [1000.0, 0.0], screen([2.0, 0.7, 0.75], [1.4, 1.5], "back")),
    ];
    let bare = room("");
    for (name, zeta, body) in bodies {
        let elements = elements(name);
        let more = material("body", zeta) + &body;
        let scaled: Vec<f64> = elements.hz.iter().map(|hz| hz * speed() / 343.2).collect();
        let found = room(&more).solve(&scaled);
        let without = bare.solve(&scaled);
        for (place, pair) in found.pairs.iter().enumerate() {
            let fine = &elements.fine_db[place];
            let (own, _) = off(&elements.coarse_db[place], fine);
            assert!(own < 0.2, "elements with {name} at {place}: {own}");
            let (mean, most) = off(&pair.level_db, fine);
            assert!(mean < 0.25 && most < 2.0, "{name} at {place}: {mean} dB, {most} at most");
            let (left_out, _) = off(&without.pairs[place].level_db, fine);
            assert!(1.0 < left_out, "without {name} at {place}: {left_out} dB");
        }
    }
}

/// A block from wall to wall and from floor to ceiling makes a room that is as much shorter, whose solution needs no
/// block. A step in the pressure on four surfaces is the worst case for their cosines.
#[test]
fn a_block_across_the_room_makes_it_shorter() {
    let hz: Vec<f64> = (0..60).map(|i| 25.0 + 4.0 * f64::from(i)).collect();
    let more = material("body", [18.0, -6.0]) + &furniture([3.5, 0.0, 0.0], [0.7, 3.0, 2.4]);
    let listeners = &[[2.3, 1.5, 1.2], [1.6, 2.1, 1.7], [3.2, 0.5, 0.4]];
    let found = Case { listeners, ..room(&more) }.solve(&hz);
    let shorter = Case { size: [3.5, 3.0, 2.4], listeners, ..room("") }.solve(&hz);
    for (one, other) in found.pairs.iter().zip(&shorter.pairs) {
        let (mean, most) = off(&one.level_db, &other.level_db);
        assert!(mean < 0.4 && most < 2.5, "{mean} dB, {most} at most");
    }
}

/// A hard screen across a corner, from floor to ceiling and to both walls, shuts it off.
#[test]
fn nothing_passes_a_screen_across_a_corner() {
    let hz: Vec<f64> = (0..12).map(|i| 30.0 + 15.0 * f64::from(i)).collect();
    let side = 1.2 * 2.0f64.sqrt();
    let more = material("body", [1e6, 0.0])
        + &format!(
            "[[screen]]\nname = \"body\"\ncentre = [3.6, 2.4, 1.2]\nsize = [{side}, 2.4]\n\
             facing = [-1.0, -1.0, 0.0]\nmaterial = \"body\"\n"
        );
    let listeners = &[[4.0, 2.8, 1.0]];
    let shut = Case { listeners, ..room(&more) }.solve(&hz);
    let open = Case { listeners, ..room("") }.solve(&hz);
    let [behind_db, open_db] = [shut, open].map(|found| found.pairs[0].level_db.clone());
    for (level_db, hz) in behind_db.iter().zip(&hz) {
        assert!(*level_db < -8.0, "{hz} Hz: {level_db} dB behind it");
    }
    // Where it is open, the same places hear each other.
    let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
    assert!(mean(&behind_db) + 25.0 < mean(&open_db), "{behind_db:?}\n{open_db:?}");
}

/// Speaker and listener change places (reciprocity), among bodies of both kinds.
#[test]
fn bodies_are_reciprocal() {
    let more = material("body", [3.0, -3.0])
        + &furniture([2.6, 0.8, 0.0], [0.8, 1.6, 0.6])
        + &screen([1.6, 1.5, 1.95], [1.4, 1.6], "down").replace("\"body\"\nc", "\"cloud\"\nc");
    let hz = [34.0, 71.0, 118.0, 190.0, 280.0];
    let (here, there) = ([0.6, 0.8, 1.1], [1.9, 2.3, 1.4]);
    let of = |speaker, listeners: &[[f64; 3]]| {
        Case { speaker, listeners, ..room(&more) }.solve(&hz).pairs[0].level_db.clone()
    };
    let (mean, most) = off(&of(here, &[there]), &of(there, &[here]));
    assert!(mean < 1e-4 && most < 1e-3, "{mean} dB, {most} at most");
}

/// Sound through 100 mm of wool across a narrow tube, below its first cross mode, is that through a porous layer
/// between plane waves (the transfer matrix of textbooks, from memory; Miki's medium as the engine has it).
#[test]
fn wool_across_a_tube_lets_through_what_plane_waves_do() {
    let layer =
        "[[material]]\nname = \"body\"\nporous = { thickness = 0.1, flow_resistivity = 8000 }\n";
    let more = layer.to_owned() + &screen([2.0, 0.25, 0.25], [0.5, 0.5], "back");
    let tube = |more| Case {
        size: [4.0, 0.5, 0.5],
        zeta: [[3.0, 0.0], [5.0, 0.0], RIGID, RIGID, RIGID, RIGID],
        speaker: [0.6, 0.2, 0.25],
        listeners: &[[3.5, 0.25, 0.2]],
        more,
    };
    let hz: Vec<f64> = (0..20).map(|i| 50.0 + 8.0 * f64::from(i)).collect();
    let [with, without] =
        [more.as_str(), ""].map(|more| tube(more).solve(&hz).pairs[0].level_db.clone());
    let j = Complex64::I;
    let exact = hz.iter().map(|&hz| {
        let k = TAU * hz / speed();
        let medium = miki(hz, 8000.0);
        let (kd, z) = (medium.index * k * 0.1, medium.impedance);
        // Pressure and velocity at the front of a layer from those at its back.
        let air = |metres: f64, [p, v]: [Complex64; 2]| {
            let (sin, cos) = (k * metres).sin_cos();
            [p * cos + j * v * sin, j * p * sin + v * cos]
        };
        let wool = |[p, v]: [Complex64; 2]| {
            [p * kd.cos() + j * z * v * kd.sin(), j * p * kd.sin() / z + v * kd.cos()]
        };
        let at_source = |has_wool: bool| {
            let end = [Complex64::from(5.0), Complex64::ONE];
            let heard = air(0.5, end);
            let behind = air(1.5, heard);
            let ahead = air(1.4, if has_wool { wool(behind) } else { behind });
            // The source drives both ways: toward the near end its own admittance.
            let near = air(0.6, [Complex64::from(3.0), Complex64::ONE]);
            (heard[0] / (ahead[1] + ahead[0] * near[1] / near[0])).norm()
        };
        20.0 * (at_source(true) / at_source(false)).log10()
    });
    let exact: Vec<f64> = exact.collect();
    let found: Vec<f64> = with.iter().zip(&without).map(|(with, without)| with - without).collect();
    let (mean, most) = off(&found, &exact);
    assert!(mean < 0.1 && most < 0.3, "{mean} dB, {most} at most: {found:?} for {exact:?}");
    assert!(exact.iter().any(|db| *db < -3.0));
}
