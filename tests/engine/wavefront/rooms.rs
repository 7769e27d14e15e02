//! The rooms whose wavefronts are looked at, and the cuts they are looked at in.

use crate::fixtures::{FIRST_SPEAKER, parsed};
use earline_engine::analysis::wavefront::{CutPlane, Frame, WavefrontPlan, WavefrontTracer};
use earline_engine::scene::Scene;
use glam::DVec3;

/// An empty box of hard walls.
pub(crate) const BOX: &str = r#"
title = "Box"
[room]
length = 5.1
width = 4.3
height = 2.6
[air]
absorption = false
[surfaces]
front = "hard"
back = "hard"
left = "hard"
right = "hard"
floor = "hard"
ceiling = "hard"
[[material]]
name = "hard"
absorption = 0.1
[[speaker]]
name = "one"
at = [1.1, 1.3, 1.2]
directivity = { kind = "omni" }
[[listener]]
name = "seat"
at = [2.9, 2.2, 1.2]
[model]
reflection = "constant"
edges = false
"#;

/// A furnished room with panels, a hung cloud, a gobo turned aside, a turned desk, solid cabinets.
const FURNISHED: &str = r#"
title = "Furnished"
[room]
length = 5.3
width = 4.1
height = 2.5
[surfaces]
front = "painted brick"
back = "gypsum board on studs"
left = "gypsum board on studs"
right = "gypsum board on studs"
floor = "wood floor on joists"
ceiling = "gypsum board on studs"
[[material]]
name = "wool"
porous = { thickness = "100 mm", flow_resistivity = 12000, gap = "50 mm" }
[[speaker]]
name = "one"
at = [0.9, 1.3, 1.15]
aim = [2.4, 2.0, 1.15]
directivity = { kind = "two-way", woofer = "165 mm", tweeter = "25 mm", spacing = "170 mm", crossover_hz = 2200, cabinet = ["340 mm", "220 mm", "270 mm"] }
solid = true
finish = "wood, solid"
[[speaker]]
name = "two"
at = [0.9, 2.8, 1.15]
aim = [2.4, 2.0, 1.15]
directivity = { kind = "piston", diameter = "130 mm", cabinet = ["300 mm", "200 mm", "250 mm"] }
solid = true
finish = "wood, solid"
[[listener]]
name = "seat"
at = [LISTENER]
[[panel]]
name = "side"
on = "left"
centre = [1.5, 1.2]
size = [1.2, 0.6]
material = "wool"
[[panel]]
name = "under"
on = "floor"
centre = [3.2, 2.0]
size = [1.0, 1.4]
material = "wool"
[[screen]]
name = "cloud"
centre = [1.6, 2.0, 2.2]
size = [1.4, 1.2]
facing = "down"
material = "wool"
[[screen]]
name = "gobo"
centre = [3.1, 3.2, 1.0]
size = [0.9, 1.6]
facing = [-1.0, -0.6, 0.0]
material = "wool"
[[furniture]]
name = "desk"
corner = [1.25, 1.3, 0.70]
size = [0.75, 1.6, 0.04]
turn_deg = 8
material = "wood, solid"
[[furniture]]
name = "rack"
corner = [4.2, 0.4, 0.0]
size = [0.5, 0.6, 1.5]
material = "wood, solid"
[model]
edges = false
"#;

/// Where the listener of the furnished room sits.
pub(crate) const SEAT: DVec3 = DVec3::new(2.4, 2.0, 1.15);

pub(crate) fn furnished(listener: DVec3) -> Scene {
    let DVec3 { x, y, z } = listener;
    // Every digit, so that the listener is the point itself.
    parsed(&FURNISHED.replace("LISTENER", &format!("{x:?}, {y:?}, {z:?}")))
}

pub(crate) fn wave(scene: &Scene, cut: CutPlane, until_s: f64) -> WavefrontTracer<'_> {
    let state = scene.variant(None).unwrap();
    WavefrontTracer::new(scene, &state, WavefrontPlan { speaker: FIRST_SPEAKER, cut, until_s })
        .unwrap()
}

pub(crate) fn after(wave: &WavefrontTracer<'_>, distance_m: f64) -> Frame {
    wave.at(distance_m / wave.speed_of_sound_m_s())
}

pub(crate) const CUTS: [CutPlane; 2] = [CutPlane::Plan, CutPlane::Section];
