//! From a trace to the pictures of each seat.

use crate::answer::Told;
use crate::naming;
use crate::numbering::{Numbered, at_listener};
use crate::picture::{self, Cabinet, Curve, Hit, Input, Limit, Path, TapeFrom};
use crate::write::Output;
use anyhow::Result;
use earline_engine::criteria::Verdict;
use earline_engine::directivity::Directivity;
use earline_engine::geometry::FaceId;
use earline_engine::image_sources::Bounce;
use earline_engine::scene::{Furniture, Scene, Screen, Surface};
use earline_engine::trace::PairTrace;
use glam::{DVec2, DVec3};

/// Paths of more bounces than this crowd plan and section without helping anyone; the curve has
/// them all.
const DRAWN_ORDER: usize = 2;

/// Plan, section and energy-time curve of every seat, each as SVG and PNG.
///
/// The first seat's files have the plain names; every further seat's carry its name.
///
/// # Errors
/// When a picture cannot be rendered.
pub(crate) fn outputs(told: &Told<'_>) -> Result<Vec<Output>> {
    let mut outputs = Vec::new();
    let mut endings: Vec<String> = Vec::new();
    for (index, &listener) in told.plan.listeners.iter().enumerate() {
        let all = input(told, listener);
        let mut few = all.clone();
        few.paths.retain(|path| path.bounces.len() <= DRAWN_ORDER);
        let ending =
            if index == 0 { String::new() } else { ending(&all.listener.name, index, &endings) };
        for drawing in [picture::plan(&few), picture::section(&few), picture::energy_time(&all)] {
            let picture = picture::render(&drawing)?;
            let name = format!("{}{ending}", picture.name);
            outputs.push(Output { name: format!("{name}.svg"), bytes: picture.svg.into_bytes() });
            outputs.push(Output { name: format!("{name}.png"), bytes: picture.png });
        }
        endings.push(ending);
    }
    Ok(outputs)
}

/// `-standing`: a listener's name as part of a file name, with its number where names clash.
fn ending(name: &str, index: usize, taken: &[String]) -> String {
    let letters = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect::<String>();
    let plain = letters.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
    let ending = format!("-{plain}");
    if plain.is_empty() || taken.contains(&ending) {
        format!("{}-{}", ending.trim_end_matches('-'), index + 1)
    } else {
        ending
    }
}

fn input(told: &Told<'_>, listener: usize) -> Input {
    let scene = told.scene;
    let head = &scene.listeners()[listener];
    let pairs: Vec<&PairTrace> =
        told.trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
    let material =
        |index: usize| scene.materials().get(index).map_or_else(String::new, |m| m.name.clone());
    Input {
        title: scene.title().to_owned(),
        variant: told.state.name.map(str::to_owned),
        units: scene.units(),
        room: *scene.room(),
        listener: picture::Listener {
            name: head.name.clone(),
            at: head.at,
            ahead: head.frame()[0],
        },
        speakers: pairs.iter().map(|pair| speaker(scene, pair.speaker)).collect(),
        panels: told
            .state
            .panels
            .iter()
            .map(|panel| picture::Panel {
                name: panel.name.clone(),
                on: panel.on,
                centre_m: panel.centre_m,
                size_m: panel.size_m,
                material: material(panel.material),
            })
            .collect(),
        screens: told
            .state
            .screens
            .iter()
            .map(|screen| picture::Screen {
                name: screen.name.clone(),
                corners: corners(screen),
                material: material(screen.material),
            })
            .collect(),
        furniture: told
            .state
            .furniture
            .iter()
            .map(|piece| picture::Furniture {
                name: piece.name.clone(),
                base: base(piece),
                height_m: piece.size.z,
            })
            .collect(),
        paths: at_listener(told.trace, listener)
            .iter()
            .filter(|n| n.reflection.level_db.is_finite())
            .map(|n| path(told, n, &pairs))
            .collect(),
        limit: Some(Limit {
            document: told.limit.document.to_owned(),
            window_ms: told.limit.window_s() * 1000.0,
            level_db: told.limit.level_db(),
        }),
        curves: pairs.iter().enumerate().map(|(index, pair)| curve(index, pair)).collect(),
    }
}

fn speaker(scene: &Scene, index: usize) -> picture::Speaker {
    let speaker = &scene.speakers()[index];
    let cabinet = match &speaker.directivity {
        Directivity::Piston { cabinet, .. } | Directivity::TwoWay { cabinet, .. } => {
            Cabinet::Box { size_m: [cabinet.height_m, cabinet.width_m, cabinet.depth_m] }
        }
        Directivity::Omni | Directivity::Cardioid | Directivity::Table(_) => Cabinet::Round,
    };
    picture::Speaker { name: speaker.name.clone(), at: speaker.at, axis: speaker.axis, cabinet }
}

fn corners(screen: &Screen) -> [DVec3; 4] {
    let [a, b] = screen.size_m;
    let first = screen.along * (a / 2.0);
    let second = screen.facing.cross(screen.along) * (b / 2.0);
    let at = |x: f64, y: f64| screen.centre + first * x + second * y;
    [at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)]
}

fn base(piece: &Furniture) -> [DVec3; 4] {
    let middle = (piece.corner + piece.size / 2.0).truncate();
    let turn = DVec2::from_angle(piece.turn_deg.to_radians());
    let half = piece.size.truncate() / 2.0;
    let at = |x: f64, y: f64| {
        (middle + turn.rotate(DVec2::new(half.x * x, half.y * y))).extend(piece.corner.z)
    };
    [at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)]
}

fn path(told: &Told<'_>, n: &Numbered<'_>, pairs: &[&PairTrace]) -> Path {
    let r = n.reflection;
    let speaker = pairs.iter().position(|pair| pair.speaker == n.pair.speaker).unwrap_or(0);
    Path {
        speaker,
        tag: n.number.to_string(),
        bounces: r.arrival.bounces.iter().map(|b| bounce(told.scene, b)).collect(),
        after_direct_ms: r.after_direct_s * 1000.0,
        level_db: r.level_db,
        verdict: match told.limit.judge(r.after_direct_s, r.level_db) {
            Verdict::Over => picture::Verdict::Over,
            Verdict::Within => picture::Verdict::Within,
            Verdict::Later => picture::Verdict::Unjudged,
        },
    }
}

fn bounce(scene: &Scene, bounce: &Bounce) -> picture::Bounce {
    let (hit, axes) = match bounce.face {
        FaceId::Surface(surface) => (Hit::Surface(surface), surface.tape_axes().to_vec()),
        FaceId::Screen { .. } | FaceId::Furniture { .. } => (Hit::Inside, vec![0, 1, 2]),
    };
    let from = |axis: usize| TapeFrom {
        surface: [Surface::Front, Surface::Left, Surface::Floor][axis],
        metres: bounce.point[axis],
    };
    picture::Bounce {
        point: bounce.point,
        hit,
        what: naming::spoken(scene, bounce),
        tape: axes.into_iter().map(from).collect(),
    }
}

fn curve(speaker: usize, pair: &PairTrace) -> Curve {
    let curve = &pair.energy_time;
    Curve {
        speaker,
        start_ms: (curve.start_s - pair.direct.time_s) * 1000.0,
        step_ms: curve.step_s * 1000.0,
        level_db: curve.level_db.clone(),
        complete_ms: (curve.complete_s - pair.direct.time_s) * 1000.0,
    }
}
